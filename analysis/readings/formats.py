"""Columns to the bytes of a file: csv, xlsx and ods, numbers as numbers and exact to the last bit.

A csv is UTF-8 with a byte-order mark, which common spreadsheets need to tell it from the local
code page (without it the ° of the headings turns into two letters), with commas and decimal
points. Where the decimal comma is customary, hand on the xlsx or ods instead. A whole xlsx
workbook holds texts as texts and numbers as numbers, no formulas and no links.
"""

from __future__ import annotations

import csv
import datetime
import io
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from analysis.quantity.headings import (
    KIND,
    REBOUND_HEIGHT,
    REHEATED,
    RESOLUTION,
    STUDENT,
    heading_text,
)
from analysis.quantity.units import from_si, places_in_unit, school_unit
from analysis.quantity.written import decimals_needed, guarded, tidied
from analysis.refusal import Refused

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from pathlib import Path

    from numpy.typing import NDArray

_SHEET = "readings"
_NOTES = "notes"
# The same readings give the same file, byte for byte, whenever it is written.
_CREATED = datetime.datetime(2000, 1, 1)


@dataclass(frozen=True)
class OutColumn:
    """A heading with its cells: texts, or numbers (NaN is blank) shown to so many places."""

    heading: str
    cells: list[str] | list[float]  # never mixed
    places: int = 0


@dataclass(frozen=True)
class Output:
    """The columns of a table, all of one length, and the resolution of the rebound heights.

    A workbook keeps 23.0 as 23, so the resolution goes on a second sheet; csv shows it.
    """

    columns: tuple[OutColumn, ...]
    resolution_cm: float


class _Exact(float):
    """A number that writes all its digits, where the xlsx library asks for sixteen only."""

    def __format__(self, spec: str) -> str:
        return repr(float(self))


def csv_bytes(output: Output) -> bytes:
    """UTF-8 with byte-order mark, commas, lines ended as RFC 4180 has them."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow([column.heading for column in output.columns])
    writer.writerows(zip(*map(_texts, output.columns), strict=True))
    return text.getvalue().encode("utf-8-sig")


def xlsx_bytes(output: Output) -> bytes:
    """Workbook (Office Open XML) with the sheets "readings" and "notes"; no formulas, no links."""
    import xlsxwriter

    file = io.BytesIO()
    settings = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(file, settings) as book:
        book.set_properties({"created": _CREATED})
        sheet = book.add_worksheet(_SHEET)
        for place, column in enumerate(output.columns):
            _xlsx_column(sheet, place, column, book.add_format({"num_format": _pattern(column)}))
        notes = book.add_worksheet(_NOTES)
        notes.write_string(0, 0, heading_text(RESOLUTION, "cm"))
        notes.write_number(0, 1, output.resolution_cm)
    return file.getvalue()


def ods_bytes(output: Output) -> bytes:
    """OpenDocument spreadsheet with the sheets "readings" and "notes"."""
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table, TableRow

    book = OpenDocumentSpreadsheet()
    sheet = Table(name=_SHEET)
    styles = [_ods_style(book, column.places) for column in output.columns]
    heads = [(column.heading, None) for column in output.columns]
    rows = zip(*(column.cells for column in output.columns), strict=True)
    for cells in (heads, *(list(zip(row, styles, strict=True)) for row in rows)):
        line = TableRow()
        for value, style in cells:
            line.addElement(_ods_cell(value, style))
        sheet.addElement(line)
    notes, line = Table(name=_NOTES), TableRow()
    for value in (heading_text(RESOLUTION, "cm"), output.resolution_cm):
        line.addElement(_ods_cell(value, None))
    notes.addElement(line)
    book.spreadsheet.addElement(sheet)
    book.spreadsheet.addElement(notes)
    file = io.BytesIO()
    book.write(file)
    return file.getvalue()


FORMATS: dict[str, Callable[[Output], bytes]] = {
    ".csv": csv_bytes,
    ".xlsx": xlsx_bytes,
    ".ods": ods_bytes,
}


def file_bytes(path: Path, output: Output) -> bytes:
    """The whole content of a file in the format of its ending; raises Refused for another."""
    making = FORMATS.get(path.suffix.lower())
    if making is None:
        raise Refused(f"{path.name} would be no csv, xlsx or ods file: give it such an ending.")
    return making(output)


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


def _pattern(column: OutColumn) -> str:
    return "0." + "0" * column.places if column.places else "0"


def _xlsx_column(sheet: Any, place: int, column: OutColumn, number_format: Any) -> None:
    sheet.write_string(0, place, column.heading)
    sheet.set_column(place, place, max(8, len(column.heading)))
    cells: list[Any] = list(column.cells)
    for row, cell in enumerate(cells, start=1):
        if isinstance(cell, str):
            if cell:
                sheet.write_string(row, place, cell)
        elif not math.isnan(cell):
            sheet.write_number(row, place, _Exact(cell), number_format)


def _ods_style(book: Any, places: int) -> Any:
    from odf.number import Number, NumberStyle
    from odf.style import Style

    shown = NumberStyle(name=f"shown{places}")
    shown.addElement(Number(decimalplaces=places, minintegerdigits=1))
    style = Style(name=f"number{places}", family="table-cell", datastylename=shown)
    if not any(one.getAttribute("name") == f"number{places}" for one in _styles(book)):
        book.automaticstyles.addElement(shown)
        book.automaticstyles.addElement(style)
    return style


def _styles(book: Any) -> list[Any]:
    from odf.style import Style

    return list(book.automaticstyles.getElementsByType(Style))


def _ods_cell(value: str | float, style: Any) -> Any:
    from odf.table import TableCell
    from odf.text import P

    if isinstance(value, str):
        if not value:
            return TableCell()
        cell = TableCell(valuetype="string")
        cell.addElement(P(text=value))
        return cell
    if math.isnan(value):
        return TableCell()
    cell = TableCell(valuetype="float", value=repr(value), stylename=style)
    cell.addElement(P(text=repr(value)))
    return cell


WIDEST, NARROWEST = 60, 8
LONGEST_CELL = 32_000
"""Letters; the format's own limit is 32,767."""


@dataclass(frozen=True)
class TableSheet:
    """One sheet: its name, lines above the table, and the columns, all of one length."""

    name: str
    about: tuple[str, ...]
    columns: tuple[OutColumn, ...]
    upright: bool = False
    """Whether the headings are turned, for a table with many narrow columns."""


def workbook_bytes(sheets: tuple[TableSheet, ...]) -> bytes:
    """The workbook as the bytes of its file."""
    import xlsxwriter

    file = io.BytesIO()
    settings = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(file, settings) as book:
        book.set_properties({"created": _CREATED})
        for sheet in sheets:
            _write(book, book.add_worksheet(sheet.name), sheet)
    return file.getvalue()


def _write(book: Any, page: Any, sheet: TableSheet) -> None:
    for row, line in enumerate(sheet.about):
        page.write_string(row, 0, line)
    top = len(sheet.about) + bool(sheet.about)
    turned = {"rotation": 90} if sheet.upright else {"text_wrap": True}
    head = book.add_format({"bold": True, "valign": "bottom", "bottom": 1, **turned})
    if sheet.upright:
        page.set_row(top, 180)
    for place, column in enumerate(sheet.columns):
        page.write_string(top, place, column.heading, head)
        page.set_column(place, place, _width(column, turned=sheet.upright))
        _write_column(page, (top + 1, place), column, _shown(book, column))
    page.freeze_panes(top + 1, 2)


def _write_column(page: Any, corner: tuple[int, int], column: OutColumn, shown: Any) -> None:
    top, place = corner
    cells: list[Any] = list(column.cells)
    for row, cell in enumerate(cells, start=top):
        if isinstance(cell, str):
            if cell:
                page.write_string(row, place, cell[:LONGEST_CELL])
        elif not math.isnan(cell):
            page.write_number(row, place, cell, shown)


def _shown(book: Any, column: OutColumn) -> Any:
    return book.add_format({"num_format": f"0.{'0' * column.places}" if column.places else "0"})


def _width(column: OutColumn, *, turned: bool) -> int:
    longest = max((len(cell) for cell in column.cells if isinstance(cell, str)), default=0)
    words = 0 if turned else max(map(len, column.heading.split()), default=0)
    return min(max(longest, words, 4 if turned else NARROWEST) + 1, WIDEST)
