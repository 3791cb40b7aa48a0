"""Columns of a table file, each a heading with its cells in school units; and as csv.

A csv is UTF-8 with a byte-order mark, which common spreadsheets need to tell it from the local
code page (without it the ° of the headings turns into two letters), with commas and decimal
points. Where the decimal comma is customary, hand on the xlsx or ods instead.
"""

from __future__ import annotations

import csv
import io
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from analysis.quantity.headings import KIND, REBOUND_HEIGHT, REHEATED, STUDENT, heading_text
from analysis.quantity.units import from_si, places_in_unit, school_unit
from analysis.quantity.written import decimals_needed, guarded, tidied

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray


@dataclass(frozen=True)
class OutColumn:
    """A heading with its cells: texts, or numbers (NaN is blank) shown to so many places."""

    heading: str
    cells: Sequence[str] | Sequence[float]  # never mixed
    places: int = 0


def quantity_column(
    quantity: str,
    values: Sequence[Any] | NDArray[np.generic],
    height_places: int = 0,
    height_unit: str = "cm",
    number: int | None = None,
) -> OutColumn:
    """A column of SI values, (N,), in school units; a quantity without a unit as it is.

    Rebound heights have `height_places` (as in centimetres); other numbers as many as they need.
    `number` is that of the repeat. NaN and None are blank.
    """
    if quantity == STUDENT:
        return text_column(heading_text(quantity), map(str, values))
    if quantity == REHEATED:
        said = ["" if one is None else ("yes" if one else "no") for one in values]
        return OutColumn(heading_text(quantity, None, number), said)
    kind = KIND.get(quantity)
    unit = height_unit if kind == "length" else kind and school_unit(kind)
    numbers = np.asarray(values, dtype=np.float64)
    if unit is not None:
        numbers = from_si(numbers, unit)
    places = max((decimals_needed(one) for one in np.unique(numbers).tolist()), default=0)
    if quantity == REBOUND_HEIGHT and unit is not None:
        places = places_in_unit(height_places, unit)
    return OutColumn(heading_text(quantity, unit, number), numbers.tolist(), places)


def text_column(title: str, texts: Iterable[str]) -> OutColumn:
    """Texts from outside, each on one line and none that a spreadsheet takes for a formula."""
    return OutColumn(title, [guarded(tidied(text)) for text in texts])


def csv_bytes(columns: Sequence[OutColumn]) -> bytes:
    """UTF-8 with byte-order mark, commas, lines ended as RFC 4180 has them."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow([column.heading for column in columns])
    writer.writerows(zip(*map(_texts, columns), strict=True))
    return text.getvalue().encode("utf-8-sig")


def _texts(column: OutColumn) -> list[str]:
    """The cells as they are written. Few numbers of a long column differ: each is written once."""
    if any(isinstance(cell, str) for cell in column.cells[:1]):
        return [str(cell) for cell in column.cells]
    found, which = np.unique(np.asarray(column.cells, dtype=np.float64), return_inverse=True)
    texts = [_number_text(value, column.places) for value in found.tolist()]
    written: list[str] = np.array(texts, dtype=object)[which].tolist()
    return written


def _number_text(value: float, places: int) -> str:
    if math.isnan(value):
        return ""
    text = f"{value:.{places}f}"
    return text if float(text) == value else repr(value)
