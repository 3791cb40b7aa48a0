"""From a frame of readings to the columns of a readings file, wide or tidy, in school units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
import pandas as pd

from analysis.quantity.headings import (
    REBOUND_HEIGHT,
)
from analysis.quantity.units import from_si
from analysis.quantity.written import decimals_needed
from analysis.readings.columns import OutColumn, quantity_column
from analysis.readings.drops import FRAME, in_order, row_keys
from analysis.readings.readings_table import MOST_COLUMNS
from analysis.readings.spreadsheets import readings_bytes
from analysis.refusal import Refused

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

Layout = Literal["wide", "tidy"]


@dataclass(frozen=True)
class Style:
    """How heights are written: layout, unit, and decimal places as in centimetres."""

    layout: Layout = "wide"
    height_unit: str = "cm"
    decimal_places: int = 0


def file_content(frame: pd.DataFrame, path: Path, style: Style) -> bytes:
    """Whole content of a readings file in the format of the suffix. Raises Refused."""
    frame = in_order(frame.dropna(subset=["rebound_height_m"]))
    columns = _tidy(frame, style) if style.layout == "tidy" else _wide(path.name, frame, style)
    return readings_bytes(path, columns, 10.0**-style.decimal_places)


def places_needed(frame: pd.DataFrame) -> int:
    """Fewest decimal places that write all rebound heights of a frame in centimetres."""
    heights_cm = from_si(frame["rebound_height_m"].dropna().unique(), "cm")
    return max((decimals_needed(float(height)) for height in heights_cm), default=0)


def _tidy(frame: pd.DataFrame, style: Style) -> list[OutColumn]:
    return [
        quantity_column(quantity, frame[name].to_numpy(), style.decimal_places, style.height_unit)
        for name, quantity in FRAME.items()
        if name in frame
    ]


def _wide(file_name: str, frame: pd.DataFrame, style: Style) -> list[OutColumn]:
    keys = row_keys(frame)
    if frame.duplicated([*keys, "repeat"]).any():
        raise Refused(
            f"{file_name} would lose readings, as a repeat number stands twice at one temperature",
            mend="number the repeats anew",
        )
    rows = frame.groupby(keys, sort=False).ngroup().to_numpy()
    repeats, places = np.unique(frame["repeat"].to_numpy(), return_inverse=True)
    look = (style.decimal_places, style.height_unit)
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
            f"{file_name} would have more than {MOST_COLUMNS:,} columns", mend="use the tidy layout"
        )
    return columns


def _once_a_row(values: NDArray[np.generic], rows: NDArray[np.integer]) -> bool:
    """Whether a quantity is the same for all drops of each row of the table."""
    codes = pd.Series(pd.factorize(values)[0]).groupby(rows)
    return bool((codes.min() == codes.max()).all())
