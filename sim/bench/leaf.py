"""The exercise book drawn: its cover, ribbons and open page; and the words at the foot."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import pygame

from sim.bench.after import Seen
from sim.bench.desk import Desk, Note
from sim.bench.layout import Box, Layout
from sim.bench.lettering import MEASURE, broken, line_surface
from sim.bench.marks import Sheet
from sim.bench.pages import PAGES
from sim.bench.sheet import BLINK_S, draw_sheet
from sim.bench.theme import (
    CAUTION_GROUND,
    CAUTION_INK,
    COVER,
    INK,
    NOTE_GROUND,
    RIBBON_INK,
    RIBBONS,
    TYPE_SMALL,
    TYPE_TEXT,
    Colour,
)

OPEN_PX, SHUT_PX = 10, 4
MOST_IN_A_ROW = 4
SIGNS = {"hint": "", "refusal": "Not now: ", "caution": "Caution: ", "trouble": "Record: "}
"""What stands before the words, so that no colour has to say it."""


@lru_cache(maxsize=4)
def ribbons(layout: Layout) -> tuple[tuple[str, Box], ...]:
    """The pages' names and the places of their ribbons, as many rows as the text needs."""
    area = layout.bookmarks
    names = tuple(PAGES)
    gap = layout.px(4)
    rows = 1 if len(names) <= MOST_IN_A_ROW else 2
    per_row = -(-len(names) // rows)
    height = (area.height - gap) // rows
    width = (area.width + gap) // per_row - gap
    return tuple(
        (
            name,
            Box(
                area.x + (n % per_row) * (width + gap),
                area.y + (n // per_row) * height,
                width,
                height,
            ),
        )
        for n, name in enumerate(names)
    )


def draw_book(surface: pygame.Surface, desk: Desk, seen: Seen) -> None:
    """The book at the right: cover, ribbons, and the page that is open."""
    caret_shown = desk.clock_s % (2 * BLINK_S) < BLINK_S or seen.sheet.caret is None
    opened = Opened(seen.layout, seen.sheet, desk.page, desk.scroll_px, caret_shown)
    surface.blit(_book(opened), seen.layout.book[:2])


class Opened(NamedTuple):
    """All that the drawn book depends on."""

    layout: Layout
    sheet: Sheet
    page: str
    scroll_px: int
    caret_shown: bool


@lru_cache(maxsize=4)
def _book(opened: Opened) -> pygame.Surface:
    """The book drawn, and kept while nothing in it changes: most frames are of the corner."""
    layout = opened.layout
    whole = pygame.Surface(layout.window[2:])
    whole.fill(COVER, layout.book)
    for number, (name, box) in enumerate(ribbons(layout)):
        _draw_ribbon(whole, layout, box, (name, number, name == opened.page))
    time_s = 0.0 if opened.caret_shown else BLINK_S
    draw_sheet(whole, opened.sheet, layout.page, opened.scroll_px, time_s)
    return whole.subsurface(layout.book).copy()


def _draw_ribbon(
    surface: pygame.Surface, layout: Layout, box: Box, shown: tuple[str, int, bool]
) -> None:
    """A ribbon with its page's name; the open page's hangs lower and its name is underlined."""
    name, number, is_open = shown
    longer = layout.px(OPEN_PX if is_open else SHUT_PX)
    cloth = pygame.Rect(box.x, box.y, box.width, box.height - layout.px(OPEN_PX) + longer)
    pygame.draw.rect(surface, RIBBONS[number % len(RIBBONS)], cloth)
    size = _fitting(name, layout.type_px(TYPE_SMALL), box.width - layout.px(8))
    words = line_surface(name, size, RIBBON_INK, is_open)
    place = words.get_rect(center=cloth.center)
    surface.blit(words, place)
    if is_open:
        surface.fill(RIBBON_INK, (place.x, place.bottom, place.width, 2))


@lru_cache(maxsize=64)
def _fitting(text: str, size_px: int, width_px: int) -> int:
    """The largest type size, no larger than asked for, at which a name fits its ribbon."""
    while size_px > 8 and MEASURE.width_px(text, size_px, True) > width_px:
        size_px -= 1
    return size_px


def draw_note(surface: pygame.Surface, desk: Desk, layout: Layout) -> None:
    """The words at the foot of the corner: a hint, a refusal, a caution, or trouble."""
    told = desk.trouble and desk.note.kind != "caution"
    note = Note(desk.trouble, "trouble") if told else desk.note
    if not note.text:
        return
    warns = note.kind in ("caution", "trouble")
    ground: Colour = CAUTION_GROUND if warns else NOTE_GROUND
    ink: Colour = CAUTION_INK if warns else INK
    size = layout.type_px(TYPE_TEXT)
    pad = layout.px(8)
    foot = layout.message
    lines = broken(SIGNS[note.kind] + note.text, size, foot.width - 2 * pad)
    step = MEASURE.line_height_px(size)
    height = max(foot.height, len(lines) * step + 2 * pad)
    box = pygame.Rect(foot.x, foot.bottom - height, foot.width, height)
    pygame.draw.rect(surface, ground, box, border_radius=layout.px(4))
    pygame.draw.rect(surface, ink, box, 1, border_radius=layout.px(4))
    top = box.y + (height - len(lines) * step) // 2
    for row, line in enumerate(lines):
        surface.blit(line_surface(line, size, ink), (box.x + pad, top + row * step))
