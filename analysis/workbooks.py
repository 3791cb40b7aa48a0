"""How large the tables of a workbook are, asked before they are read.

The reader lays each table out whole, from the first cell to the last, so one stray cell in the
last corner of a sheet would take the memory of 17 thousand million. This looks for the corners.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from typing import TYPE_CHECKING

from analysis.refusal import Refused

if TYPE_CHECKING:
    from collections.abc import Iterator

MOST_CELLS = 10_000_000
MOST_UNPACKED_BYTES = 400_000_000

# What a torn zip file makes the standard library raise (RuntimeError: an encrypted part).
_DAMAGE = (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, RuntimeError, LookupError)

_XLSX_CELL = re.compile(rb'<(?:\w+:)?c\b[^>]*?\br="([A-Za-z]{1,4})([0-9]{1,10})"')
_ODS_ITEM = re.compile(rb"<table:(table-row|table-cell|covered-table-cell|table)(?=[\s/>])([^>]*)>")
_ROWS_REPEATED = re.compile(rb'number-rows-repeated="([0-9]{1,9})"')
_COLUMNS_REPEATED = re.compile(rb'number-columns-repeated="([0-9]{1,9})"')


def refuse_if_too_large(source: str, content: bytes) -> None:
    """Raise Refused for a workbook that is no zip file, is damaged, or lays out too many cells."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as parts:
            unpacked = sum(part.file_size for part in parts.infolist())
            cells = 0 if unpacked > MOST_UNPACKED_BYTES else sum(_cells(parts))
    except _DAMAGE:
        raise damaged(source) from None
    if unpacked > MOST_UNPACKED_BYTES or cells > MOST_CELLS:
        raise Refused(
            f"{source} lays out more than {MOST_CELLS:,} cells: "
            "copy the readings alone into a new workbook."
        )


def damaged(source: str) -> Refused:
    """Refusal of a workbook that cannot be read."""
    return Refused(
        f"{source} is damaged or is no workbook: open it in a spreadsheet and save it again."
    )


def _cells(parts: zipfile.ZipFile) -> Iterator[int]:
    for name in parts.namelist():
        if name == "content.xml":
            yield from _ods_extents(parts.read(name))
        elif name.endswith(".xml") and "sheet" in name.lower():
            yield _xlsx_extent(parts.read(name))


def _xlsx_extent(xml: bytes) -> int:
    found = _XLSX_CELL.findall(xml)
    columns = {_column(letters) for letters in {letters.upper() for letters, _ in found}}
    return max(columns, default=0) * max((int(row) for _, row in found), default=0)


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = 26 * number + letter - ord("A") + 1
    return number


def _ods_extents(xml: bytes) -> Iterator[int]:
    """Cells of each table up to its last filled row and column."""
    row = last_row = column = last_column = rows = 0
    for item in _ODS_ITEM.finditer(xml):
        kind, said = item[1], item[2]
        if kind == b"table":
            yield last_row * last_column
            row = last_row = column = last_column = rows = 0
        elif kind == b"table-row":
            row, column = row + rows, 0
            rows = _times(_ROWS_REPEATED, said)
        else:
            column += _times(_COLUMNS_REPEATED, said)
            if not said.endswith(b"/"):
                last_row, last_column = row + rows, max(last_column, column)
    yield last_row * last_column


def _times(repeated: re.Pattern[bytes], said: bytes) -> int:
    found = repeated.search(said)
    return int(found[1]) if found else 1
