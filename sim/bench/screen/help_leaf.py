"""The help leaf over the whole window: every key and what it does, and what the pointer does."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import pygame

from sim.bench.model.keys import HELP_TITLE, WITH_THE_MOUSE, help_texts
from sim.bench.screen.layout import Layout
from sim.bench.screen.lettering import MEASURE, broken, line_surface
from sim.bench.ui.theme import (
    INK,
    PAGE,
    PAGE_EDGE,
    SOFT_INK,
    TYPE_HEADING,
    TYPE_LARGE,
    TYPE_SMALL,
    Box,
)

COLUMNS = 2


class HelpLine(NamedTuple):
    """A line of the leaf: the keys, what they do, and where both begin."""

    keys: str
    words: str
    keys_at: tuple[int, int]
    words_at: tuple[int, int]


class HelpSet(NamedTuple):
    """The leaf with everything in its place."""

    area: Box
    size_px: int
    lines: tuple[HelpLine, ...]
    hands: tuple[str, ...]
    hands_at: tuple[int, int]


@lru_cache(maxsize=4)
def help_set(layout: Layout) -> HelpSet:
    """Set the leaf over the whole window, in two columns: as large as shows all of it at once."""
    size = layout.type_px(TYPE_LARGE)
    leaf = _help_at(layout, size)
    while leaf is None and size > TYPE_SMALL:
        size -= 1
        leaf = _help_at(layout, size)
    assert leaf is not None, "the leaf does not hold its lines"
    return leaf


def _help_at(layout: Layout, size: int) -> HelpSet | None:
    """The leaf in one type size; None where it is too small for its lines."""
    area, pad = layout.window.inset(layout.px(16)), layout.px(18)
    step = MEASURE.line_height_px(size) + layout.px(1)
    texts = help_texts()
    rows = -(-len(texts) // COLUMNS)
    column = (area.width - (COLUMNS + 1) * pad) // COLUMNS
    top = area.y + layout.type_px(TYPE_HEADING) + 2 * layout.px(12)
    lines, widest = [], 0
    for first in range(0, len(texts), rows):
        group = texts[first : first + rows]
        x = area.x + pad + (first // rows) * (column + pad)
        indent = max(MEASURE.width_px(keys, size, True) for keys, _ in group) + layout.px(12)
        widest = max(widest, *(indent + MEASURE.width_px(words, size) for _, words in group))
        lines += [
            HelpLine(keys, words, (x, top + row * step), (x + indent, top + row * step))
            for row, (keys, words) in enumerate(group)
        ]
    hands = broken(WITH_THE_MOUSE, size, area.width - 2 * pad)
    foot = area.bottom - layout.px(8) - len(hands) * step
    if widest > column or top + rows * step > foot:
        return None
    return HelpSet(area, size, tuple(lines), hands, (area.x + pad, foot))


def draw_help(surface: pygame.Surface, layout: Layout) -> None:
    """Lay the leaf over the window."""
    leaf = help_set(layout)
    pygame.draw.rect(surface, PAGE, leaf.area, border_radius=layout.px(6))
    pygame.draw.rect(surface, PAGE_EDGE, leaf.area, 2, border_radius=layout.px(6))
    title = line_surface(HELP_TITLE, layout.type_px(TYPE_HEADING), INK, True)
    surface.blit(title, (leaf.lines[0].keys_at[0], leaf.area.y + layout.px(10)))
    for line in leaf.lines:
        surface.blit(line_surface(line.keys, leaf.size_px, INK, True), line.keys_at)
        surface.blit(line_surface(line.words, leaf.size_px, INK), line.words_at)
    step = MEASURE.line_height_px(leaf.size_px) + layout.px(1)
    for row, text in enumerate(leaf.hands):
        at = (leaf.hands_at[0], leaf.hands_at[1] + row * step)
        surface.blit(line_surface(text, leaf.size_px, SOFT_INK), at)
