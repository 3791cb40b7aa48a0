"""The table in a sheet: its heading row, its body as columns in SI, and settings written above it.

Title lines and blank lines above the heading row are passed over, blank rows and columns are left
out. A heading such as "resolution / cm" or "drop height / cm" above the table, with a number in
the next cell, holds for the whole table; in a workbook it may stand on another sheet. Every cell
that cannot be read is named at once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from analysis.quantity.headings import (
    CHECKED,
    DROP_HEIGHT,
    KIND,
    MEAN,
    READ,
    REBOUND_HEIGHT,
    REHEATED,
    REPEAT,
    RESOLUTION,
    STUDENT,
    TEMPERATURE,
    Heading,
    heading_text,
    read_heading,
)
from analysis.quantity.units import school_unit, to_si, units_of
from analysis.quantity.written import Cell, Number, is_blank, name, number, yes_or_no
from analysis.refusal import Fault, Refused, column_letters, either, quoted, refuse_if_any, refused

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from numpy.typing import NDArray

    from analysis.readings.sheets import Sheet

MOST_COLUMNS = 2_000
_HEADING_ROWS = 200  # how far down a heading row is looked for
_ONCE = (*READ, MEAN, RESOLUTION)  # of each only one column, or one for each number
_OTHER_SHEETS = 20  # how many other sheets are looked through for settings


class Column(NamedTuple):
    """One column: values in SI (names as they are), NaN where blank, and decimals as written.

    `units` counts the cells that repeat the heading's unit.
    """

    values: NDArray[Any]
    decimals: NDArray[np.int64]
    units: int = 0


@dataclass(frozen=True)
class ReadingsTable:
    """Headings and body of a table. `row_numbers` count from 1, as a spreadsheet's do.

    `columns` are those of known quantity, by their places among the headings.
    """

    source: str
    headings: list[Heading]
    heading_row: int
    body: list[list[Cell]]
    row_numbers: list[int]
    typed: bool
    settings_m: dict[str, float]
    notices: tuple[str, ...]
    columns: dict[int, Column] = field(default_factory=dict)

    def cells(self, index: int) -> list[Cell]:
        """Cells below a heading; short rows give blanks."""
        return [row[index] if index < len(row) else "" for row in self.body]

    def heading_text(self, index: int) -> str:
        """A heading as it is written, for a sentence."""
        return quoted(self.headings[index].text)

    def fault(self, row: int, column: int, saying: str) -> Fault:
        """Fault of the cell at these places of the body."""
        return Fault(self.row_numbers[row], column, self.headings[column].text, saying)

    @cached_property
    def where(self) -> dict[tuple[str, int | None], int]:
        """Column of each quantity and number that we know."""
        return {
            (heading.quantity, heading.number): index
            for index, heading in enumerate(self.headings)
            if heading.quantity
        }

    @cached_property
    def heights(self) -> list[int]:
        """The columns of rebound heights."""
        return [index for (what, _), index in self.where.items() if what == REBOUND_HEIGHT]

    @cached_property
    def heights_m(self) -> NDArray[np.float64]:
        """Rebound heights, a row of the body and a column of `heights`, NaN where blank."""
        return np.column_stack([self.columns[index].values for index in self.heights])


def read_table(source: str, sheets: Iterable[Sheet]) -> ReadingsTable:
    """First table with a temperature heading in the sheets of a file. Raises Refused."""
    table = _found(source, sheets)
    return replace(table, columns=_columns(table))


def _found(source: str, sheets: Iterable[Sheet]) -> ReadingsTable:
    seen: list[Sheet] = []
    chosen: tuple[Sheet, int] | None = None
    others: list[str] = []
    for sheet in sheets:
        seen.append(sheet)
        row = _heading_row(sheet)
        if row is not None and chosen is not None:
            others.append(sheet.name)
        chosen = (sheet, row) if row is not None and chosen is None else chosen
        if chosen and sheet.typed:
            break
    if chosen is None:
        raise _no_heading(source, seen)
    sheet, row = chosen
    aside = [one for one in seen if one is not sheet and not one.typed]
    notice = f"Only the sheet {quoted(sheet.name)} was read, though others hold a table too."
    return _table(source, sheet, row, _settings(sheet, row, aside), (notice,) * bool(others))


def _heading_row(sheet: Sheet) -> int | None:
    for index, row in enumerate(sheet.rows[:_HEADING_ROWS]):
        for _, one in _headings(row):
            if one.quantity == TEMPERATURE and one.number is None and one.fits:
                return index
    return None


def _headings(row: list[Cell]) -> Iterator[tuple[int, Heading]]:
    for index, cell in enumerate(row):
        if isinstance(cell, str) and cell.strip() and len(cell) < 200:
            yield index, read_heading(cell)


def _no_heading(source: str, seen: list[Sheet]) -> Refused:
    mend = "head the column 'temperature / °C'"
    for sheet in seen:
        for index, row in enumerate(sheet.rows[:_HEADING_ROWS]):
            for column, one in _headings(row):
                if one.quantity == TEMPERATURE and one.number is None:
                    wrong = f"the unit {quoted(one.unit_text)} is no unit of temperature"
                    saying = wrong if one.unit_text else "the temperature heading has no unit"
                    return refused(source, Fault(index + 1, column, one.text, f"{saying}: {mend}"))
    mend += " in the row above the readings"
    return Refused(f"{source} has no temperature heading", mend=mend)


def _table(
    source: str, sheet: Sheet, row: int, settings_m: dict[str, float], notices: tuple[str, ...]
) -> ReadingsTable:
    found = dict(_headings(sheet.rows[row]))
    if len(found) > MOST_COLUMNS:
        raise Refused(
            f"{source} has more than {MOST_COLUMNS:,} headings in row {row + 1}",
            mend="write one drop a row, under 'repeat' and 'rebound height / cm'",
        )
    width = max(found) + 1
    headings = [found.get(index, Heading("", "")) for index in range(width)]
    _check_headings(source, row + 1, headings)
    body, numbers, notes = _body(sheet, row, headings)
    _check_edges(source, headings, body, numbers)
    said = (*sheet.notices, *notices, *notes)
    return ReadingsTable(source, headings, row + 1, body, numbers, sheet.typed, settings_m, said)


def _check_headings(source: str, row: int, headings: list[Heading]) -> None:
    places: dict[tuple[str, int | None], int] = {}
    for index, heading in enumerate(headings):
        key = (heading.quantity, heading.number)
        if heading.quantity in _ONCE and key in places:
            raise Refused(
                f"In {source}, row {row}, columns {column_letters(places[key])} and "
                f"{column_letters(index)} have headings for the same thing "
                f"({quoted(headings[places[key]].text)} and {quoted(heading.text)})",
                mend="rename or delete one of them",
            )
        places[key] = index
        # What is read needs its unit; what is only checked may lack one.
        if heading.quantity in READ and heading.quantity in KIND and not heading.fits:
            raise refused(source, Fault(row, index, heading.text, _unit_saying(heading)))


def _unit_saying(heading: Heading) -> str:
    kind = KIND[heading.quantity]
    wrong = f"the unit {quoted(heading.unit_text)} is no unit of {kind}"
    example = heading_text(heading.quantity, school_unit(kind), heading.number)
    wrong = wrong if heading.unit_text else "the unit is missing"
    return f"{wrong}: write {either(units_of(kind))}, as in '{example}'"


def _body(
    sheet: Sheet, heading_row: int, headings: list[Heading]
) -> tuple[list[list[Cell]], list[int], tuple[str, ...]]:
    body: list[list[Cell]] = []
    numbers: list[int] = []
    notes: list[int] = []
    for index, row in enumerate(sheet.rows[heading_row + 1 :], start=heading_row + 2):
        filled = [column for column, cell in enumerate(row) if not is_blank(cell)][:2]
        if len(filled) == 1 and _is_note(row[filled[0]], filled[0], headings):
            notes.append(index)
        elif filled:
            body.append(row)
            numbers.append(index)
    said = f"Row {notes[0]} holds a note and no readings; it was left out." if notes else ""
    if len(notes) > 1:
        said = f"{len(notes)} rows hold notes and no readings, the first row {notes[0]}."
    return body, numbers, (said,) * bool(said)


def _is_note(cell: Cell, column: int, headings: list[Heading]) -> bool:
    """Words that stand alone in a row, not where a reading would stand."""
    heading = headings[column] if column < len(headings) else Heading("", "")
    is_text = isinstance(cell, str) and bool(number(cell, heading.unit).fault)
    return is_text and heading.quantity != REBOUND_HEIGHT


def _check_edges(
    source: str, headings: list[Heading], body: list[list[Cell]], numbers: list[int]
) -> None:
    """Raise Refused for a number outside the headed columns.

    A decimal comma that was not quoted puts one there, and a reading there would be lost.
    """
    unheaded = [index for index, heading in enumerate(headings) if not heading.text]
    faults = []
    for place, row in zip(numbers, body, strict=True):
        columns = [index for index in unheaded if index < len(row)] if unheaded else []
        for column in (*columns, *range(len(headings), len(row))):
            if not is_blank(row[column]) and not number(row[column], None).fault:
                saying = (
                    f"{quoted(row[column])} stands under no heading: give the column a heading, "
                    "or put decimal commas in quotes if the csv file is separated by commas"
                )
                faults.append(Fault(place, column, column_letters(column), saying))
    refuse_if_any(source, faults)


def _settings(sheet: Sheet, row: int, aside: list[Sheet]) -> dict[str, float]:
    """Resolution and drop height, in metres, from above the table or from the other sheets."""
    rows = list(sheet.rows[:row])
    for other in aside[:_OTHER_SHEETS]:
        if _heading_row(other) is None:
            rows += other.rows[:_HEADING_ROWS]
    settings: dict[str, float] = {}
    for cells in rows:
        for column, heading in _headings(cells[:-1]):
            value = number(cells[column + 1], heading.unit).value
            if heading.quantity in (RESOLUTION, DROP_HEIGHT) and heading.fits and value > 0:
                settings.setdefault(heading.quantity, to_si(value, heading.unit or "m"))
    return settings


def _columns(table: ReadingsTable) -> dict[int, Column]:
    """Each column of known quantity, by its place. Raises Refused naming the first bad cell."""
    columns: dict[int, Column] = {}
    faults: list[Fault] = []
    for index, heading in enumerate(table.headings):
        if heading.quantity == STUDENT:
            names = np.array([name(cell) for cell in table.cells(index)], dtype=object)
            columns[index] = Column(names, np.zeros(len(names), np.int64))
        elif heading.quantity in (REPEAT, REHEATED) or (
            heading.fits and heading.quantity in (*READ, *CHECKED)
        ):
            columns[index] = _numbers(table, index, heading, faults)
    refuse_if_any(table.source, faults)
    return columns


def _numbers(table: ReadingsTable, index: int, heading: Heading, faults: list[Fault]) -> Column:
    cells = table.cells(index)
    # Readings repeat themselves: each distinct cell is parsed once.
    parsed = {cell: _parsed(cell, heading) for cell in set(cells)}
    if heading.quantity in READ and any(one.fault for one in parsed.values()):
        faults += [
            table.fault(row, index, parsed[cell].fault)
            for row, cell in enumerate(cells)
            if parsed[cell].fault
        ]
    values = np.array([parsed[cell].value for cell in cells], dtype=np.float64)
    decimals = np.array([parsed[cell].decimals for cell in cells], dtype=np.int64)
    units = sum(parsed[cell].unit is not None for cell in cells)
    if heading.quantity in KIND and heading.unit:
        values = to_si(values, heading.unit)
    return Column(values, decimals, units)


def _parsed(cell: Cell, heading: Heading) -> Number:
    if heading.quantity != REHEATED:
        return number(cell, heading.unit)
    said = yes_or_no(cell)
    if said is None and not is_blank(cell):
        return Number(math.nan, fault=f"{quoted(cell)} is neither yes nor no: write one of them")
    return Number(math.nan if said is None else float(said))
