"""Files to rows of cells: csv by its text, xlsx and ods by calamine. No meaning is given here.

Limits: 64 MB a file, 1,000,000 rows, and 10,000,000 cells in a workbook's tables, so that a file
made to be large, or one stray cell far out, cannot take the machine's memory. The reader of
workbooks lays each table out whole, from the first cell to the last, so a stray cell in the last
corner of a sheet would take the memory of 17 thousand million: how far the tables reach is looked
for before they are read. Macros and links to other files are never followed: only the values kept
in the cells are read.
"""

from __future__ import annotations

import codecs
import csv
import io
import re
import zipfile
import zlib
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING, Any

import python_calamine

from analysis.files import read_bytes
from analysis.quantity.written import Cell
from analysis.refusal import Refused, either

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

MOST_MEGABYTES = 64
MOST_ROWS = 1_000_000
SUFFIXES = (".csv", ".xlsx", ".ods")
_FORMATS = either(suffix[1:] for suffix in SUFFIXES)

_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
# An old workbook and a workbook behind a password both begin with this container's mark.
_CONTAINER = b"\xd0\xcf\x11\xe0"
_FALLBACK_NOTICE = "The text is not UTF-8; it was read as Windows-1252."


@dataclass(frozen=True)
class Sheet:
    """Rows of cells, row 1 first, ragged. `typed`: the cells are the text as it was typed."""

    rows: list[list[Cell]]
    typed: bool
    name: str = ""
    notices: tuple[str, ...] = ()


def sheets(path: Path) -> Iterator[Sheet]:
    """Sheets of a file: each table of a workbook, or a csv once for each separator it may have.

    Semicolon comes first, since a decimal comma would pass for a separator. Raises Refused.
    """
    content = _content(path)
    if path.suffix.lower() == ".csv":
        yield from _csv_sheets(path.name, content)
    else:
        yield from _workbook_sheets(path.name, content)


def _content(path: Path) -> bytes:
    if path.is_dir():
        mend = f"name one readings file ({_FORMATS}) in it"
        raise Refused(f"{path} is a folder", mend=mend)
    if path.suffix.lower() not in SUFFIXES:
        said = f"{path.name} is not a {_FORMATS} file"
        raise Refused(said, mend="save the table as one of them")
    content = read_bytes(path, MOST_MEGABYTES, mend="keep the readings only, in parts")
    if not content.strip():
        raise Refused(f"{path.name} is empty", mend="save the table of readings in it")
    return content


def _csv_sheets(source: str, content: bytes) -> Iterator[Sheet]:
    text, notices = _decoded(source, content)
    fault = ""
    for separator in ";\t,":
        try:
            rows = _rows(source, text, separator)
        except csv.Error as error:
            fault = f"{error}"
            continue
        yield Sheet(rows, typed=True, notices=notices)
    if fault:
        raise Refused(
            f"In {source} the quotation marks do not pair ({fault})",
            mend="open it in a spreadsheet and save it as csv again",
        )


def _rows(source: str, text: str, separator: str) -> list[list[Cell]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[list[Cell]] = list(islice(reader, MOST_ROWS + 1))  # type: ignore[arg-type]
    if len(rows) > MOST_ROWS:
        raise Refused(f"{source} has more than {MOST_ROWS:,} rows", mend="split it into parts")
    return rows


def _decoded(source: str, content: bytes) -> tuple[str, tuple[str, ...]]:
    encoding = next((name for mark, name in _MARKS if content.startswith(mark)), "utf-8")
    notices: tuple[str, ...] = ()
    try:
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            if encoding != "utf-8":
                raise
            text, notices = content.decode("cp1252"), (_FALLBACK_NOTICE,)
    except UnicodeDecodeError:
        raise _not_text(source) from None
    if "\0" in text:
        raise _not_text(source)
    return text, notices


def _not_text(source: str) -> Refused:
    said = f"{source} is not text, whatever its ending"
    return Refused(said, mend="save the table as csv (UTF-8)")


def _workbook_sheets(source: str, content: bytes) -> Iterator[Sheet]:
    if content.startswith(_CONTAINER):
        said = f"{source} is protected by a password or of the old xls kind"
        raise Refused(said, mend="save it without a password as xlsx")
    _refuse_if_too_large(source, content)
    try:
        book = python_calamine.load_workbook(io.BytesIO(content))
        for name in book.sheet_names:
            yield _sheet(name, book.get_sheet_by_name(name))
    except (KeyboardInterrupt, SystemExit, GeneratorExit, Refused):
        raise
    except BaseException:  # a panic in the reader's compiled code is not an Exception
        raise _damaged(source) from None


def _sheet(name: str, sheet: Any) -> Sheet:
    if not sheet.height:
        return Sheet([], typed=False, name=name)
    rows = sheet.to_python(skip_empty_area=False)
    return Sheet([[_cell(value) for value in row] for row in rows], typed=False, name=name)


def _cell(value: object) -> Cell:
    # bool before float: True would pass for the number 1.
    if isinstance(value, bool):
        return "yes" if value else "no"
    return float(value) if isinstance(value, float | int) else str(value)


MOST_CELLS = 10_000_000
MOST_UNPACKED_BYTES = 400_000_000

# What a torn zip file makes the standard library raise (RuntimeError: an encrypted part).
_DAMAGE = (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, RuntimeError, LookupError)

_XLSX_CELL = re.compile(rb'<(?:\w+:)?c\b[^>]*?\br="([A-Za-z]{1,4})([0-9]{1,10})"')
_ODS_ITEM = re.compile(rb"<table:(table-row|table-cell|covered-table-cell|table)(?=[\s/>])([^>]*)>")
_ROWS_REPEATED = re.compile(rb'number-rows-repeated="([0-9]{1,9})"')
_COLUMNS_REPEATED = re.compile(rb'number-columns-repeated="([0-9]{1,9})"')


def _refuse_if_too_large(source: str, content: bytes) -> None:
    """Raise Refused for a workbook that is no zip file, is damaged, or lays out too many cells."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as parts:
            unpacked = sum(part.file_size for part in parts.infolist())
            cells = 0 if unpacked > MOST_UNPACKED_BYTES else sum(_extents(parts))
    except _DAMAGE:
        raise _damaged(source) from None
    if unpacked > MOST_UNPACKED_BYTES or cells > MOST_CELLS:
        said = f"{source} lays out more than {MOST_CELLS:,} cells"
        raise Refused(said, mend="copy the readings alone into a new workbook")


def _damaged(source: str) -> Refused:
    """Refusal of a workbook that cannot be read."""
    mend = "open it in a spreadsheet and save it again"
    return Refused(f"{source} is damaged or is no workbook", mend=mend)


def _extents(parts: zipfile.ZipFile) -> Iterator[int]:
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
