"""The picture of a fit: readings with the model, and beneath them what is left over."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.figure import Figure

from analysis.graph import TITLE_LETTERS
from analysis.paper import FONT_POINTS, INK, LARGE_RULE, MM_PER_INCH
from analysis.quantity import centimetres, heading, temperature_text
from sim.calibration.calibrate import Calibration

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from physics.number import FloatArray

WIDTH_MM, HEIGHT_MM = 170.0, 150.0
MOST_LABELS = 12
"""Sets whose temperatures are written; of more, some are left out."""
MOST_DIVIDERS = 60
LIMIT = 2.0
"""The dashed lines stand at so many standard deviations."""


def draw_residuals(found: Calibration) -> Figure:
    """Draw readings and model over the drops in order, and the residuals below, in cm.

    Crosses for readings, bars for the model; upright lines part the sets. Where the model
    fits, the residuals lie about the middle line in every set, with no trend from first
    drop to last, and nineteen in twenty between the dashed lines.
    """
    figure = Figure(figsize=(WIDTH_MM / MM_PER_INCH, HEIGHT_MM / MM_PER_INCH), facecolor="white")
    above, below = figure.subplots(
        2, 1, sharex=True, gridspec_kw={"height_ratios": [3, 2], "hspace": 0.08}
    )
    residuals_cm = centimetres(found.fit.residuals_m)
    heights_cm = centimetres(found.fit.task.heights_m)
    drop = np.arange(1.0, heights_cm.size + 1.0)
    _readings(above, drop, heights_cm, heights_cm - residuals_cm)
    _residuals(below, drop, residuals_cm, centimetres(found.fit.total_m))
    for axes in (above, below):
        axes.spines[["top", "right"]].set_visible(False)
        axes.tick_params(labelsize=FONT_POINTS)
    _sets(above, below, found)
    _entitle(figure, found.source)
    return figure


def _readings(axes: Axes, drop: FloatArray, read_cm: FloatArray, model_cm: FloatArray) -> None:
    axes.plot(drop, read_cm, ls="none", marker="x", ms=5, mew=0.9, color=INK, label="reading")
    axes.plot(drop, model_cm, ls="none", marker="_", ms=8, mew=1.6, color=INK, label="model")
    axes.set_ylabel(heading("rebound height", "cm"), fontsize=FONT_POINTS + 1)
    axes.legend(
        loc="lower right", bbox_to_anchor=(1.0, 0.99), ncols=2, frameon=False, fontsize=FONT_POINTS
    )
    axes.margins(y=0.12)


def _residuals(axes: Axes, drop: FloatArray, off_cm: FloatArray, sd_cm: FloatArray) -> None:
    axes.axhline(0.0, color=INK, lw=0.9)
    for side in (-LIMIT, LIMIT):
        axes.plot(drop, side * sd_cm, color=INK, lw=0.8, ls=(0, (6, 4)))
    axes.plot(drop, off_cm, ls="none", marker="x", ms=5, mew=0.9, color=INK)
    most = 1.25 * float(max(np.abs(off_cm).max(), LIMIT * sd_cm.max()))
    axes.set_ylim(-most, most)
    axes.set_ylabel(heading("reading less model", "cm"), fontsize=FONT_POINTS + 1)


def _sets(above: Axes, below: Axes, found: Calibration) -> None:
    """Part the sets, and write their temperatures under them."""
    row = found.course.row
    starts = np.flatnonzero(np.diff(row, prepend=-1))
    ends = np.append(starts[1:], row.size)
    if starts.size <= MOST_DIVIDERS:
        for start in starts[1:]:
            for axes in (above, below):
                axes.axvline(start + 0.5, color=LARGE_RULE, lw=0.6)
    shown = slice(None, None, -(-starts.size // MOST_LABELS))
    middles = (starts + ends + 1.0) / 2.0
    below.set_xticks(
        middles[shown], [temperature_text(found.course.water_k[each]) for each in starts[shown]]
    )
    above.tick_params(axis="x", length=0)
    below.tick_params(axis="x", length=0)
    below.set_xlim(0.4, row.size + 0.6)
    below.set_xlabel(
        "drops in order, by temperature of the water; dashed: two standard deviations",
        fontsize=FONT_POINTS + 1,
    )


def _entitle(figure: Figure, source: str) -> None:
    named = textwrap.shorten(f"readings: {source}", TITLE_LETTERS, placeholder=" …")
    if len(named) < 12:  # one long word: shorten() leaves nothing of it
        named = f"readings: {source[: TITLE_LETTERS - 12]}…"
    figure.text(0.5, 0.975, "The fitted ball against the readings", ha="center", va="top", size=11)
    figure.text(0.5, 0.94, named, ha="center", va="top", size=9, parse_math=False)
    figure.subplots_adjust(left=0.1, right=0.98, bottom=0.09, top=0.89)
