"""Two procedures side by side: on graph paper, every reading a mark, and as a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from matplotlib.collections import LineCollection
from matplotlib.lines import Line2D

from analysis.paper.document import Table
from analysis.paper.graph_sheet import INK, GraphSheet, ruled
from analysis.paper.scales import LARGE_ACROSS, LARGE_UP, choose_scale
from analysis.quantity.headings import TEMPERATURE, heading_text
from analysis.quantity.text import fixed, plain, ratio
from analysis.quantity.units import celsius, centimetres
from analysis.report.figures import Places, Worked, column_texts, listed
from analysis.report.summary import Precision

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from analysis.quantity.text import FloatArray
    from analysis.readings.readings import Grid
    from analysis.statistics.two_procedures import Contrast

STRIP = 0.16
"""How far a procedure's strip stands off its temperature, in gaps between temperatures."""
FAN = 0.05
"""How far neighbouring marks of a strip stand apart, so that equal readings all show."""


def draw_contrast(a: Grid, b: Grid, names: tuple[str, str]) -> Figure:
    """Draw the readings of two procedures, in true size (small squares 2 mm).

    A's readings are open circles a little to the left of their temperature, B's crosses a
    little to the right, each with a bar from the lowest to the highest: told apart by
    place and shape, not by colour.
    """
    temperatures = np.union1d(celsius(a.temperatures_k), celsius(b.temperatures_k))
    gap = float(np.min(np.diff(temperatures))) if temperatures.size > 1 else 10.0
    heights_cm = centimetres(np.concatenate([a.heights_m.ravel(), b.heights_m.ravel()]))
    axes_room = (temperatures[0] - gap / 2, temperatures[-1] + gap / 2)
    sheet = GraphSheet(
        across=choose_scale(*axes_room, LARGE_ACROSS),
        up=choose_scale(float(np.nanmin(heights_cm)), float(np.nanmax(heights_cm)), LARGE_UP),
        title=(
            "Two procedures, every reading",
            "strips beside their temperature, from first drop to last; bars: lowest to highest",
        ),
        across_title=heading_text(TEMPERATURE, "°C"),
        up_title=heading_text("rebound height", "cm"),
        key_lines=1,
    )
    figure, axes = ruled(sheet)
    _strip(axes, a, (-STRIP * gap, FAN * gap), "o")
    _strip(axes, b, (STRIP * gap, FAN * gap), "x")
    figure.legend(
        [_mark("o"), _mark("x")], names, loc="lower center", ncols=2, frameon=False, fontsize=9
    )
    return figure


def _strip(axes: Axes, table: Grid, place: tuple[float, float], marker: str) -> None:
    """One procedure's readings and the bars of their range, `place` in °C: offset and fan."""
    offset, fan = place
    at = celsius(table.temperatures_k) + offset
    heights_cm = centimetres(table.heights_m)
    repeats = heights_cm.shape[1]
    spread_out = (np.arange(repeats) - (repeats - 1) / 2) * fan
    across = at[:, None] + spread_out
    axes.add_line(_mark(marker, across.ravel(), heights_cm.ravel()))
    known = ~np.isnan(heights_cm).all(axis=1)
    low, high = np.nanmin(heights_cm[known], axis=1), np.nanmax(heights_cm[known], axis=1)
    x = at[known] + spread_out[0] - 1.5 * fan
    bars = [
        np.array([(place, bottom), (place, top)])
        for place, bottom, top in zip(x, low, high, strict=True)
    ]
    axes.add_collection(LineCollection(bars, colors=INK, linewidths=1.4, zorder=3), autolim=False)


def _mark(marker: str, across: FloatArray | None = None, up: FloatArray | None = None) -> Line2D:
    empty = np.empty(0)
    return Line2D(
        empty if across is None else across,
        empty if up is None else up,
        ls="none",
        marker=marker,
        ms=5,
        mfc="none",
        mec=INK,
        mew=0.9,
        zorder=4,
        clip_on=False,
    )


_EACH = (
    listed("mean", places=Places(1, "readings")),
    listed("half_range", "half-range"),
    listed("standard_deviation", places=Places(2, "readings")),
)
"""What the table gives of either procedure."""


def contrast_table(contrast: Contrast, names: tuple[str, str], decimal_places: int) -> Table:
    """Both procedures, a row a temperature; `decimal_places` are those of the readings, in cm."""
    precision = Precision(decimal_places, decimal_places)
    temperatures = tuple(plain(float(t)) for t in celsius(contrast.temperatures_k))
    columns = {heading_text(TEMPERATURE, "°C"): temperatures}
    for name, spread in zip(names, (contrast.spread_a, contrast.spread_b), strict=True):
        for entry in _EACH:
            columns[entry.heading(f", {name}")] = column_texts(entry, Worked(spread), precision)
    deviations = ratio(
        contrast.spread_b.standard_deviation_m, contrast.spread_a.standard_deviation_m
    )
    columns[f"standard deviation, {names[1]} over {names[0]}"] = tuple(
        fixed(float(value), 2) for value in deviations
    )
    return Table("", tuple(columns), tuple(zip(*columns.values(), strict=True)))
