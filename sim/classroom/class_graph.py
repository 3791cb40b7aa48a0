"""The pooled graph of a class: every reading, every student's means, and one line through all."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.lines import Line2D

from analysis.graph import MOST_VECTORS, graph_bytes
from analysis.line import fit_line
from analysis.paper import (
    INK,
    MOST_SQUARES_ACROSS,
    MOST_SQUARES_UP,
    Sheet,
    ruled,
)
from analysis.quantity import heading
from analysis.scales import choose_scale

if TYPE_CHECKING:
    from collections.abc import Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from sim.classroom.class_work import StudentWork
    from sim.classroom.evidence import Reading

SPREAD_C = 2.4
"""Students' points at one temperature are laid side by side over so many °C, or over less where
temperatures lie close together, so that none hides another."""
READINGS_GREY = "#777777"


@dataclass(frozen=True)
class Pool:
    """Points of a class: columns student, temperature / °C, height / cm; for drops and means."""

    readings: NDArray[np.float64]
    means: NDArray[np.float64]

    @property
    def students(self) -> int:
        """How many students have a point."""
        return len(np.unique(self.means[:, 0]))


def pooled(students: Sequence[StudentWork]) -> Pool:
    """The readings of a class, and the mean of each student at each planned temperature."""
    drops: list[tuple[float, float, float]] = []
    means: list[tuple[float, float, float]] = []
    for student in students:
        for temperature_c, heights_cm in _sets(student.examined.evidence.readings).items():
            drops += [(student.student, temperature_c, height) for height in heights_cm]
            means.append((student.student, temperature_c, float(np.mean(heights_cm))))
    return Pool(np.array(drops).reshape(-1, 3), np.array(means).reshape(-1, 3))


def pooled_svg(pool: Pool) -> str:
    """The graph as an SVG element for a page; nothing where there are no readings."""
    if not len(pool.means):
        return ""
    text = graph_bytes(_drawn(pool), "svg").decode()
    return text[text.index("<svg") :]


def _sets(readings: Sequence[Reading]) -> dict[float, list[float]]:
    sets: dict[float, list[float]] = defaultdict(list)
    for one in readings:
        sets[one.temperature_c].append(one.height_cm)
    return sets


def _drawn(pool: Pool) -> Figure:
    across, up = pool.readings[:, 1], pool.readings[:, 2]
    step_c = _spread_c(across)
    sheet = Sheet(
        across=choose_scale(across.min() - step_c, across.max() + step_c, MOST_SQUARES_ACROSS),
        up=choose_scale(float(up.min()), float(up.max()), MOST_SQUARES_UP),
        title=(
            "Rebound height against temperature: the class together",
            f"{pool.students} students; dots: readings, crosses: each student's means",
        ),
        across_title=heading("temperature", "°C"),
        up_title=heading("rebound height", "cm"),
    )
    figure, axes = ruled(sheet)
    _lay(axes, pool.readings, step_c, _DOT)
    _lay(axes, pool.means, step_c, _CROSS)
    _lay_line(axes, pool.means)
    return figure


_DOT = {"marker": "o", "ms": 2.0, "mew": 0.0, "mfc": READINGS_GREY, "zorder": 3}
_CROSS = {"marker": "x", "ms": 4.5, "mew": 0.8, "color": INK, "zorder": 4}


def _spread_c(across: NDArray[np.float64]) -> float:
    """Half of the width over which points are laid side by side."""
    steps = np.diff(np.unique(across))
    return float(min(SPREAD_C, 0.4 * steps.min() if steps.size else SPREAD_C)) / 2.0


def _lay(axes: Axes, points: NDArray[np.float64], step_c: float, marks: dict[str, object]) -> None:
    _, place = np.unique(points[:, 0], return_inverse=True)
    beside = (2.0 * place / max(place.max(), 1) - 1.0) * step_c if place.max() else 0.0 * place
    drawn = Line2D(points[:, 1] + beside, points[:, 2], ls="none", **marks)  # type: ignore[arg-type]
    drawn.set_rasterized(len(points) > MOST_VECTORS)
    axes.add_line(drawn)


def _lay_line(axes: Axes, means: NDArray[np.float64]) -> None:
    """The line of best fit through all means; none for one temperature."""
    if len(np.unique(means[:, 1])) < 2:
        return
    line = fit_line(means[:, 1], means[:, 2])
    ends = np.array([means[:, 1].min(), means[:, 1].max()])
    axes.add_line(Line2D(ends, np.asarray(line.at(ends)), color=INK, lw=0.9, zorder=5))
