"""The student's line against the own points: its kind, its balance, its gradient.

Rules, heights measured on paper along the height axis:

- balance: it leaves the points on one side when none lies on its other side and they are on
  average more than half a small square (1 mm) away;
- gradient: between those of the steepest and the shallowest line through the half-range bars
  (`analysis.extremes`), or between one of them and the least-squares line where that lies
  outside; where no straight line passes through all the bars, within two standard uncertainties
  (at least 10 %) of the least-squares gradient. Half a small square of height over the points'
  span is allowed for drawing. A curve is judged by the straight line that fits it;
- dot-to-dot: a line of three or more points that meets every cross, if it bends both ways, or if
  it has no points but those and a straight line would pass through all the half-range bars;
- forced through the origin: the sheet shows 0, 0 (in °C and a length) and the line passes within a
  small square of it, the least-squares line misses it by more than two, and the extreme lines both
  pass it on one side. Off the sheet nobody is drawn to it, and the gradient tells.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from analysis.extremes import extreme_lines
from analysis.line import fit_line
from analysis.marking.own_graph import HALF_SMALL_SQUARE_MM, OwnGraph, Values

_DUST_MM = 1e-6


@dataclass(frozen=True)
class Gradients:
    """Gradients allowed, and whether they come from the half-range bars; in the axes' units."""

    low: float
    high: float
    best: float
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
    return Gradients(low - drawing, high + drawing, best, from_bars)


def is_dot_to_dot(graph: OwnGraph) -> bool:
    """Whether the line only joins the crosses."""
    if len(graph.line) < 3 or len(graph.crosses) < 3:
        return False
    away = np.abs(graph.line[:, None, :] - graph.crosses[None, :, :])
    gaps = np.maximum(graph.temperature.mm(away[..., 0]), graph.height.mm(away[..., 1]))
    close = gaps <= HALF_SMALL_SQUARE_MM + _DUST_MM
    if not close.any(axis=0).all():
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


def is_forced(graph: OwnGraph) -> bool:
    """Whether the line is taken through the origin although the points do not lead there."""
    points = graph.fitted
    shown = all(axis.axis.start <= 0 <= axis.end for axis in (graph.temperature, graph.height))
    in_celsius = graph.temperature.heading.unit not in ("K", "°F")
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
