"""The sheet of graph paper: places in small squares, values on the student's axes, the view.

No pygame. A place is counted in small squares from the lower left corner of the sheet; a
small square stands for 2 mm, ten of them make a large square. Values come only from the axes
that the student has chosen.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import Enum
from typing import NamedTuple

import numpy as np

from analysis.marking.own_graph import smooth
from analysis.paper.scales import LARGE_ACROSS, LARGE_UP, SMALL_SQUARES
from sim.bench.screen.layout import Box
from sim.state import Axis

PAPER = "Graph.paper"
"""What the focus and the pointer know the sheet by."""
SMALL = SMALL_SQUARES
"""Small squares in a large one."""
SQUARES_ACROSS, SQUARES_UP = LARGE_ACROSS * SMALL, LARGE_UP * SMALL
SNAP = 0.1
"""Places are told apart to a tenth of a small square, finer than any pencil."""
ZOOMS = (1, 2, 4)
NEAR = 1.5
"""A cross is at the pencil's point when it is no more small squares away than this."""
KEPT_IN_VIEW = 4.0
"""The pencil's point keeps so many small squares, at full view, from the edge of a closer one."""
DIGITS = 10
"""Straight pieces between two points of a free curve."""


class Place(NamedTuple):
    """A place on the sheet, in small squares from its lower left corner."""

    across: float
    up: float


CORNER = Place(0.0, 0.0)
MIDDLE = Place(SQUARES_ACROSS / 2.0, SQUARES_UP / 2.0)


class Tool(Enum):
    """What the pencil does where it is put down."""

    CROSSES = "Crosses"
    LINE = "Line"
    CURVE = "Curve"
    RUB_OUT = "Rub out"


@dataclass(frozen=True)
class Paper:
    """The sheet as it lies before the student.

    Attributes:
        point: where the pencil's point is.
        tool: what it does there.
        laid: the points so far of a line that is being laid.
        zoom: how much closer than the whole sheet it is seen.
        corner: the lower left corner of what is seen.
        down: whether the pointer holds the pencil on the sheet.

    """

    point: Place = MIDDLE
    tool: Tool = Tool.CROSSES
    laid: tuple[Place, ...] = ()
    zoom: int = 1
    corner: Place = CORNER
    down: bool = False

    def moved_to(self, place: Place) -> Paper:
        """The pencil's point at a place, the view gone along with it."""
        point = snapped(place)
        return replace(self, point=point, corner=_followed(self.corner, point, self.zoom))

    def zoomed(self, by: int) -> Paper:
        """A step closer (1) or further (-1), about the pencil's point."""
        at = min(max(ZOOMS.index(self.zoom) + by, 0), len(ZOOMS) - 1)
        zoom = ZOOMS[at]
        corner = Place(
            self.point.across - SQUARES_ACROSS / zoom / 2.0, self.point.up - SQUARES_UP / zoom / 2.0
        )
        return replace(self, zoom=zoom, corner=_within(corner, zoom))


def snapped(place: Place) -> Place:
    """The nearest tenth of a small square that lies on the sheet."""
    return Place(
        round(min(max(place.across, 0.0), float(SQUARES_ACROSS)) / SNAP) / (1 / SNAP),
        round(min(max(place.up, 0.0), float(SQUARES_UP)) / SNAP) / (1 / SNAP),
    )


def _followed(corner: Place, point: Place, zoom: int) -> Place:
    """The corner moved as little as shows the point away from the edge."""
    keep = KEPT_IN_VIEW if zoom > 1 else 0.0
    moved = [
        min(max(at, where + keep - size / zoom), where - keep)
        for at, where, size in zip(corner, point, (SQUARES_ACROSS, SQUARES_UP), strict=True)
    ]
    return _within(Place(*moved), zoom)


def _within(corner: Place, zoom: int) -> Place:
    """The corner moved so that no view reaches beyond the sheet; it lies on whole squares."""
    most = (SQUARES_ACROSS - SQUARES_ACROSS / zoom, SQUARES_UP - SQUARES_UP / zoom)
    return Place(
        *(float(round(min(max(at, 0.0), end))) for at, end in zip(corner, most, strict=True))
    )


# Places and values.


def value_at(axis: Axis, squares: float) -> float:
    """What a place along an axis stands for; without the dust of binary fractions."""
    return float(f"{axis.start + squares / SMALL * axis.large_square:.{DIGITS}g}")


def squares_at(axis: Axis, value: float) -> float:
    """Where a value lies along an axis, in small squares; it may lie off the sheet."""
    return (value - axis.start) / axis.large_square * SMALL


@dataclass(frozen=True)
class Axes:
    """Both axes of a graph."""

    across: Axis
    up: Axis

    def values(self, place: Place) -> tuple[float, float]:
        """What a place stands for."""
        return value_at(self.across, place.across), value_at(self.up, place.up)

    def place(self, values: tuple[float, float]) -> Place:
        """Where two values lie; it may be off the sheet."""
        return Place(squares_at(self.across, values[0]), squares_at(self.up, values[1]))


def nearest(places: tuple[Place, ...], point: Place) -> int | None:
    """Which place lies at the pencil's point; None where none is near enough."""
    far = [max(abs(p.across - point.across), abs(p.up - point.up)) for p in places]
    if not far or min(far) > NEAR:
        return None
    return far.index(min(far))


# The view on the screen.


@dataclass(frozen=True)
class View:
    """Where the sheet is seen: `grid` is its window on the page, squares are truly square."""

    grid: Box
    px_per_square: int
    corner: Place

    def to_px(self, place: Place) -> tuple[float, float]:
        """The point of the page at which a place is drawn."""
        return (
            self.grid.x + (place.across - self.corner.across) * self.px_per_square,
            self.grid.bottom - (place.up - self.corner.up) * self.px_per_square,
        )

    def shows(self, place: Place) -> bool:
        """Whether a place lies in what is seen."""
        x, y = self.to_px(place)
        return self.grid.x <= x <= self.grid.right and self.grid.y <= y <= self.grid.bottom

    def to_place(self, x: float, y: float) -> Place:
        """The place under a point of the page; it may lie off the sheet."""
        return Place(
            self.corner.across + (x - self.grid.x) / self.px_per_square,
            self.corner.up + (self.grid.bottom - y) / self.px_per_square,
        )


def view_of(paper: Paper, grid: Box, px_per_square: int) -> View:
    """The view of a paper in its window, whose squares at full view are `px_per_square` wide."""
    return View(grid, px_per_square * paper.zoom, paper.corner)


def curve(places: tuple[Place, ...]) -> tuple[Place, ...]:
    """A smooth line through places, the one that marking reads; two give a straight one."""
    return tuple(Place(*place) for place in smooth(np.array(places, dtype=float)).tolist())
