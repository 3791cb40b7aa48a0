"""A showing in the window, until it is left; the bench waits meanwhile."""

from __future__ import annotations

from dataclasses import replace

import pygame

from physics.ball import PLAYING_SPEEDS
from physics.reading import CAREFUL
from sim.bench.model.show import Pass, Show, show_after
from sim.bench.screen.demonstration.draw import draw_show, wish_of
from sim.procedure import DEMO_PROCEDURE, DEMO_SEED
from sim.state import Setup, State
from sim.teaching.demonstration import LONG_SOAK_S, demonstration

FRAMES_PER_S = 60
LONGEST_FRAME_S = 0.25
"""A frame that took longer counts as this: after a stall the drops do not all land at once."""


def show_in(surface: pygame.Surface, show: Show) -> bool:
    """Run a showing; returns whether the window is still wanted."""
    clock = pygame.time.Clock()
    pygame.key.stop_text_input()
    repeat = pygame.key.get_repeat()
    # A held Space must not pause and go on, and pause and go on.
    pygame.key.set_repeat()
    try:
        while show.open:
            for event in pygame.event.get():
                if event.type == pygame.QUIT:
                    return False
                wish = wish_of(event)
                show = show_after(show, wish) if wish is not None else show
            draw_show(pygame.display.get_surface() or surface, show)
            pygame.display.flip()
            passed_s = min(clock.tick(FRAMES_PER_S) / 1000.0, LONGEST_FRAME_S)
            show = show_after(show, Pass(passed_s)) if show.open else show
    finally:
        pygame.key.set_repeat(*repeat)
    return True


def show_at_bench(surface: pygame.Surface, state: State) -> bool:
    """Show the demonstration with the ball and the room of a bench, but never with its seed.

    A practical's own random numbers stay its own: what is shown tells nothing of them.
    Returns whether the window is still wanted.
    """
    model = PLAYING_SPEEDS.get(state.ball.name, state.setup.model)
    setup = Setup(seed=DEMO_SEED, model=model, room_k=state.setup.room_k)
    plan = replace(DEMO_PROCEDURE, observer=CAREFUL, soak_s=LONG_SOAK_S)
    return show_in(surface, Show(demonstration(setup, plan)))
