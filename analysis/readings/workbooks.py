"""Workbooks (xlsx, ods) to tables of cells: the values kept in them and nothing else.

Formulas, macros, links, notes and pictures are not looked at. The reading is our own, over the
parser of the standard library, because all that the analysis needs is values in rows, and a reader
that lays a table out by what the file claims can be made to take all memory, to hang, or to end
the whole program, which no command may suffer from one file among forty.
"""

from __future__ import annotations

import datetime
import math
import posixpath
import re
from typing import TYPE_CHECKING

from analysis.readings.workbook_parts import (
    MOST_CELLS,
    Allowance,
    Elements,
    FilledRows,
    NoWorkbook,
    Parts,
    TooLarge,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from analysis.quantity.written import Cell

MOST_ROWS, MOST_COLUMNS = 1_048_576, 16_384
"""The last of a worksheet, by its format."""

NamedTable = tuple[str, list[list["Cell"]]]


def tables(content: bytes) -> Iterator[NamedTable]:
    """Name and rows of each table of a workbook. Raises NoWorkbook or TooLarge."""
    parts = Parts(content)
    if "xl/workbook.xml" in parts:
        return _xlsx_tables(parts)
    if "content.xml" in parts:
        return iter(parts.read("content.xml", _OdsContent()).tables)
    raise NoWorkbook


def _xlsx_tables(parts: Parts) -> Iterator[NamedTable]:
    allowance = Allowance()
    book = parts.read("xl/workbook.xml", _XlsxBook())
    links = parts.read("xl/_rels/workbook.xml.rels", _XlsxLinks()).links
    targets = {kind: target for kind, target in links.values()}
    styles, strings = _XlsxStyles(), _XlsxStrings()
    for kind, listener in (("styles", styles), ("sharedStrings", strings)):
        if targets.get(kind, "") in parts:
            parts.read(targets[kind], listener)
    for name, link in book.sheets:
        kind, target = links.get(link, ("", ""))
        if kind != "worksheet":  # a sheet that is one chart
            yield name, []
            continue
        sheet = _XlsxSheet(allowance, strings.strings, styles.dates, book.first_day)
        yield name, parts.read(target, sheet).grid.rows


class _XlsxBook(Elements):
    """The sheets of a workbook in their order, and the day that its dates are counted from."""

    def __init__(self) -> None:
        super().__init__()
        self.sheets: list[tuple[str, str]] = []
        self.first_day = datetime.datetime(1899, 12, 30)

    def opened(self, name: str, attributes: Mapping[str, str]) -> None:
        if name == "sheet":
            found = _unprefixed(attributes)
            self.sheets.append((found.get("name", ""), found.get("id", "")))
        elif name == "workbookPr" and attributes.get("date1904") in ("1", "true"):
            self.first_day = datetime.datetime(1904, 1, 1)


class _XlsxLinks(Elements):
    """Kind and path of each part that the workbook names."""

    def __init__(self) -> None:
        super().__init__()
        self.links: dict[str, tuple[str, str]] = {}

    def opened(self, name: str, attributes: Mapping[str, str]) -> None:
        if name == "Relationship" and attributes.get("TargetMode") != "External":
            kind = attributes.get("Type", "").rpartition("/")[2]
            target = posixpath.join("/xl", attributes.get("Target", "").replace("\\", "/"))
            self.links[attributes.get("Id", "")] = (kind, posixpath.normpath(target))


class _XlsxStrings(Elements):
    """The texts that cells point to, by their place; a reading aid above a word is left out."""

    def __init__(self) -> None:
        super().__init__()
        self.strings: list[str] = []
        self._letters = Allowance()  # of their own: a text may be pointed to by no cell or by many
        self._pieces: list[str] = []

    def opened(self, name: str, _attributes: Mapping[str, str]) -> None:
        if name == "si":
            self._pieces = []
        elif name == "t" and "rPh" not in self.path:
            self.text = []

    def closed(self, name: str) -> None:
        if name == "t" and self.text is not None:
            self._pieces.append(self.taken())
        elif name == "si":
            self.strings.append(_unescaped("".join(self._pieces)))
            self._letters.take_letters(len(self.strings[-1]))


# Numbers of the formats that every workbook has without naming them and that show a date or time.
_DATE_FORMATS = {*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)}
_NOT_SHOWN = re.compile(r'"[^"]*"|\\.|[_*].|\[(?![hms]+\])[^\]]*\]', re.IGNORECASE)
_ELAPSED = re.compile(r"\[[hms]+\]", re.IGNORECASE)


class _XlsxStyles(Elements):
    """Which styles of cells show a number as "date" (or time of day) or as "elapsed" time."""

    def __init__(self) -> None:
        super().__init__()
        self.dates: list[str] = []
        self._formats: dict[str, str] = {str(number): "date" for number in _DATE_FORMATS}
        self._formats["46"] = "elapsed"

    def opened(self, name: str, attributes: Mapping[str, str]) -> None:
        if name == "numFmt":
            shown = _NOT_SHOWN.sub("", attributes.get("formatCode", ""))
            kind = "date" if set(shown.lower()) & set("dmyhs") else ""
            kind = "elapsed" if _ELAPSED.search(shown) else kind
            self._formats[attributes.get("numFmtId", "")] = kind
        elif name == "xf" and self.path[-2:-1] == ["cellXfs"]:
            self.dates.append(self._formats.get(attributes.get("numFmtId", ""), ""))


class _XlsxSheet(Elements):
    """The cells of one sheet. A cell that names no place stands right of the one before it."""

    def __init__(
        self,
        allowance: Allowance,
        strings: list[str],
        dates: list[str],
        first_day: datetime.datetime,
    ) -> None:
        super().__init__()
        self.grid = FilledRows(allowance)
        self._strings, self._dates, self._first_day = strings, dates, first_day
        self._row = self._column = -1
        self._kind = self._style = ""
        self._value: list[str] = []

    def opened(self, name: str, attributes: Mapping[str, str]) -> None:
        if name == "c":
            self._column += 1
            place = attributes.get("r")
            if place is not None:
                self._row, self._column = _place(place)
            self._kind, self._style = attributes.get("t", "n"), attributes.get("s", "")
            self._value = []
        elif name in ("v", "t") and "c" in self.path and "rPh" not in self.path:
            self.text = []
        elif name == "row":
            number = attributes.get("r")
            self._row = self._row + 1 if number is None else _place(f"A{number}")[0]
            self._column = -1

    def closed(self, name: str) -> None:
        if name == "c":
            cell = self._cell("".join(self._value))
            if cell != "":
                self.grid.put(max(self._row, 0), self._column, cell)
        elif self.text is not None and name in ("v", "t"):
            self._value.append(self.taken())

    def _cell(self, text: str) -> Cell:
        if self._kind == "e" or not text:  # a formula's error is no value
            return ""
        if self._kind == "n":
            return self._number(text)
        if self._kind == "s":
            return self._strings[int(text)]
        if self._kind == "b":
            return _yes_no(text.strip() == "1")
        return _unescaped(text)

    def _number(self, text: str) -> Cell:
        number = _finite(text)
        if number is None:
            return text
        style = int(self._style or 0)
        kind = self._dates[style] if style < len(self._dates) else ""
        return _date_text(number, kind, self._first_day) if kind else number


_PLACE = re.compile(r"([A-Za-z]{1,3})([0-9]{1,7})")


def _place(text: str) -> tuple[int, int]:
    """Row and column, from 0, of a cell's name ("B7"). Raises NoWorkbook for none."""
    found = _PLACE.fullmatch(text)
    if found is None:
        raise NoWorkbook
    column = 0
    for letter in found[1].upper():
        column = 26 * column + ord(letter) - ord("A") + 1
    row = int(found[2])
    if not 1 <= row <= MOST_ROWS or column > MOST_COLUMNS:
        raise NoWorkbook
    return row - 1, column - 1


def _date_text(number: float, kind: str, first_day: datetime.datetime) -> Cell:
    """What a number shows as a date, a time of day or an elapsed time; itself where it is none."""
    try:
        span = datetime.timedelta(seconds=round(number * 86_400.0, 3))
        if kind == "elapsed":
            return str(span)
        moment = first_day + span
    except OverflowError:
        return number
    if 0.0 <= number < 1.0:
        return str(moment.time())
    return str(moment if moment.time() != datetime.time() else moment.date())


_ESCAPED = re.compile("_x([0-9A-Fa-f]{4})_")


def _unescaped(text: str) -> str:
    """A text with the signs that xlsx writes by number; half a sign stays as it is written."""
    if "_x" not in text:
        return text
    return _ESCAPED.sub(
        lambda found: found[0] if 0xD800 <= int(found[1], 16) < 0xE000 else chr(int(found[1], 16)),
        text,
    )


_CELLS = ("table-cell", "covered-table-cell")
_NUMBERS = ("float", "percentage", "currency")
_DAY_TIME = re.compile(r"PT([0-9]{2})H([0-9]{2})M([0-9]{2})(?:\.[0-9]+)?S")


class _OdsContent(Elements):
    """The tables of a spreadsheet (OpenDocument); a table within a cell is passed over."""

    def __init__(self) -> None:
        super().__init__()
        self.tables: list[NamedTable] = []
        self._allowance = Allowance()
        self._grid = FilledRows(self._allowance)
        self._row = self._column = self._rows = 0
        self._cells: list[Cell] = []
        self._cell: dict[str, str] = {}
        self._paragraphs: list[str] = []
        self._within = 0
        """How many elements were open outside the paragraph that is gathered."""

    def opened(self, name: str, attributes: Mapping[str, str]) -> None:
        if self.text is not None:
            self._open_in_text(name, attributes)
        elif self.path.count("table") != 1:
            return
        elif name in _CELLS:
            self._cell, self._paragraphs = _unprefixed(attributes), []
        elif name == "p" and self.path[-2] in _CELLS:
            self.text, self._within = [], len(self.path) - 1
        elif name == "table-row":
            self._cells, self._column = [], 0
            self._rows = _times(_unprefixed(attributes).get("number-rows-repeated"))
        elif name == "table":
            self._grid, self._row = FilledRows(self._allowance), 0
            self.tables.append((_unprefixed(attributes).get("name", ""), self._grid.rows))

    def _open_in_text(self, name: str, attributes: Mapping[str, str]) -> None:
        if name == "s":
            spaces = _times(_unprefixed(attributes).get("c"))
            self._allowance.take_letters(spaces)
            self.data(" " * spaces)
        elif name in ("tab", "line-break"):
            self.data(" ")

    def closed(self, name: str) -> None:
        if self.text is not None:
            if len(self.path) == self._within:
                self._paragraphs.append(self.taken())
        elif self.path.count("table") != 1:
            return
        elif name in _CELLS:
            self._close_cell()
        elif name == "table-row":
            if self._cells:
                self._grid.put_rows(self._row, self._cells, self._rows)
            self._row += self._rows

    def _close_cell(self) -> None:
        cell, times = self._value(), _times(self._cell.get("number-columns-repeated"))
        self._column += times
        if cell != "":
            if self._column > MOST_COLUMNS:
                raise TooLarge(f"more than {MOST_CELLS:,} cells")
            blank = self._column - times - len(self._cells)
            self._cells += [""] * blank + [cell] * times

    def _value(self) -> Cell:
        text, kind = "\n".join(self._paragraphs), self._cell.get("value-type", "")
        if kind in _NUMBERS:
            number = _finite(self._cell.get("value", ""))
            return text if number is None else number
        if kind == "boolean":
            return _yes_no(self._cell.get("boolean-value") == "true")
        if kind == "date":
            return self._cell.get("date-value", text).replace("T", " ")
        if kind == "time":
            return _DAY_TIME.sub(r"\1:\2:\3", self._cell.get("time-value", text))
        return self._cell.get("string-value", text) if kind else ""


def _times(text: str | None) -> int:
    if text is None:
        return 1
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise NoWorkbook
    return max(int(text), 1)


def _unprefixed(attributes: Mapping[str, str]) -> dict[str, str]:
    return {name.rpartition(":")[2]: value for name, value in attributes.items()}


def _finite(text: str) -> float | None:
    try:
        number = float(text)
    except ValueError:
        return None
    return number if math.isfinite(number) else None


def _yes_no(said: bool) -> str:
    return "yes" if said else "no"
