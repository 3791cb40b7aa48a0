"""The student's own graph beside the own table, both in the units of the graph's axes.

Whichever way round the axes are, everything here is sorted into temperature and height, so that
swapped axes cost their mark once. `*_mm` are lengths on paper: a large square is 20 mm, a small
one 2 mm (common practice, no source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from analysis.marking.free_curve import smooth
from analysis.marking.own_headings import OwnHeading, own_heading
from analysis.marking.own_table import OwnTable
from analysis.marking.work import Axis, Graph
from analysis.quantity import ZERO_CELSIUS_K
from analysis.scales import SMALL_SQUARES
from analysis.spread import spread
from analysis.units import KIND_OF, to_si

Values = NDArray[np.float64]
Side = Literal["across", "up"]
SIDES: tuple[Side, Side] = ("across", "up")

LARGE_SQUARE_MM = 20.0
HALF_SMALL_SQUARE_MM = LARGE_SQUARE_MM / SMALL_SQUARES / 2
LARGEST = 1e6
"""No number on a graph of this practical, in any unit, is larger; what is, counts as not drawn."""

_DECIMALS = 9


@dataclass(frozen=True)
class OwnAxis:
    """One axis: its side, what its title tells, the axis as drawn, and its length in squares."""

    side: Side
    heading: OwnHeading
    axis: Axis
    squares: int

    @property
    def small_square(self) -> float:
        """What a small square stands for, in the axis's unit."""
        return self.axis.large_square / SMALL_SQUARES

    @property
    def end(self) -> float:
        """The number at the end of the axis."""
        return self.axis.start + self.squares * self.axis.large_square

    def mm(self, difference: Values | float) -> Values:
        """Length on paper of a difference along this axis."""
        return np.asarray(difference, dtype=np.float64) / self.axis.large_square * LARGE_SQUARE_MM


@dataclass(frozen=True)
class OwnGraph:
    """Axes, own points, crosses and line, as (temperature, height) in the axes' units.

    `points` (n, 2) are those of the own table: temperature and mean as written. `uncertainty` (n,)
    is the half-range of each row, never less than half a unit of the readings' last place, NaN for
    one reading. `line` is (0, 2) where there is none.
    """

    temperature: OwnAxis
    height: OwnAxis
    swapped: bool
    points: Values
    uncertainty: Values
    crosses: Values
    line: Values

    @property
    def is_straight(self) -> bool:
        """Whether the line is a straight one that is not upright on the temperature axis."""
        return len(self.line) == 2 and bool(self.line[0, 0] != self.line[1, 0])

    def line_at(self, temperature: Values | float) -> Values:
        """Height of the own line; a straight one goes on beyond its ends, a curve is NaN there."""
        at = np.asarray(temperature, dtype=np.float64)
        line = smooth(self.line)
        order = np.argsort(line[:, 0], kind="stable")
        x, y = line[order, 0], line[order, 1]
        if self.is_straight:
            return np.asarray(y[0] + (at - x[0]) * (y[1] - y[0]) / (x[1] - x[0]))
        return np.asarray(np.interp(at, x, y, left=math.nan, right=math.nan))

    @property
    def gradient(self) -> float:
        """Gradient of a straight own line, height over temperature in the axes' units; else NaN."""
        if not self.is_straight:
            return math.nan
        (x, y), (x_end, y_end) = self.line
        return float((y_end - y) / (x_end - x))

    @property
    def fitted(self) -> Values:
        """The points that a line is to be fitted to: the table's, or the crosses without one."""
        return self.points if len(self.points) >= 2 else self.crosses


def own_graph(graph: Graph, table: OwnTable) -> OwnGraph | None:
    """Lay graph and table side by side; None where an axis is missing or has no scale."""
    axes = {
        side: OwnAxis(side, own_heading(graph.axes[side].title), graph.axes[side], squares)
        for side, squares in zip(SIDES, graph.squares, strict=True)
        if side in graph.axes and _has_scale(graph.axes[side])
    }
    if len(axes) < 2:
        return None
    swapped = _swapped(axes["across"], axes["up"], graph, table)
    temperature, height = axes["across"], axes["up"]
    if swapped:
        temperature, height = height, temperature
    points, uncertainty = _points(table, unit_of(temperature, table), unit_of(height, table))
    return OwnGraph(
        temperature=temperature,
        height=height,
        swapped=swapped,
        points=points,
        uncertainty=uncertainty,
        crosses=_pairs(graph.crosses, swapped),
        line=_pairs(graph.line, swapped),
    )


def unit_of(axis: OwnAxis, table: OwnTable) -> str:
    """The axis's unit; that of the table's heading where its title has none."""
    role = axis.heading.role
    if axis.heading.unit:
        return axis.heading.unit
    roles = ("temperature",) if role == "temperature" else ("height", "mean")
    if role not in ("temperature", "height", "mean"):
        roles = ("temperature",) if axis.side == "across" else ("height", "mean")
    units = [one.heading.unit for one in table.having(*roles) if one.heading.unit]
    return units[0] if units else ("°C" if roles == ("temperature",) else "cm")


def in_unit(school: Values | float, unit: str) -> Values:
    """Temperatures in °C or heights in cm, restated in another unit."""
    values = np.asarray(school, dtype=np.float64)
    if unit == "K":
        return values + ZERO_CELSIUS_K
    if unit == "°F":
        return values * 9 / 5 + 32
    if KIND_OF.get(unit) == "length":
        return values / (float(to_si(np.array(1.0), unit)) * 100.0)
    return values


def _has_scale(axis: Axis) -> bool:
    return abs(axis.start) <= LARGEST and 1 / LARGEST <= axis.large_square <= LARGEST


def _swapped(across: OwnAxis, up: OwnAxis, graph: Graph, table: OwnTable) -> bool:
    """Told by the titles; where they do not tell, by which way round the crosses fit the table."""
    heights = ("height", "mean")
    across_is = _kind(across)
    up_is = _kind(up)
    if across_is in heights or up_is == "temperature":
        return across_is != "temperature" and up_is not in heights
    if across_is == "temperature" or up_is in heights or not graph.crosses:
        return False
    points, _ = _points(table, "°C", "cm")
    if not len(points):
        return False
    crosses = np.array(graph.crosses)
    middle = np.median(crosses, axis=0)
    there = np.median(points, axis=0)
    return bool(np.sum(np.abs(middle - there[::-1])) < np.sum(np.abs(middle - there)))


def _kind(axis: OwnAxis) -> str:
    if axis.heading.role:
        return axis.heading.role
    kind = KIND_OF.get(axis.heading.unit or "")
    return {"length": "height", "temperature": "temperature"}.get(kind or "", "")


def _points(table: OwnTable, temperature_unit: str, height_unit: str) -> tuple[Values, Values]:
    rows = [r for r in table.rows if not (math.isnan(r.temperature_c) or math.isnan(r.mean_cm))]
    if not rows:
        return np.empty((0, 2)), np.empty(0)
    width = max(1, *(len(row.heights_cm) for row in rows))
    heights = np.full((len(rows), width), math.nan)
    for place, row in enumerate(rows):
        heights[place, : len(row.heights_cm)] = row.heights_cm
    half = np.full(len(rows), math.nan)
    if not np.isnan(heights).all():
        half = spread(heights / 100.0, 10.0**-table.places / 100.0).uncertainty_m * 100.0
    temperature = in_unit(np.array([row.temperature_c for row in rows]), temperature_unit)
    height = in_unit(np.array([row.mean_cm for row in rows]), height_unit)
    return np.column_stack([temperature, height]), in_unit(half, height_unit)


def _pairs(pairs: tuple[tuple[float, float], ...], swapped: bool) -> Values:
    values = np.array(pairs, dtype=np.float64).reshape(len(pairs), 2)
    values = np.round(values[(np.abs(values) <= LARGEST).all(axis=1)], _DECIMALS)
    return values[:, ::-1] if swapped else values
