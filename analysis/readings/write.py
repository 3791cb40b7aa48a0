"""From a frame of readings to the columns of a readings file, wide or tidy, in school units."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
import pandas as pd

from analysis.quantity.headings import (
    KIND,
    REBOUND_HEIGHT,
    REHEATED,
    STUDENT,
    heading_text,
)
from analysis.quantity.units import from_si, places_in_unit, school_unit
from analysis.quantity.written import decimals_needed, guarded, tidied
from analysis.readings.drops import FRAME, in_order, row_keys
from analysis.readings.formats import FORMATS, OutColumn, Output
from analysis.readings.table import MOST_COLUMNS
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
    if path.suffix.lower() not in FORMATS:
        raise Refused(f"{path.name} would be no csv, xlsx or ods file: give it such an ending.")
    frame = in_order(frame.dropna(subset=["rebound_height_m"]))
    columns = _tidy(frame, style) if style.layout == "tidy" else _wide(path.name, frame, style)
    return FORMATS[path.suffix.lower()](Output(tuple(columns), 10.0**-style.decimal_places))


def places_needed(frame: pd.DataFrame) -> int:
    """Fewest decimal places that write all rebound heights of a frame in centimetres."""
    heights_cm = from_si(frame["rebound_height_m"].dropna().unique(), "cm")
    return max((decimals_needed(float(height)) for height in heights_cm), default=0)


def _tidy(frame: pd.DataFrame, style: Style) -> list[OutColumn]:
    return [
        _column(quantity, frame[name].to_numpy(), style)
        for name, quantity in FRAME.items()
        if name in frame
    ]


def _wide(file_name: str, frame: pd.DataFrame, style: Style) -> list[OutColumn]:
    keys = row_keys(frame)
    if frame.duplicated([*keys, "repeat"]).any():
        raise Refused(
            f"{file_name} would lose readings, as a repeat number stands twice at one temperature: "
            "number the repeats anew."
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
            columns.append(_column(quantity, values[first], style))
            continue
        for place, repeat in enumerate(repeats):
            here = places == place
            shape = int(rows.max(initial=-1)) + 1
            of_repeat = np.full(shape, None if values.dtype.kind in "Ob" else np.nan)
            of_repeat[rows[here]] = values[here]
            columns.append(_column(quantity, of_repeat, style, int(repeat)))
    if len(columns) > MOST_COLUMNS:
        raise Refused(
            f"{file_name} would have more than {MOST_COLUMNS:,} columns: use the tidy layout."
        )
    return columns


def _once_a_row(values: NDArray[np.generic], rows: NDArray[np.integer]) -> bool:
    """Whether a quantity is the same for all drops of each row of the table."""
    codes = pd.Series(pd.factorize(values)[0]).groupby(rows)
    return bool((codes.min() == codes.max()).all())


def _column(
    quantity: str, values: NDArray[np.generic], style: Style, number: int | None = None
) -> OutColumn:
    if quantity == STUDENT:
        names = [guarded(tidied(str(name))) for name in values]
        return OutColumn(heading_text(quantity), names)
    if quantity == REHEATED:
        said = ["" if one is None else ("yes" if one else "no") for one in values]
        return OutColumn(heading_text(quantity, None, number), said)
    kind = KIND.get(quantity)
    unit = style.height_unit if kind == "length" else kind and school_unit(kind)
    numbers = np.asarray(values, dtype=np.float64)
    if unit is not None:
        numbers = from_si(numbers, unit)
    places = max((decimals_needed(one) for one in np.unique(numbers).tolist()), default=0)
    if quantity == REBOUND_HEIGHT and unit is not None:
        places = places_in_unit(style.decimal_places, unit)
    return OutColumn(heading_text(quantity, unit, number), numbers.tolist(), places)
