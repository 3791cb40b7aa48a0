"""Crosses against the own table's points.

Rule: a cross stands where it should when neither sideways nor upwards it is more than half a
small square (1 mm on paper) from the point; each cross stands for one point, so that together as
many as possible fit. Points that lie beyond the ends of an axis ask for no cross: the scale has
lost its mark already.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.marking.own_graph import HALF_SMALL_SQUARE_MM, OwnGraph, Values

_DUST_MM = 1e-6
_NEARBY_MM = 20.0
"""A cross farther from every point than a large square is an extra one, not a misplaced one."""


@dataclass(frozen=True)
class Plotted:
    """Places in `OwnGraph.points` and `OwnGraph.crosses`; `astray` pairs cross and point."""

    fitting: tuple[tuple[int, int], ...]
    astray: tuple[tuple[int, int], ...]
    missing: tuple[int, ...]
    extra: tuple[int, ...]


def plotted(graph: OwnGraph) -> Plotted:
    """Pair crosses and points; raises nothing, whatever their numbers."""
    from scipy.optimize import linear_sum_assignment

    wanted = np.flatnonzero(on_sheet(graph))
    gaps = _gaps_mm(graph, graph.points[wanted])
    close = gaps <= HALF_SMALL_SQUARE_MM + _DUST_MM
    # First as many close pairs as can be, then the shortest ways for the rest.
    cost = np.where(close, gaps * 1e-6, np.minimum(gaps, 1e6) + 1e6)
    pairs = [
        (int(cross), int(point))
        for cross, point in zip(*linear_sum_assignment(cost), strict=True)
        if gaps[cross, point] <= _NEARBY_MM
    ]
    fitting = tuple((c, int(wanted[p])) for c, p in pairs if close[c, p])
    astray = tuple((c, int(wanted[p])) for c, p in pairs if not close[c, p])
    used_crosses = {c for c, _ in pairs}
    used_points = {int(wanted[p]) for _, p in pairs}
    return Plotted(
        fitting,
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


def _gaps_mm(graph: OwnGraph, points: Values) -> Values:
    """Larger of the two distances on paper, (crosses, points)."""
    away = np.abs(graph.crosses[:, None, :] - points[None, :, :])
    return np.maximum(graph.temperature.mm(away[..., 0]), graph.height.mm(away[..., 1]))
