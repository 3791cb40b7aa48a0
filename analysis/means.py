"""The means that a results table gives, held against its own readings; never used for anything."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from analysis.faults import quoted
from analysis.headings import MEAN, REBOUND_HEIGHT
from analysis.quantity import ZERO_CELSIUS_K

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from analysis.columns import Column
    from analysis.tables import Table

_MOST_NOTICES = 20
_NOISE_CM = 1e-7  # what is left of a mean that a spreadsheet computed


def mean_notices(
    table: Table, columns: dict[int, Column], temperatures_k: NDArray[np.float64]
) -> list[str]:
    """Notices, one for each row whose given mean is not that of its readings.

    They differ when more than half a unit of the last decimal place given lies between them.
    After twenty notices only the number of the others is said.
    `temperatures_k` are those of the rows of the body.
    """
    given = columns[table.where[MEAN, None]]
    heights = [
        index
        for (what, number), index in table.where.items()
        if what == REBOUND_HEIGHT and number is not None
    ]
    stacked = np.column_stack([columns[index].values for index in heights]) * 100
    counts = np.sum(~np.isnan(stacked), axis=1)
    true_cm = np.nansum(stacked, axis=1) / np.maximum(counts, 1)
    heading = table.headings[table.where[MEAN, None]]
    last_cm = 10.0**-given.decimals * _unit_cm(heading.unit)
    allowed_cm = last_cm / 2 + _NOISE_CM
    off = (np.abs(given.values * 100 - true_cm) > allowed_cm) & (counts > 0)
    places = np.flatnonzero(off)
    said = [
        f"Row {table.row_numbers[row]} ({temperatures_k[row] - ZERO_CELSIUS_K:.6g} °C): the mean "
        f"given, {given.values[row] * 100:.6g} cm, is not the mean of the readings, "
        f"{true_cm[row]:.6g} cm"
        + _without(table, heights, stacked[row], given.values[row] * 100, allowed_cm[row])
        for row in places[:_MOST_NOTICES]
    ]
    if len(places) > _MOST_NOTICES:
        said.append(f"{len(places) - _MOST_NOTICES} more rows give a mean that is not theirs.")
    return said


def _without(
    table: Table,
    heights: list[int],
    row_cm: NDArray[np.float64],
    given_cm: float,
    allowed_cm: float,
) -> str:
    """Which single reading, left out, makes the given mean right."""
    there = np.flatnonzero(~np.isnan(row_cm))
    if len(there) < 2:
        return "."
    means = (np.sum(row_cm[there]) - row_cm[there]) / (len(there) - 1)
    fits = there[np.abs(means - given_cm) <= allowed_cm]
    if not len(fits):
        return "."
    text = quoted(table.headings[heights[fits[0]]].text)
    return f"; it fits if the reading {row_cm[fits[0]]:.6g} cm under {text} is left out."


def _unit_cm(unit: str | None) -> float:
    return {"mm": 0.1, "cm": 1.0, "m": 100.0, "in": 2.54}.get(unit or "", math.nan)
