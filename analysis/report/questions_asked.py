"""What is asked of readings that look wrong, in the first lines of terminal and report."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from analysis.quantity.units import centimetres, counted, fixed, significant, temperature_text

if TYPE_CHECKING:
    from analysis.readings.readings import Grid
    from analysis.statistics.doubtful import Doubtful
    from analysis.statistics.trend import Trend

MOST_ASKED = 5
"""Readings that are named before the rest is counted."""


def doubt_sentences(found: Doubtful, grid: Grid, trend: Trend, places: int) -> tuple[str, ...]:
    """One question for all the readings that look wrong, and what hangs on them; or none.

    `places` are the decimal places of the readings, in cm.
    """
    doubts = list(_doubts(found, grid, places))
    if not doubts:
        return ()
    named = "; ".join(doubts[:MOST_ASKED])
    more = len(doubts) - MOST_ASKED
    if more > 0:
        named += f"; and {counted(more, 'more reading')}"
    asked = "Is this reading right" if len(doubts) == 1 else "Are these readings right"
    them = "it" if len(doubts) == 1 else "them"
    return (f"{asked}? {named}. {_counted(found, trend, them)}",)


def _counted(found: Doubtful, trend: Trend, them: str) -> str:
    counts = "It is counted" if them == "it" else "They are counted"
    gradients = (float(trend.line.gradient), found.gradient_without_m_per_k)
    if not np.isfinite(gradients).all():
        return f"{counts}; look {them} up, or repeat the drop."
    with_cm, without_cm = (significant(float(centimetres(each)), 2) for each in gradients)
    return (
        f"{counts}: with {them} the gradient is {with_cm} cm per °C, without {them} {without_cm} "
        f"cm per °C. Look {them} up, or repeat the drop."
    )


def _doubts(found: Doubtful, grid: Grid, places: int) -> Iterator[str]:
    for row, column in np.argwhere(found.flagged):
        height_cm = float(centimetres(grid.heights_m[row, column]))
        where = temperature_text(grid.temperatures_k[row])
        if grid.students == 1:
            where += f", repeat {column + 1}"
        yield f"{fixed(height_cm, places)} cm at {where} ({_why(found, row, column)})"


def _why(found: Doubtful, row: int, column: int) -> str:
    if found.slips.nought[row, column]:
        return "a reading that was missed is left blank, not written as 0"
    if found.anomalous[row, column]:
        return "it lies far from the others of its set"
    factor = found.slips.factor[row, column]
    slip = ": perhaps metres among centimetres" if factor == 100.0 else ""
    return f"{factor:g} times as much would fit{slip}"
