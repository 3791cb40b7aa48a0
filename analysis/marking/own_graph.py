"""The student's own graph beside the own table, both in the units of the graph's axes.

Whichever way round the axes are, everything here is sorted into temperature and height, so that
swapped axes cost their mark once. `*_mm` are lengths on paper: a large square is 20 mm, a small
one 2 mm (common practice, no source).

Rules of the line, heights measured on paper along the height axis:

- balance: it leaves the points on one side when none lies on its other side and they are on
  average more than half a small square (1 mm) away;
- gradient: between those of the steepest and the shallowest line through the half-range bars
  (`analysis.statistics.line`), or between one of them and the least-squares line where that lies
  outside; where no straight line passes through all the bars, within two standard uncertainties
  (at least 10 %) of the least-squares gradient. Half a small square of height over the points'
  span is allowed for drawing. A curve is judged by the straight line that fits it;
- dot-to-dot: a line of three or more points that meets every cross, or all but one of five or
  more, if it bends both ways, or if it has no points but those and a straight line would pass
  through all the half-range bars;
- wavering: a curve that is more than three quarters of a small square both from every line that
  bends one way alone and from the cubic that fits it best, so that a gentle S is none;
- forced through the origin: the sheet shows 0, 0 (in °C and a length) and the line passes within a
  small square of it, the least-squares line misses it by more than two, and the extreme lines both
  pass it on one side. Off the sheet nobody is drawn to it, and the gradient tells.

Rule of the crosses: one stands where it should when neither sideways nor upwards it is more than
half a small square (1 mm on paper) from the point; each cross stands for one point, so that
together as many as possible fit. Points that lie beyond the ends of an axis ask for no cross: the
scale has lost its mark already.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linear_sum_assignment

from analysis.marking.own_table import OwnTable, school_spread, to_school
from analysis.marking.work import SIDES, Axis, Graph, Side, smooth
from analysis.paper.scales import LARGE_SQUARE_MM, SMALL_SQUARE_MM, SMALL_SQUARES
from analysis.quantity.headings import OwnHeading, own_heading
from analysis.quantity.units import (
    KIND_OF,
    centimetres,
    restated,
    school_unit,
)
from analysis.statistics.line import extreme_lines, fit_line

Values = NDArray[np.float64]

HALF_SMALL_SQUARE_MM = SMALL_SQUARE_MM / 2
LARGEST = 1e6
"""No number on a graph of this practical, in any unit, is larger; what is, counts as not drawn."""

_DECIMALS = 9


@dataclass(frozen=True)
class OwnAxis:
    """One axis: its side, what its title tells, the axis as drawn, and its length in squares.

    `unit` is that of the title, or of the table's heading where the title has none.
    """

    side: Side
    heading: OwnHeading
    axis: Axis
    squares: int
    unit: str

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

    def of_school(self, values: Values | float) -> Values:
        """Temperatures in °C or heights in cm, restated in the axis's unit."""
        return _in_unit(values, self.unit)


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
    def small_square_cm(self) -> float:
        """What a small square of the height axis stands for."""
        return to_school(self.height.small_square, self.height.unit)

    def line_cm_at(self, temperature_c: float) -> float:
        """Height of the line at a temperature; NaN beyond the ends of a curve."""
        height = float(self.line_at(self.temperature.of_school(temperature_c)))
        return to_school(height, self.height.unit) if math.isfinite(height) else math.nan

    @property
    def gradient_cm_per_c(self) -> float:
        """Gradient of a straight line; NaN for a curve."""
        if not math.isfinite(self.gradient):
            return math.nan
        return to_school(self.gradient, self.height.unit) * self._per_c

    @property
    def span_c(self) -> float:
        """From the coolest point, or end of the line where there are none, to the hottest."""
        across = self.fitted[:, 0] if len(self.fitted) else self.line[:, 0]
        return float(np.ptp(across)) / self._per_c

    @property
    def _per_c(self) -> float:
        """Degrees of the temperature axis in one degree Celsius."""
        return float(self.temperature.of_school(1.0) - self.temperature.of_school(0.0))

    @property
    def fitted(self) -> Values:
        """The points that a line is to be fitted to: the table's, or the crosses without one."""
        return self.points if len(self.points) >= 2 else self.crosses


def own_graph(graph: Graph, table: OwnTable) -> OwnGraph | None:
    """Lay graph and table side by side; None where an axis is missing or has no scale."""
    axes = {
        side: _own_axis(side, graph.axes[side], squares, table)
        for side, squares in zip(SIDES, graph.squares, strict=True)
        if side in graph.axes and _has_scale(graph.axes[side])
    }
    if len(axes) < 2:
        return None
    swapped = _swapped(axes["across"], axes["up"], graph, table)
    temperature, height = axes["across"], axes["up"]
    if swapped:
        temperature, height = height, temperature
    points, uncertainty = _points(table, temperature.unit, height.unit)
    return OwnGraph(
        temperature=temperature,
        height=height,
        swapped=swapped,
        points=points,
        uncertainty=uncertainty,
        crosses=_pairs(graph.crosses, swapped),
        line=_pairs(graph.line, swapped),
    )


def _own_axis(side: Side, axis: Axis, squares: int, table: OwnTable) -> OwnAxis:
    heading = own_heading(axis.title)
    unit, role = heading.unit, heading.role
    if not unit:
        if role not in ("temperature", "height", "mean"):
            role = "temperature" if side == "across" else "height"
        roles = ("temperature",) if role == "temperature" else ("height", "mean")
        units = [one.heading.unit for one in table.having(*roles) if one.heading.unit]
        unit = units[0] if units else ("°C" if role == "temperature" else "cm")
    return OwnAxis(side, heading, axis, squares, unit)


def _in_unit(school: Values | float, unit: str) -> Values:
    values = np.asarray(school, dtype=np.float64)
    return restated(values, school_unit(KIND_OF[unit]), unit) if unit in KIND_OF else values


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
    heights_cm = [row.heights_cm for row in rows]
    half = np.full(len(rows), math.nan)
    if any(heights_cm):
        half = centimetres(school_spread(heights_cm, table.places).uncertainty_m)
    temperature = _in_unit(np.array([row.temperature_c for row in rows]), temperature_unit)
    height = _in_unit(np.array([row.mean_cm for row in rows]), height_unit)
    return np.column_stack([temperature, height]), _in_unit(half, height_unit)


def _pairs(pairs: tuple[tuple[float, float], ...], swapped: bool) -> Values:
    values = np.array(pairs, dtype=np.float64).reshape(len(pairs), 2)
    values = np.round(values[(np.abs(values) <= LARGEST).all(axis=1)], _DECIMALS)
    return values[:, ::-1] if swapped else values


_DUST_MM = 1e-6
_CROSSES_TO_MISS_ONE, _POINTS_TO_WAVER = 5, 4
"""A line through three of four crosses may be a curve laid by three points; a curve through three
points cannot waver."""
_WAVERS_MM = 0.75 * SMALL_SQUARE_MM
"""Of curves laid by ten points, each half a millimetre off at random, none in 300 is so far off.
Ours, no source."""
_NEARBY_MM = LARGE_SQUARE_MM
"""A cross farther than this from every point is an extra one, not a misplaced one."""


@dataclass(frozen=True)
class Gradients:
    """Gradients allowed, and whether they come from the half-range bars; in the axes' units."""

    low: float
    high: float
    from_bars: bool


def side(graph: OwnGraph) -> int:
    """On which side all the points are left: +1 above the line, -1 below it, 0 on both."""
    points = graph.fitted
    away_mm = graph.height.mm(points[:, 1] - graph.line_at(points[:, 0]))
    away_mm = away_mm[np.isfinite(away_mm)]
    if not len(away_mm) or abs(np.mean(away_mm)) <= HALF_SMALL_SQUARE_MM + _DUST_MM:
        return 0
    if (away_mm > -_DUST_MM).all():
        return 1
    return -1 if (away_mm < _DUST_MM).all() else 0


def drawn_gradient(graph: OwnGraph) -> float:
    """Gradient of a straight line; of a curve, that of the straight line that fits it best."""
    if len(graph.line) == 2:
        return graph.gradient
    return float(fit_line(graph.line[:, 0], graph.line[:, 1]).gradient)


def gradients(graph: OwnGraph) -> Gradients | None:
    """Gradients that a line for these points may have; None where there are too few points."""
    points = graph.fitted
    if len(np.unique(points[:, 0])) < 2:
        return None
    line = fit_line(points[:, 0], points[:, 1])
    best = float(line.gradient)
    bars = graph.uncertainty if graph.fitted is graph.points else np.full(len(points), math.nan)
    found = extreme_lines(points[:, 0], points[:, 1], bars)
    from_bars = bool(np.isfinite(found.steepest_gradient)) and found.bars == len(points)
    if from_bars:
        low = min(best, float(found.shallowest_gradient))
        high = max(best, float(found.steepest_gradient))
    else:
        spread = max(0.1 * abs(best), 2.0 * float(np.nan_to_num(line.gradient_uncertainty)))
        low, high = best - spread, best + spread
    drawing = graph.height.small_square / 2 / float(np.ptp(points[:, 0]))
    return Gradients(low - drawing, high + drawing, from_bars)


def is_dot_to_dot(graph: OwnGraph) -> bool:
    """Whether the line only joins the crosses."""
    if len(graph.line) < 3 or len(graph.crosses) < 3:
        return False
    close = _gaps_mm(graph, graph.line, graph.crosses) <= HALF_SMALL_SQUARE_MM + _DUST_MM
    missed = int(np.sum(~close.any(axis=0)))
    if missed > (len(graph.crosses) >= _CROSSES_TO_MISS_ONE):
        return False
    if not _bends_one_way(graph.line):
        return True
    allowed = gradients(graph)
    return bool(close.any(axis=1).all() and allowed is not None and allowed.from_bars)


def _bends_one_way(line: Values) -> bool:
    order = np.argsort(line[:, 0], kind="stable")
    run, rise = np.diff(line[order], axis=0).T
    slopes = rise[run > 0] / run[run > 0]
    bends = np.diff(slopes)
    return bool((bends >= 0).all() or (bends <= 0).all())


def is_wavering(graph: OwnGraph) -> bool:
    """Whether a curve bends one way and back more than a smooth line for such points does."""
    if len(graph.line) < _POINTS_TO_WAVER:
        return False
    curve = smooth(graph.line)
    across, first = np.unique(graph.temperature.mm(curve[:, 0]), return_index=True)
    if len(across) < _POINTS_TO_WAVER:
        return False
    up = graph.height.mm(curve[first, 1])
    one_way = min(_off_one_way(across, up), _off_one_way(across, -up))
    middle = (across - across.mean()) / np.ptp(across)
    cubic = np.polynomial.Polynomial.fit(middle, up, 3)
    off = min(one_way, float(np.max(np.abs(up - cubic(middle)))))
    return off > _WAVERS_MM


def _off_one_way(across_mm: Values, up_mm: Values) -> float:
    """How far at most a line is from the nearest one that bends upwards alone.

    The greatest such line below it, lifted by half of the largest gap.
    """
    hull: list[int] = []
    for at in range(len(across_mm)):
        while len(hull) > 1 and _is_above(across_mm, up_mm, hull[-2], hull[-1], at):
            hull.pop()
        hull.append(at)
    below_mm = np.interp(across_mm, across_mm[hull], up_mm[hull])
    return float(np.max(up_mm - below_mm)) / 2


def _is_above(across_mm: Values, up_mm: Values, left: int, middle: int, right: int) -> bool:
    """Whether the middle point lies on or above the straight line from left to right."""
    rise, run = up_mm[right] - up_mm[left], across_mm[right] - across_mm[left]
    return bool((up_mm[middle] - up_mm[left]) * run >= rise * (across_mm[middle] - across_mm[left]))


def is_forced(graph: OwnGraph) -> bool:
    """Whether the line is taken through the origin although the points do not lead there."""
    points = graph.fitted
    shown = all(axis.axis.start <= 0 <= axis.end for axis in (graph.temperature, graph.height))
    in_celsius = graph.temperature.heading.unit in (None, "°C")
    if not (shown and in_celsius) or len(np.unique(points[:, 0])) < 2:
        return False
    small = graph.height.small_square
    near = np.abs(graph.line) <= [graph.temperature.small_square, small]
    through = near.all(axis=1).any() or (
        graph.is_straight and abs(float(graph.line_at(0.0))) <= small
    )
    if not through or abs(float(fit_line(points[:, 0], points[:, 1]).at(0.0))) <= 2 * small:
        return False
    if graph.fitted is not graph.points:
        return True
    found = extreme_lines(points[:, 0], points[:, 1], graph.uncertainty)
    ends = [float(found.steepest_intercept), float(found.shallowest_intercept)]
    return math.isnan(ends[0]) or ends[0] * ends[1] > 0


@dataclass(frozen=True)
class Plotted:
    """Places in `OwnGraph.points` and `OwnGraph.crosses`; `astray` pairs cross and point.

    `fitting` is how many crosses stand where they should.
    """

    fitting: int
    astray: tuple[tuple[int, int], ...]
    missing: tuple[int, ...]
    extra: tuple[int, ...]


def plotted(graph: OwnGraph) -> Plotted:
    """Pair crosses and points; raises nothing, whatever their numbers."""
    wanted = np.flatnonzero(on_sheet(graph))
    gaps = _gaps_mm(graph, graph.crosses, graph.points[wanted])
    close = gaps <= HALF_SMALL_SQUARE_MM + _DUST_MM
    # First as many close pairs as can be, then the shortest ways for the rest.
    cost = np.where(close, gaps * 1e-6, np.minimum(gaps, 1e6) + 1e6)
    pairs = [
        (int(cross), int(point))
        for cross, point in zip(*linear_sum_assignment(cost), strict=True)
        if gaps[cross, point] <= _NEARBY_MM
    ]
    astray = tuple((c, int(wanted[p])) for c, p in pairs if not close[c, p])
    used_crosses = {c for c, _ in pairs}
    used_points = {int(wanted[p]) for _, p in pairs}
    return Plotted(
        len(pairs) - len(astray),
        astray,
        tuple(int(p) for p in wanted if int(p) not in used_points),
        tuple(c for c in range(len(graph.crosses)) if c not in used_crosses),
    )


def on_sheet(graph: OwnGraph) -> np.ndarray:
    """Which of the own points lie between the ends of both axes, (n,) of bool."""
    inside = np.ones(len(graph.points), dtype=bool)
    for place, axis in enumerate((graph.temperature, graph.height)):
        values = graph.points[:, place]
        dust = axis.small_square * 1e-6
        inside &= (values >= axis.axis.start - dust) & (values <= axis.end + dust)
    return inside


def _gaps_mm(graph: OwnGraph, some: Values, others: Values) -> Values:
    """Larger of the two distances on paper of each of (n, 2) from each of (m, 2), (n, m)."""
    away = np.abs(some[:, None, :] - others[None, :, :])
    return np.maximum(graph.temperature.mm(away[..., 0]), graph.height.mm(away[..., 1]))
