"""The graduated scale, painted in one way: rule, lens, thermometer's call-out, beaker.

Marks stand at even steps along a column, the rarer the longer, and some bear a number. Only
what the surface's clip shows is painted, so that a metre of millimetres costs no more than
the strip of it that is seen.
"""

from __future__ import annotations

import math
from typing import NamedTuple

import pygame

from sim.bench.screen.apparatus.brush import Paint, Side, put


class Mark(NamedTuple):
    """How the marks look that stand at every so many divisions; lengths in pixels.

    A mark without a type size bears no number.
    """

    every: int
    length: int
    thick: int
    ink: Paint
    type_px: int = 0


class Graduations(NamedTuple):
    """An upright scale, counted in whole divisions from its zero upward.

    A division bears the first of the `marks` that it is a multiple of; the last of them is
    the finest. Numbers count `per_unit` divisions as one, and end at `last_number`.
    """

    marks: tuple[Mark, ...]
    first: int
    last: int
    zero_px: float
    division_px: float
    last_number: int
    per_unit: int = 1

    def row_px(self, division: float) -> float:
        """The row of a division: an edge between two rows of pixels."""
        return self.zero_px - division * self.division_px

    def between(self, top_px: float, bottom_px: float) -> range:
        """The divisions whose rows lie between two."""
        finest = self.marks[-1].every
        low = math.ceil((self.zero_px - bottom_px) / self.division_px / finest) * finest
        high = math.floor((self.zero_px - top_px) / self.division_px)
        return range(max(low, self.first), min(high, self.last) + 1, finest)


def draw_graduations(
    surface: pygame.Surface, scale: Graduations, edge_px: int, number_px: int, side: Side = "left"
) -> None:
    """Paint marks from column `edge_px` to the right, and numbers at column `number_px`.

    `side` is the side of a number that stands at its column.
    """
    clip = surface.get_clip()
    tallest = max(max(mark.type_px, mark.thick) for mark in scale.marks)
    for division in scale.between(clip.top - tallest, clip.bottom + tallest):
        mark = next(mark for mark in scale.marks if division % mark.every == 0)
        row = scale.row_px(division)
        top = math.floor(row - mark.thick / 2.0 + 0.5)
        surface.fill(mark.ink, (edge_px, top, mark.length, mark.thick))
        if mark.type_px and division <= scale.last_number:
            number = str(division // scale.per_unit)
            put(surface, number, mark.type_px, (number_px, row), mark.ink[:3], side)
