"""Letters on the screen: the typeface in a size, rendered lines, and how wide they are."""

from __future__ import annotations

from collections import OrderedDict
from functools import lru_cache

import pygame

from analysis.paper.typeface import typeface_file
from sim.bench.ui.theme import Colour
from sim.bench.ui.wrapping import wrapped

MOST_PIXELS = 1_000_000
"""How many pixels of rendered lines are kept: 4 MB at four bytes a pixel."""

_UNSEEN = {0: "", 9: " ", 10: " ", 13: " "} | dict.fromkeys(range(0xD800, 0xE000), "\ufffd")
"""What the font library refuses or would set on a second line, and what stands for it."""


@lru_cache(maxsize=32)
def font(size_px: int, bold: bool = False) -> pygame.font.Font:
    """Open the typeface in one size. Raises Refused where it is missing."""
    if not pygame.font.get_init():
        pygame.font.init()
    return pygame.font.Font(typeface_file(bold=bold), size_px)


class _Rendered:
    """Rendered lines, the least lately used thrown away when they are too many pixels."""

    def __init__(self) -> None:
        self.pixels = 0
        self._lines: OrderedDict[tuple[str, int, Colour, bool], pygame.Surface] = OrderedDict()

    def line(self, text: str, size_px: int, ink: Colour, bold: bool) -> pygame.Surface:
        key = (text, size_px, ink, bold)
        if key in self._lines:
            self._lines.move_to_end(key)
            return self._lines[key]
        seen = text.translate(_UNSEEN) if _width_px(text, size_px, bold) else ""
        line = font(size_px, bold).render(seen, True, ink)  # refuses a text of no width
        self._lines[key] = line
        self.pixels += line.get_width() * line.get_height()
        while self.pixels > MOST_PIXELS and len(self._lines) > 1:
            _, oldest = self._lines.popitem(last=False)
            self.pixels -= oldest.get_width() * oldest.get_height()
        return line

    def clear(self) -> None:
        self._lines.clear()
        self.pixels = 0


_rendered = _Rendered()


def line_surface(text: str, size_px: int, ink: Colour, bold: bool = False) -> pygame.Surface:
    """One line of text on a clear ground. Kept for the next frame: never draw on it."""
    return _rendered.line(text, size_px, ink, bold)


@lru_cache(maxsize=8192)
def _width_px(text: str, size_px: int, bold: bool) -> int:
    return font(size_px, bold).size(text.translate(_UNSEEN))[0]


class FontMeasure:
    """How much room the typeface takes; a `sim.bench.ui.wrapping.Measure`."""

    def width_px(self, text: str, size_px: int, bold: bool = False) -> int:
        """Width of a text set on one line."""
        return _width_px(text, size_px, bold)

    def line_height_px(self, size_px: int, bold: bool = False) -> int:
        """Height of one line."""
        return font(size_px, bold).get_height()


MEASURE = FontMeasure()


def broken(text: str, size_px: int, width_px: int, bold: bool = False) -> tuple[str, ...]:
    """Break a text into lines no wider than `width_px`; words wider than a line are broken."""
    lines = wrapped(text, MEASURE, size_px, width_px, bold)
    return tuple(lines.shown(row) for row in range(len(lines.spans)))


def forget() -> None:
    """Drop all fonts and lines: after `pygame.font.quit()` they are of no use any more."""
    font.cache_clear()
    _width_px.cache_clear()
    _rendered.clear()
