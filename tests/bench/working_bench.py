"""A bench at work in a process of its own, for the tests that kill it.

Takes the record's path and a number that chooses what the hands do. Prints the count of
readings on the rough page after every act that the record has taken.
"""

import os
import random
import sys
from pathlib import Path

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ["PYGAME_HIDE_SUPPORT_PROMPT"] = "1"

import pygame

from sim.bench.model.after import desk_for
from sim.bench.model.keeping import Keeper
from sim.bench.screen.app import Bench
from sim.bench.screen.window import window
from sim.record.file import begin_record
from sim.state import Setup, beginning


def post(code, mod=0):
    pygame.event.post(pygame.Event(pygame.KEYDOWN, key=code, mod=mod, unicode=""))


def type_in(letters):
    for letter in letters:
        pygame.event.post(pygame.Event(pygame.TEXTINPUT, text=letter))


def hands(chance):
    """Acts without end: pour, soak, drop, note, and write on the hazards page."""
    k = pygame
    while True:
        for code in (k.K_x, k.K_x, k.K_h, k.K_c, k.K_c, k.K_b, k.K_t, k.K_r, k.K_SPACE):
            yield lambda code=code: post(code)
        yield lambda: post(k.K_TAB)
        yield lambda: post(k.K_a, k.KMOD_CTRL)
        yield lambda: type_in("40 C")
        yield lambda: post(k.K_RETURN)
        yield lambda: type_in(f"{chance.randint(20, 45)} cm")
        yield lambda: post(k.K_RETURN)
        yield lambda: post(k.K_ESCAPE)


def main(path, number):
    setup = Setup(seed=number)
    record = begin_record(Path(path), setup)
    with window() as surface:
        bench = Bench(surface, desk_for(beginning(setup)), Keeper(record))
        for act in hands(random.Random(number)):
            act()
            bench.frame(1.0 / 60.0)
            print(len(bench.desk.state.rough), flush=True)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
