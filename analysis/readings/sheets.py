"""Files to rows of cells: csv by its text, xlsx and ods by `workbooks`. No meaning is given here.

Limits: 32 MB a file, a million cells and ten million letters, counted before they are laid out, so
that a file made to be large, or one stray cell far out, cannot take the machine's memory or time.
Macros and links to other files are never followed: only the values kept in the cells are read.
"""

from __future__ import annotations

import codecs
import csv
import io
from dataclasses import dataclass
from typing import TYPE_CHECKING

from analysis.files import read_bytes
from analysis.quantity.written import Cell
from analysis.readings.workbook_parts import MOST_CELLS, MOST_LETTERS, NoWorkbook, TooLarge
from analysis.readings.workbooks import tables
from analysis.refusal import Refused, either

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

MOST_MEGABYTES = 32
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
    ends = max(text.count("\n"), text.count("\r"))
    if text.count(separator) + ends > MOST_CELLS or len(text) > MOST_LETTERS:
        said = f"{source} has more than {MOST_CELLS:,} cells or {MOST_LETTERS:,} letters"
        raise Refused(said, mend="copy the readings alone into a new file")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    return list(reader)  # type: ignore[arg-type]


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
    try:
        for name, rows in tables(content):
            yield Sheet(rows, typed=False, name=name)
    except TooLarge as error:
        mend = "copy the readings alone into a new workbook"
        raise Refused(f"{source} lays out {error}", mend=mend) from None
    except (NoWorkbook, LookupError, ValueError):
        mend = "open it in a spreadsheet and save it again"
        raise Refused(f"{source} is damaged or is no workbook", mend=mend) from None
