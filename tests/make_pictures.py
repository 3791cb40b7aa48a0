"""Makes the pictures of the README, with the program itself: python -m tests.make_pictures."""

import os
from dataclasses import replace
from pathlib import Path

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")

import pygame

from sim.__main__ import main
from sim.bench.model.show import GoTo, Heed, Show, show_after
from sim.bench.screen.demonstration.showing import draw_show
from sim.bench.screen.window import window
from sim.procedure import SHOWN_PROCEDURE
from sim.state import Setup
from sim.teaching.demonstration import demonstration
from tests.bench.books import FULL, sitting
from tests.bench.test_picture import in_the_bath

FOLDER = Path(__file__).parents[1] / "sim" / "pictures"


def bench(surface):
    """A ball soaking in the bath, the rough page open."""
    at = in_the_bath()
    at.surface = surface
    at.draw()
    pygame.image.save(surface, FOLDER / "bench.png")


def book(surface):
    """The graph in a whole exercise book."""
    at = sitting(FULL)
    at.surface = surface
    at.desk, at.scroll_px = replace(at.desk, page="Graph"), 260
    at.draw()
    pygame.image.save(surface.subsurface(at.seen().layout.book), FOLDER / "book.png")


def shown(surface):
    """The demonstration when the last drop has landed."""
    show = show_after(Show(demonstration(Setup(seed=1), SHOWN_PROCEDURE)), Heed())
    draw_show(surface, show_after(show, GoTo(end=True)))
    pygame.image.save(surface, FOLDER / "demonstration.png")


def practical(folder):
    """The graph that `perform` draws."""
    main(["perform", "--out", str(folder), "--force"])
    (folder / "graph.png").replace(FOLDER / "graph.png")


if __name__ == "__main__":
    import tempfile

    FOLDER.mkdir(exist_ok=True)
    with window() as screen:
        for picture in (bench, book, shown):
            picture(screen)
    with tempfile.TemporaryDirectory() as name:
        practical(Path(name))
