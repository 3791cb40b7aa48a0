"""Tables to an xlsx workbook: texts as texts, numbers as numbers, no formulas and no links."""

from __future__ import annotations

import datetime
import io
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from analysis.formats import OutColumn

_CREATED = datetime.datetime(2000, 1, 1)
"""The same class gives the same file, byte for byte, whenever it is written."""
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
