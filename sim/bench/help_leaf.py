"""The help leaf: what each key does, read from the table that the keys come from."""

from __future__ import annotations

from typing import NamedTuple

import pygame

from sim.bench.keys import BENCH_KEYS, EVERYWHERE, PAPER_KEYS
from sim.bench.layout import Box, Layout
from sim.bench.lettering import MEASURE, broken, line_surface
from sim.bench.theme import INK, PAGE, PAGE_EDGE, SOFT_INK, TYPE_HEADING, TYPE_LARGE

TITLE = "What the keys do"
HANDS = (
    "With the mouse: drag the kettle or the jug to the beaker; the ball to the beaker, the towel "
    "or the rule; the beaker aside to empty it; the eye up and down. Click the held ball to let "
    "go, the stopwatch, the camera. A vessel swung too fast spills."
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


def help_texts() -> tuple[tuple[str, str], ...]:
    """Keys and what they do, the apparatus first, then the graph paper."""
    keys = (*BENCH_KEYS, *PAPER_KEYS)
    return (*((key.name, key.help) for key in keys if key.name), *EVERYWHERE)


def help_set(layout: Layout) -> HelpSet:
    """Set the leaf over the whole window, in two columns."""
    area, pad = layout.window.inset(layout.px(16)), layout.px(18)
    size = layout.type_px(TYPE_LARGE)
    step = MEASURE.line_height_px(size) + layout.px(1)
    texts = help_texts()
    rows = -(-len(texts) // COLUMNS)
    column = (area.width - (COLUMNS + 1) * pad) // COLUMNS
    top = area.y + layout.type_px(TYPE_HEADING) + 2 * layout.px(12)
    lines = []
    for first in range(0, len(texts), rows):
        group = texts[first : first + rows]
        x = area.x + pad + (first // rows) * (column + pad)
        indent = max(MEASURE.width_px(keys, size, True) for keys, _ in group) + layout.px(12)
        lines += [
            HelpLine(keys, words, (x, top + row * step), (x + indent, top + row * step))
            for row, (keys, words) in enumerate(group)
        ]
    hands = broken(HANDS, size, area.width - 2 * pad)
    foot = area.bottom - layout.px(8) - len(hands) * step
    return HelpSet(area, size, tuple(lines), hands, (area.x + pad, foot))


def draw_help(surface: pygame.Surface, layout: Layout) -> None:
    """Lay the leaf over the window."""
    leaf = help_set(layout)
    pygame.draw.rect(surface, PAGE, leaf.area, border_radius=layout.px(6))
    pygame.draw.rect(surface, PAGE_EDGE, leaf.area, 2, border_radius=layout.px(6))
    title = line_surface(TITLE, layout.type_px(TYPE_HEADING), INK, True)
    surface.blit(title, (leaf.lines[0].keys_at[0], leaf.area.y + layout.px(10)))
    for line in leaf.lines:
        surface.blit(line_surface(line.keys, leaf.size_px, INK, True), line.keys_at)
        surface.blit(line_surface(line.words, leaf.size_px, INK), line.words_at)
    step = MEASURE.line_height_px(leaf.size_px) + layout.px(1)
    for row, text in enumerate(leaf.hands):
        at = (leaf.hands_at[0], leaf.hands_at[1] + row * step)
        surface.blit(line_surface(text, leaf.size_px, SOFT_INK), at)
