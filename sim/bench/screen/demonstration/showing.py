"""A showing in the window, until it is left; the bench waits meanwhile.

From pygame's events to the wishes of a showing and the words for them on the page; the plain
warning before true values are shown; the loop.
"""

from __future__ import annotations

import pygame

from sim.bench.model.intents import FillScreen
from sim.bench.model.show import (
    SHOW_HELP,
    SHOW_KEYS,
    WARNING,
    Pass,
    Pause,
    Show,
    Wish,
    show_after,
    show_at_bench,
)
from sim.bench.screen.demonstration.draw import Letters, draw_moment, plain_letters, plan_of, write
from sim.bench.screen.demonstration.plan import first_row
from sim.bench.screen.events import key_name
from sim.bench.screen.layout import BASE_HEIGHT, BASE_WIDTH
from sim.bench.screen.lettering import MEASURE, broken
from sim.bench.screen.window import toggle_full_screen
from sim.bench.ui.theme import CAUTION_GROUND, CAUTION_INK, PAGE, SOFT_INK, Box
from sim.state import State

FRAMES_PER_S = 60
LONGEST_FRAME_S = 0.25
"""A frame that took longer counts as this: after a stall the drops do not all land at once."""


def wish_of(event: pygame.Event) -> Wish | None:
    """The wish that an event stands for, if any; a click does what Space does."""
    if event.type == pygame.KEYDOWN:
        return SHOW_KEYS.get(key_name(event))
    if event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
        return Pause()
    return None


def draw_show(surface: pygame.Surface, show: Show) -> None:
    """Draw the whole window: the warning, or the demonstration as far as it has gone."""
    if not show.heeded:
        draw_warning(surface)
        return
    draw_moment(surface, show.shown, show.progress, show.pace)
    plan = plan_of(show.shown, surface.get_size(), first_row(show.shown, show.progress))
    write(surface, SHOW_HELP, plan.keys, plain_letters(plan, SOFT_INK))


TYPE = 36
WIDTH, PAD, BETWEEN = 1100, 44, 24


def draw_warning(surface: pygame.Surface) -> None:
    """Draw the warning in the middle of the window."""
    width, height = surface.get_size()
    scale = min(width / BASE_WIDTH, height / BASE_HEIGHT)
    size, pad, between = round(TYPE * scale), round(PAD * scale), round(BETWEEN * scale)
    inner = round(WIDTH * scale) - 2 * pad
    step = MEASURE.line_height_px(size, True)
    paragraphs = [broken(text, size, inner, True) for text in WARNING]
    tall = sum(len(lines) * step + between for lines in paragraphs) - between
    area = pygame.Rect(0, 0, inner + 2 * pad, tall + 2 * pad)
    area.center = (width // 2, height // 2)
    surface.fill(PAGE)
    pygame.draw.rect(surface, CAUTION_GROUND, area, border_radius=round(12 * scale))
    pygame.draw.rect(surface, CAUTION_INK, area, round(3 * scale), round(12 * scale))
    letters = Letters(size, CAUTION_INK, bold=True)
    y = area.y + pad
    for lines in paragraphs:
        for line in lines:
            write(surface, line, Box(area.x + pad, y, inner, step), letters)
            y += step
        y += between


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
                if isinstance(wish, FillScreen):
                    toggle_full_screen()
                show = show_after(show, wish) if wish is not None else show
            draw_show(pygame.display.get_surface() or surface, show)
            pygame.display.flip()
            passed_s = min(clock.tick(FRAMES_PER_S) / 1000.0, LONGEST_FRAME_S)
            show = show_after(show, Pass(passed_s)) if show.open else show
    finally:
        pygame.key.set_repeat(*repeat)
    return True


def show_in_bench(surface: pygame.Surface, state: State) -> bool:
    """Run a showing of a bench's ball and room; returns whether the window is still wanted."""
    return show_in(surface, show_at_bench(state))
