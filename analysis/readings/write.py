"""Readings out: a school's results table, one column a repeat, in the format of its file."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pandas as pd

from analysis.quantity.headings import REBOUND_HEIGHT
from analysis.readings.columns import OutColumn, quantity_column
from analysis.readings.drops import FRAME, in_order, row_keys
from analysis.readings.readings_table import MOST_COLUMNS
from analysis.readings.spreadsheets import readings_bytes
from analysis.refusal import Refused

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

    from analysis.readings.readings import Readings


def results_table(readings: Readings, path: Path) -> bytes:
    """The whole content of a file of readings in the wide layout; `read_readings` gives them back.

    Raises Refused for an ending that is no format, where a repeat number stands twice at one
    temperature, and for more columns than a table may have.
    """
    frame = in_order(readings.frame.dropna(subset=["rebound_height_m"]))
    look = (readings.decimal_places, readings.height_unit)
    columns = _wide(path.name, frame, look)
    return readings_bytes(path, columns, 10.0**-readings.decimal_places)


def _wide(file_name: str, frame: pd.DataFrame, look: tuple[int, str]) -> list[OutColumn]:
    """`look` are decimal places (in centimetres) and unit of the heights."""
    keys = row_keys(frame)
    if frame.duplicated([*keys, "repeat"]).any():
        raise Refused(
            f"{file_name} would lose readings, as a repeat number stands twice at one temperature",
            mend="number the repeats anew",
        )
    rows = frame.groupby(keys, sort=False).ngroup().to_numpy()
    repeats, places = np.unique(frame["repeat"].to_numpy(), return_inverse=True)
    columns: list[OutColumn] = []
    for name, quantity in FRAME.items():
        if name not in frame or name == "repeat":
            continue
        values = frame[name].to_numpy()
        if quantity != REBOUND_HEIGHT and _once_a_row(values, rows):
            _, first = np.unique(rows, return_index=True)
            columns.append(quantity_column(quantity, values[first], *look))
            continue
        for place, repeat in enumerate(repeats):
            here = places == place
            shape = int(rows.max(initial=-1)) + 1
            of_repeat = np.full(shape, None if values.dtype.kind in "Ob" else np.nan)
            of_repeat[rows[here]] = values[here]
            columns.append(quantity_column(quantity, of_repeat, *look, int(repeat)))
    if len(columns) > MOST_COLUMNS:
        raise Refused(
            f"{file_name} would have more than {MOST_COLUMNS:,} columns",
            mend="write one drop a row",
        )
    return columns


def _once_a_row(values: NDArray[np.generic], rows: NDArray[np.integer]) -> bool:
    """Whether a quantity is the same for all drops of each row of the table."""
    codes = pd.Series(pd.factorize(values)[0]).groupby(rows)
    return bool((codes.min() == codes.max()).all())
