"""Sheets of columns to the bytes of a file, by its ending: workbooks (xlsx, ods) and csv.

Numbers are exact to the last bit. Texts are written as texts and numbers as numbers: no formulas,
no links. A new format is one writer here.
"""

from __future__ import annotations

import datetime
import io
import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import xlsxwriter
from odf.number import Number, NumberStyle
from odf.opendocument import OpenDocumentSpreadsheet
from odf.style import Style
from odf.table import Table, TableCell, TableRow
from odf.text import P

from analysis.quantity.headings import RESOLUTION, heading_text
from analysis.readings.columns import OutColumn, csv_bytes
from analysis.refusal import Refused, either

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence
    from pathlib import Path

# The same readings give the same file, byte for byte, whenever it is written.
_CREATED = datetime.datetime(2000, 1, 1)
WIDEST, NARROWEST = 60, 8
LONGEST_CELL = 32_000
"""Letters; the format's own limit is 32,767."""


@dataclass(frozen=True)
class TableSheet:
    """One sheet: its name, and its columns, all of one length.

    Above the table stand lines about it and settings, each a heading with its number beside it.
    `upright` turns the headings, for a table with many narrow columns.
    """

    name: str
    columns: tuple[OutColumn, ...] = ()
    about: tuple[str, ...] = ()
    settings: Mapping[str, float] = field(default_factory=dict)
    upright: bool = False

    @property
    def top(self) -> int:
        """The row of the headings; a blank one lies above it."""
        above = len(self.about) + len(self.settings)
        return above + bool(above)


class _Exact(float):
    """A number that writes all its digits, where the xlsx library asks for sixteen only."""

    def __format__(self, spec: str) -> str:
        return repr(float(self))


def xlsx_bytes(sheets: Sequence[TableSheet]) -> bytes:
    """A workbook (Office Open XML) as the bytes of its file."""
    file = io.BytesIO()
    settings = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
    with xlsxwriter.Workbook(file, settings) as book:
        book.set_properties({"created": _CREATED})
        for sheet in sheets:
            _xlsx_sheet(book, book.add_worksheet(sheet.name), sheet)
    return file.getvalue()


def _xlsx_sheet(book: Any, page: Any, sheet: TableSheet) -> None:
    for row, line in enumerate(sheet.about):
        page.write_string(row, 0, line)
    for row, (heading, value) in enumerate(sheet.settings.items(), start=len(sheet.about)):
        page.write_string(row, 0, heading)
        page.write_number(row, 1, _Exact(value))
    if not sheet.columns:
        return
    turned = {"rotation": 90} if sheet.upright else {"text_wrap": True}
    head = book.add_format({"bold": True, "valign": "bottom", "bottom": 1, **turned})
    if sheet.upright:
        page.set_row(sheet.top, 180)
    for place, column in enumerate(sheet.columns):
        page.write_string(sheet.top, place, column.heading, head)
        page.set_column(place, place, _width(column, turned=sheet.upright))
        _xlsx_column(page, (sheet.top + 1, place), column, book.add_format(_pattern(column)))
    page.freeze_panes(sheet.top + 1, 2)


def _xlsx_column(page: Any, corner: tuple[int, int], column: OutColumn, shown: Any) -> None:
    top, place = corner
    cells: Sequence[str | float] = column.cells
    for row, cell in enumerate(cells, start=top):
        if isinstance(cell, str):
            if cell:
                page.write_string(row, place, cell[:LONGEST_CELL])
        elif not math.isnan(cell):
            page.write_number(row, place, _Exact(cell), shown)


def _pattern(column: OutColumn) -> dict[str, str]:
    return {"num_format": f"0.{'0' * column.places}" if column.places else "0"}


def _width(column: OutColumn, *, turned: bool) -> int:
    longest = max((len(cell) for cell in column.cells if isinstance(cell, str)), default=0)
    words = 0 if turned else max(map(len, column.heading.split()), default=0)
    return min(max(longest, words, 4 if turned else NARROWEST) + 1, WIDEST)


def ods_bytes(sheets: Sequence[TableSheet]) -> bytes:
    """A workbook (OpenDocument) as the bytes of its file."""
    book = OpenDocumentSpreadsheet()
    styles: dict[int, Any] = {}
    for sheet in sheets:
        page = Table(name=sheet.name)
        for cells in _ods_rows(sheet):
            line = TableRow()
            for value, places in cells:
                if places is not None and places not in styles:
                    styles[places] = _ods_style(book, places)
                line.addElement(_ods_cell(value, None if places is None else styles[places]))
            page.addElement(line)
        book.spreadsheet.addElement(page)
    file = io.BytesIO()
    book.write(file)
    return file.getvalue()


def _ods_rows(sheet: TableSheet) -> Iterator[Sequence[tuple[str | float, int | None]]]:
    """The rows of a sheet, each cell with the places that its number is shown to."""
    yield from ([(line, None)] for line in sheet.about)
    for heading, value in sheet.settings.items():
        yield [(heading, None), (value, None)]
    if not sheet.columns:
        return
    yield from [[]] * (sheet.top - len(sheet.about) - len(sheet.settings))
    yield [(column.heading, None) for column in sheet.columns]
    places = [column.places for column in sheet.columns]
    for row in zip(*(column.cells for column in sheet.columns), strict=True):
        yield list(zip(row, places, strict=True))


def _ods_style(book: Any, places: int) -> Any:
    shown = NumberStyle(name=f"shown{places}")
    shown.addElement(Number(decimalplaces=places, minintegerdigits=1))
    style = Style(name=f"number{places}", family="table-cell", datastylename=shown)
    book.automaticstyles.addElement(shown)
    book.automaticstyles.addElement(style)
    return style


def _ods_cell(value: str | float, style: Any) -> Any:
    if isinstance(value, str):
        cell = TableCell(valuetype="string") if value else TableCell()
        if value:
            cell.addElement(P(text=value))
        return cell
    if math.isnan(value):
        return TableCell()
    cell = TableCell(valuetype="float", value=repr(value), stylename=style)
    cell.addElement(P(text=repr(value)))
    return cell


_WRITERS: dict[str, Callable[[Sequence[TableSheet]], bytes]] = {
    ".xlsx": xlsx_bytes,
    ".ods": ods_bytes,
}


def readings_bytes(path: Path, columns: Sequence[OutColumn], resolution_cm: float) -> bytes:
    """The content of a readings file in the format of its ending; raises Refused for another.

    A workbook keeps 23.0 as 23, so the resolution of the rebound heights goes on a second sheet;
    a csv shows it.
    """
    ending = path.suffix.lower()
    if ending == ".csv":
        return csv_bytes(columns)
    if ending not in _WRITERS:
        formats = either(suffix[1:] for suffix in (".csv", *_WRITERS))
        said = f"{path.name} would be no {formats} file"
        raise Refused(said, mend="give it such an ending")
    notes = {heading_text(RESOLUTION, "cm"): resolution_cm}
    return _WRITERS[ending](
        [TableSheet("readings", tuple(columns)), TableSheet("notes", settings=notes)]
    )
