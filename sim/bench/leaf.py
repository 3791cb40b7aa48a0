"""The exercise book drawn: its cover, ribbons and open page; and the words at the foot."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import pygame

from sim.bench.after import Seen
from sim.bench.desk import Desk, Note
from sim.bench.hints import hint
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
IN_A_ROW = (4, 3)
RIBBON_PAD = 5
SIGNS = {"hint": "", "refusal": "Not now: ", "caution": "Caution: ", "trouble": "Record: "}
"""What stands before the words, so that no colour has to say it."""


@lru_cache(maxsize=4)
def ribbons(layout: Layout) -> tuple[tuple[str, Box], ...]:
    """The pages' names and the places of their ribbons: as wide as their names."""
    area, gap = layout.bookmarks, layout.px(4)
    rows = _rows(layout)
    height = (area.height - gap) // len(rows)
    size = ribbon_type_px(layout)
    placed = []
    for row, names in enumerate(rows):
        widths = [MEASURE.width_px(name, size, True) for name in names]
        spare = area.width - sum(widths) - gap * (len(names) - 1)
        x = area.x
        for number, (name, width) in enumerate(zip(names, widths, strict=True)):
            share = spare // len(names) + (number < spare % len(names))
            placed.append((name, Box(x, area.y + row * height, width + share, height)))
            x += width + share + gap
    return tuple(placed)


@lru_cache(maxsize=4)
def ribbon_type_px(layout: Layout) -> int:
    """The type size of all ribbons: the usual one, or the largest at which every row fits."""
    size = layout.type_px(TYPE_SMALL)
    while size > TYPE_SMALL and not _fit(_rows(layout), size, layout):
        size -= 1
    return size


def _rows(layout: Layout) -> tuple[tuple[str, ...], ...]:
    """The names row by row: four a row, or three where larger text needs it."""
    names = tuple(PAGES)
    for most in IN_A_ROW:
        rows = tuple(names[n : n + most] for n in range(0, len(names), most))
        if _fit(rows, layout.type_px(TYPE_SMALL), layout):
            break
    return rows


def _fit(rows: tuple[tuple[str, ...], ...], size_px: int, layout: Layout) -> bool:
    gap, pad = layout.px(4), 2 * layout.px(RIBBON_PAD)
    widest = max(
        sum(MEASURE.width_px(name, size_px, True) + pad + gap for name in names) - gap
        for names in rows
    )
    return widest <= layout.bookmarks.width


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
    words = line_surface(name, ribbon_type_px(layout), RIBBON_INK, is_open)
    place = words.get_rect(center=cloth.center)
    surface.blit(words, place)
    if is_open:
        surface.fill(RIBBON_INK, (place.x, place.bottom, place.width, 2))


def draw_note(surface: pygame.Surface, desk: Desk, layout: Layout) -> None:
    """The words at the foot of the corner: a hint, a refusal, a caution, or trouble."""
    told = desk.trouble and desk.note.kind != "caution"
    note = Note(desk.trouble, "trouble") if told else desk.note
    if not note.text:
        note = Note(hint(desk))
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
