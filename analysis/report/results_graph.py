"""The graph as a student should draw it.

Rebound height against temperature on graph paper: crosses for the means, bars of the half-range, a
thin line of best fit. Black on white, told apart by shape, place and dashes, never by colour alone.
Figures are made without pyplot, so nothing global is touched.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.path import Path as Path2D
from numpy.typing import ArrayLike

from analysis.paper.graph_sheet import (
    FONT_POINTS,
    INK,
    KEY_LINE_MM,
    GraphSheet,
    ruled,
    sheet_for,
    source_line,
)
from analysis.paper.scales import CROSS_COLOUR, LARGE_SQUARE_MM, MM_PER_INCH
from analysis.quantity.units import FloatArray, centimetres, kelvin
from analysis.report.summary import Summary

if TYPE_CHECKING:
    from matplotlib.axes import Axes


Dashes: TypeAlias = str | tuple[int, tuple[int, ...]]

CAP_MM = 2.0
THIN, BAR = 0.9, 1.1
MOST_VECTORS = 500  # more crosses than this go into an SVG or PDF as one picture
KEY_COLUMNS = 2
KEY_SIGN_MM = 11.0


def draw(summary: Summary) -> Figure:
    """Draw the graph of a summary, in true size (small squares 2 mm, large 2 cm).

    A straight line of best fit with the steepest and shallowest lines through all bars, or a
    second-degree curve where the trend says that a straight line is not enough. One temperature
    gets a point and no line.
    """
    lines = _lines(summary)
    sheet = _sheet(summary, lines)
    figure, axes = ruled(sheet)
    _crosses(axes, summary)
    _bars(axes, summary, sheet)
    _anomalies(axes, summary)
    for line in lines:
        axes.add_line(line)
    _lay_key(figure, axes)
    return figure


def _lines(summary: Summary) -> list[Line2D]:
    """The line or curve of best fit and the extreme lines, in °C and cm, told apart by dashes."""
    if not summary.has_line:
        return []
    ends = summary.temperature_c[[0, -1]]
    if summary.curved and summary.curve is not None:
        along = np.linspace(ends[0], ends[1], 81)
        return [_line(along, np.polyval(summary.curve[::-1], along), "-", "curve of best fit")]
    best = _line(ends, summary.trend.line.at(kelvin(ends)), "-", "line of best fit")
    found = summary.trend.extremes
    pairs = (
        (found.steepest_gradient, found.steepest_intercept, (0, (7, 4)), "steepest line"),
        (found.shallowest_gradient, found.shallowest_intercept, (0, (2, 3)), "shallowest line"),
    )
    extremes = [
        _line(ends, intercept + gradient * (kelvin(ends) - found.origin), dashes, name)
        for gradient, intercept, dashes, name in pairs
        if np.isfinite(gradient)
    ]
    return [best, *extremes]


def _line(across_c: FloatArray, heights_m: ArrayLike, dashes: Dashes, name: str) -> Line2D:
    up_cm = centimetres(heights_m)
    return Line2D(across_c, up_cm, color=INK, lw=THIN, ls=dashes, label=name, zorder=2)


def _sheet(summary: Summary, lines: Sequence[Line2D]) -> GraphSheet:
    """Choose the sheet that holds everything that will be drawn."""
    half_cm = np.nan_to_num(centimetres(summary.spread.uncertainty_m))
    mean_cm = centimetres(summary.spread.mean_m)
    across = np.concatenate([summary.temperature_c, *(line.get_xdata() for line in lines)])
    bars = (mean_cm - half_cm, mean_cm + half_cm)
    up = np.concatenate([*bars, _flagged(summary)[1], *(line.get_ydata() for line in lines)])
    title = ("Rebound height of the ball against its temperature", source_line(summary.source))
    return sheet_for(across, up, title, math.ceil(_entries(summary, lines) / KEY_COLUMNS))


def _entries(summary: Summary, lines: Sequence[Line2D]) -> int:
    """How many entries the key will have: crosses, bars, anomalies, and each line."""
    bars = bool(np.isfinite(summary.spread.uncertainty_m).any())
    return 1 + bars + bool(summary.spread.anomalies.flagged.any()) + len(lines)


def _crosses(axes: Axes, summary: Summary) -> None:
    mean_cm = centimetres(summary.spread.mean_m)
    crosses = Line2D(
        summary.temperature_c, mean_cm, ls="none", marker="x", ms=6, mew=THIN, color=CROSS_COLOUR
    )
    crosses.set(zorder=4, clip_on=False, label="mean of the repeats")
    crosses.set_rasterized(mean_cm.size > MOST_VECTORS)
    axes.add_line(crosses)


def _bars(axes: Axes, summary: Summary, sheet: GraphSheet) -> None:
    """Half-range bars with caps, all in one artist; none where there is one repeat."""
    known = np.isfinite(summary.spread.uncertainty_m)
    if not known.any():
        return
    x, mean = summary.temperature_c[known], centimetres(summary.spread.mean_m)[known]
    half = centimetres(summary.spread.uncertainty_m)[known]
    cap = np.full(x.shape, CAP_MM / 2 / LARGE_SQUARE_MM * sheet.across.per_large_square)
    bars = [_segments(x, mean - half, x, mean + half)]
    bars += [_segments(x - cap, end, x + cap, end) for end in (mean - half, mean + half)]
    artist = LineCollection(
        list(np.concatenate(bars)), colors=INK, linewidths=BAR, zorder=3, clip_on=False
    )
    artist.set_rasterized(x.size > MOST_VECTORS)
    artist.set_label("half-range of the repeats")
    axes.add_collection(artist, autolim=False)


def _segments(x0: FloatArray, y0: FloatArray, x1: FloatArray, y1: FloatArray) -> FloatArray:
    """One line a row, from (x0, y0) to (x1, y1), (n, 2, 2)."""
    return np.stack([np.stack([x0, y0], axis=-1), np.stack([x1, y1], axis=-1)], axis=1)


def _flagged(summary: Summary) -> tuple[FloatArray, FloatArray]:
    """Temperature and height of every reading that the test calls an anomaly, in °C and cm."""
    rows, columns = np.nonzero(summary.spread.anomalies.flagged)
    return summary.temperature_c[rows], centimetres(summary.grid.heights_m[rows, columns])


def _anomalies(axes: Axes, summary: Summary) -> None:
    x, y = _flagged(summary)
    if x.size:
        label = "reading that may be an anomaly"
        axes.add_line(
            Line2D(x, y, ls="none", marker="o", ms=6, mfc="none", mec=INK, mew=THIN, label=label)
        )


def _lay_key(figure: Figure, axes: Axes) -> None:
    """Lay the key under the axis title, in two columns: points and bars first, then the lines.

    By hand: matplotlib's own legend takes as long as all the rest of the drawing.
    """
    crosses, *lines = axes.lines
    bars = [c for c in axes.collections if not str(c.get_label()).startswith("_")]
    signs = [crosses, *(_bar_sign(str(bar.get_label())) for bar in bars), *lines]
    width_mm, height_mm = (inches * MM_PER_INCH for inches in figure.get_size_inches())
    rows = math.ceil(len(signs) / KEY_COLUMNS)
    for place, sign in enumerate(signs):
        left_mm = width_mm * (0.05 + 0.5 * (place // rows))
        y = (KEY_LINE_MM * (rows - place % rows) - KEY_LINE_MM / 2 + 1) / height_mm
        _lay_sign(figure, sign, (left_mm / width_mm, y), KEY_SIGN_MM / width_mm)


def _lay_sign(figure: Figure, sign: Line2D, at: tuple[float, float], length: float) -> None:
    """Lay one sign of the key and its text at a place of the figure, in figure fractions."""
    x, y = at
    points = (
        ([x, x + length], [y, y]) if sign.get_linestyle() != "None" else ([x + length / 2], [y])
    )
    shown = Line2D(*points)
    shown.update_from(sign)
    shown.set(transform=figure.transFigure, clip_on=False)
    figure.add_artist(shown)
    figure.text(
        x + 1.2 * length, y, str(sign.get_label()), va="center_baseline", fontsize=FONT_POINTS - 1
    )


def _bar_sign(label: str) -> Line2D:
    """Give the key's sign for a bar: upright with caps, so that it is not taken for a line."""
    path = Path2D([(-0.4, -1), (0.4, -1), (0, -1), (0, 1), (-0.4, 1), (0.4, 1)], [1, 2, 1, 2, 1, 2])
    return Line2D([], [], ls="none", marker=path, ms=9, mec=INK, mfc="none", mew=BAR, label=label)
