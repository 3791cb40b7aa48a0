"""The readings of two procedures side by side, every drop in its order.

Beside each temperature stand the drops of both procedures, first to last from left to right, so
that a fall from drop to drop is seen as well as the spread. Black on white, told apart by shape and
place. Figures are made without pyplot, so nothing global is touched.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.figure import Figure

from analysis.quantity.headings import REBOUND_HEIGHT, heading_text
from analysis.quantity.units import centimetres, temperature_text

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from analysis.quantity.units import FloatArray
    from analysis.readings.readings import Grid

GAP = 2
"""Columns left free between the two procedures, and twice that between two temperatures."""
INCHES_A_COLUMN, NARROWEST, WIDEST = 0.16, 7.0, 30.0
SIGNS = ("o", "x")


def draw_contrast(a: Grid, b: Grid, names: tuple[str, str]) -> Figure:
    """Draw A's drops as open circles, B's as crosses, a pair of strips a temperature.

    Hottest first; under each strip the numbers of its first and last drop, and a bar from its
    lowest reading to its highest.
    """
    temperatures_k = np.union1d(a.temperatures_k, b.temperatures_k)[::-1]
    repeats = (a.heights_m.shape[1], b.heights_m.shape[1])
    pitch = sum(repeats) + 3 * GAP
    columns = pitch * temperatures_k.size
    width = min(max(columns * INCHES_A_COLUMN + 1.2, NARROWEST), WIDEST)
    figure = Figure(figsize=(width, 6.2), facecolor="white")
    axes = figure.add_axes((0.8 / width, 0.17, 1.0 - 1.0 / width, 0.69))
    numbered: dict[int, str] = {}
    for place, temperature_k in enumerate(temperatures_k):
        left = place * pitch + GAP
        for side, table in enumerate((a, b)):
            first = left + side * (repeats[0] + GAP)
            heights_cm = _row_cm(table, float(temperature_k))
            _strip(axes, heights_cm, first, SIGNS[side])
            numbered |= {first: "1", first + repeats[side] - 1: str(repeats[side])}
        middle = left + (pitch - 2 * GAP - 1) / 2
        axes.text(
            middle, 1.02, temperature_text(temperature_k), transform=axes.get_xaxis_transform(),
            ha="center", fontsize=14, weight="bold",
        )  # fmt: skip
        if place:
            axes.axvline(left - GAP - 0.5, color="0.6", lw=0.8)
    _lettered(figure, axes, numbered, columns)
    signs = [axes.plot([], [], **_look(sign))[0] for sign in SIGNS]
    figure.legend(
        signs, names, loc="lower center", ncols=2, frameon=False, fontsize=13, numpoints=1
    )
    return figure


def _row_cm(table: Grid, temperature_k: float) -> FloatArray:
    """The readings at a temperature in order, in cm; NaN for those there are not."""
    here = np.isclose(table.temperatures_k, temperature_k)
    if not here.any():
        return np.full(table.heights_m.shape[1], np.nan)
    row: FloatArray = centimetres(table.heights_m[np.argmax(here)])
    return row


def _strip(axes: Axes, heights_cm: FloatArray, first: int, sign: str) -> None:
    """One procedure's drops at one temperature, and the bar of their range before them."""
    known = ~np.isnan(heights_cm)
    if not known.any():
        return
    across = first + np.arange(heights_cm.size)
    axes.plot(across[known], heights_cm[known], color="0.6", lw=0.9, zorder=2)
    axes.plot(across[known], heights_cm[known], zorder=3, **_look(sign))
    axes.plot(
        [first - 0.9] * 2, [heights_cm[known].min(), heights_cm[known].max()], color="black", lw=2.5
    )


def _look(sign: str) -> dict[str, Any]:
    return {"ls": "none", "marker": sign, "ms": 7, "mfc": "white", "mec": "black", "mew": 1.5}


def _lettered(figure: Figure, axes: Axes, numbered: dict[int, str], columns: int) -> None:
    """The axes' numbers and titles."""
    axes.set_xlim(-0.5, columns - 0.5)
    axes.set_xticks(list(numbered), list(numbered.values()))
    axes.tick_params(labelsize=12)
    axes.grid(axis="y", color="0.88")
    axes.set_axisbelow(True)
    axes.spines[["top", "right"]].set_visible(False)
    axes.set_xlabel("number of the drop; bars: lowest to highest reading", fontsize=13)
    axes.set_ylabel(heading_text(REBOUND_HEIGHT, "cm"), fontsize=13)
    figure.suptitle("Two procedures, every drop in its order", fontsize=14, y=0.985)
