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

import odswriter
import xlsxwriter

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
    `upright` turns the headings, for a table with many narrow columns. Texts longer than `widest`
    letters stand on more lines.
    """

    name: str
    columns: tuple[OutColumn, ...] = ()
    about: tuple[str, ...] = ()
    settings: Mapping[str, float] = field(default_factory=dict)
    upright: bool = False
    widest: int = WIDEST

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
        page.set_column(place, place, _width(column, sheet))
        _xlsx_column(page, (sheet.top + 1, place), column, _shown(book, sheet, column))
    page.freeze_panes(sheet.top + 1, 2)


def _shown(book: Any, sheet: TableSheet, column: OutColumn) -> Any:
    """How the cells of a column are shown: long texts on more lines, then all from the top down."""
    long = [_longest(one) > sheet.widest for one in sheet.columns]
    lined = {"valign": "top"} if any(long) else {}
    if _longest(column) > sheet.widest:
        return book.add_format({**lined, "text_wrap": True})
    return book.add_format({**lined, **_pattern(column)})


def _longest(column: OutColumn) -> int:
    return max((len(cell) for cell in column.cells if isinstance(cell, str)), default=0)


def _xlsx_column(page: Any, corner: tuple[int, int], column: OutColumn, shown: Any) -> None:
    top, place = corner
    cells: Sequence[str | float] = column.cells
    for row, cell in enumerate(cells, start=top):
        if _is_blank(cell):
            continue
        if isinstance(cell, str):
            page.write_string(row, place, cell[:LONGEST_CELL], shown)
        else:
            page.write_number(row, place, _Exact(cell), shown)


def _pattern(column: OutColumn) -> dict[str, str]:
    return {"num_format": f"0.{'0' * column.places}" if column.places else "0"}


def _width(column: OutColumn, sheet: TableSheet) -> int:
    turned = sheet.upright
    words = 0 if turned else max(map(len, column.heading.split()), default=0)
    return min(max(_longest(column), words, 4 if turned else NARROWEST) + 1, sheet.widest)


def ods_bytes(sheets: Sequence[TableSheet]) -> bytes:
    """A workbook (OpenDocument) as the bytes of its file."""
    file = io.BytesIO()
    with odswriter.writer(file) as book:
        for sheet in sheets:
            page = book.new_sheet(sheet.name)
            for cells in _ods_rows(sheet):
                page.writerow(cells)
            _show_places(book.dom, page.table, sheet)
    return file.getvalue()


def _ods_rows(sheet: TableSheet) -> Iterator[Sequence[str | float | None]]:
    """The rows of a sheet; None is a blank cell."""
    yield from ([line] for line in sheet.about)
    yield from sheet.settings.items()
    if not sheet.columns:
        return
    yield from [[]] * (sheet.top - len(sheet.about) - len(sheet.settings))
    yield [column.heading for column in sheet.columns]
    for row in zip(*(column.cells for column in sheet.columns), strict=True):
        yield [None if _is_blank(cell) else cell for cell in row]


def _is_blank(cell: str | float) -> bool:
    return not cell if isinstance(cell, str) else math.isnan(cell)


def _show_places(document: Any, table: Any, sheet: TableSheet) -> None:
    """Let numbers be shown to the places of their column: 23.0 as 23.0.

    The library has no word for it, so the styles are put beside its own.
    """
    (styles,) = document.getElementsByTagName("office:automatic-styles")
    there = {style.getAttribute("style:name") for style in styles.childNodes if style.attributes}
    for places in {column.places for column in sheet.columns}:
        if f"places{places}" in there:
            continue
        shown = styles.appendChild(document.createElement("number:number-style"))
        shown.setAttribute("style:name", f"shown{places}")
        number = shown.appendChild(document.createElement("number:number"))
        number.setAttribute("number:decimal-places", str(places))
        number.setAttribute("number:min-integer-digits", "1")
        style = styles.appendChild(document.createElement("style:style"))
        style.setAttribute("style:name", f"places{places}")
        style.setAttribute("style:family", "table-cell")
        style.setAttribute("style:data-style-name", f"shown{places}")
    for row in table.childNodes[sheet.top + 1 :]:
        for cell, column in zip(row.childNodes, sheet.columns, strict=True):
            if cell.getAttribute("office:value-type") == "float":
                cell.setAttribute("table:style-name", f"places{column.places}")


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
