"""Files to rows of cells: csv by its text, xlsx and ods by calamine. No meaning is given here.

Limits: 64 MB a file, 1,000,000 rows, and 10,000,000 cells in a workbook's tables, so that a file
made to be large, or one stray cell far out, cannot take the machine's memory. Macros and links
to other files are never followed: only the values kept in the cells are read.
"""

from __future__ import annotations

import codecs
import csv
import io
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING, Any

from analysis.cells import Cell
from analysis.refusal import Refused
from analysis.workbooks import damaged, refuse_if_too_large

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

MOST_BYTES = 64_000_000
MOST_ROWS = 1_000_000
SUFFIXES = (".csv", ".xlsx", ".ods")

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
        raise Refused(f"{path} is a folder: name one readings file (csv, xlsx or ods) in it.")
    if path.suffix.lower() not in SUFFIXES:
        raise Refused(f"{path.name} is not a csv, xlsx or ods file: save the table as one of them.")
    try:
        with path.open("rb") as file:
            content = file.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise Refused(f"There is no file {path}: check its name and folder.") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise Refused(f"{path} cannot be opened ({reason}): check that you may read it.") from None
    if len(content) > MOST_BYTES:
        raise Refused(f"{path.name} is larger than 64 MB: keep the readings only, in parts.")
    if not content.strip():
        raise Refused(f"{path.name} is empty: save the table of readings in it.")
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
            f"In {source} the quotation marks do not pair ({fault}): open it in a spreadsheet "
            "and save it as csv again."
        )


def _rows(source: str, text: str, separator: str) -> list[list[Cell]]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[list[Cell]] = list(islice(reader, MOST_ROWS + 1))  # type: ignore[arg-type]
    if len(rows) > MOST_ROWS:
        raise Refused(f"{source} has more than {MOST_ROWS:,} rows: split it into parts.")
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
    return Refused(f"{source} is not text, whatever its ending: save the table as csv (UTF-8).")


def _workbook_sheets(source: str, content: bytes) -> Iterator[Sheet]:
    import python_calamine

    if content.startswith(_CONTAINER):
        raise Refused(
            f"{source} is protected by a password or of the old xls kind: "
            "save it without a password as xlsx."
        )
    refuse_if_too_large(source, content)
    try:
        book = python_calamine.load_workbook(io.BytesIO(content))
        for name in book.sheet_names:
            yield _sheet(name, book.get_sheet_by_name(name))
    except (KeyboardInterrupt, SystemExit, GeneratorExit, Refused):
        raise
    except BaseException:  # a panic in the reader's compiled code is not an Exception
        raise damaged(source) from None


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
