"""The table in a sheet: its headings, its body as columns in SI, and settings written above it.

Title lines and blank lines above the headings are passed over; blank rows and columns are left out,
and so are notes and rows of means below the readings. A heading such as "resolution / cm" or "drop
height / cm" above the table, with a number in the next cell, holds for the whole table; in a
workbook it may stand on another sheet. Every cell that cannot be read is named at once.
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
    NO_READINGS,
    READ,
    REBOUND_HEIGHT,
    REHEATED,
    REPEAT,
    RESOLUTION,
    STUDENT,
    Heading,
    heading_text,
    read_heading,
)
from analysis.quantity.units import school_unit, to_si, units_of
from analysis.quantity.written import Cell, Number, is_blank, name, number, yes_or_no
from analysis.readings.heading_rows import (
    HEADING_ROWS,
    LONGEST_HEADING,
    headings_in,
    is_temperature,
)
from analysis.readings.layouts import another_table, check_one_table, find_layout, two_tables
from analysis.refusal import (
    Fault,
    Refused,
    column_letters,
    either,
    line_name,
    quoted,
    refuse_if_any,
    refused,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from numpy.typing import NDArray

    from analysis.readings.layouts import TableLayout
    from analysis.readings.sheets import Sheet

MOST_COLUMNS = 2_000
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

    `turned`: in the sheet the rows are columns, and the headings stand below one another.
    `unnumbered` are columns of heights that one heading is spread over without numbers; `notes`
    the numbers of rows that hold words alone and were left out.
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
    turned: bool = False
    unnumbered: tuple[int, ...] = ()
    notes: tuple[int, ...] = ()
    columns: dict[int, Column] = field(default_factory=dict)

    def cells(self, index: int) -> list[Cell]:
        """Cells below a heading; short rows give blanks."""
        return [row[index] if index < len(row) else "" for row in self.body]

    def heading_text(self, index: int) -> str:
        """A heading as it is written, for a sentence."""
        return quoted(self.headings[index].text)

    def fault(self, row: int, column: int, saying: str) -> Fault:
        """Fault of the cell at these places of the body."""
        text = self.headings[column].text
        return Fault(self.row_numbers[row], column, text, saying, self.turned)

    def heading_fault(self, column: int, saying: str) -> Fault:
        """Fault of a heading."""
        text = self.headings[column].text
        return Fault(self.heading_row, column, text, saying, self.turned)

    def line(self, row: int) -> str:
        """What the sheet calls a row of the body: "row 5", or "column E" of a table on its side."""
        return line_name(self.row_numbers[row], turned=self.turned)

    @property
    def heading_line(self) -> str:
        """What the sheet calls the row of the headings."""
        return line_name(self.heading_row, turned=self.turned)

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
    seen: list[Sheet] = []
    chosen: tuple[Sheet, TableLayout] | None = None
    others: list[str] = []
    for sheet in sheets:
        seen.append(sheet)
        layout = find_layout(sheet)
        if layout is not None and chosen is not None:
            others.append(sheet.name)
        chosen = (sheet, layout) if layout is not None and chosen is None else chosen
        if chosen and sheet.typed:
            break
    if chosen is None:
        raise _no_heading(source, seen)
    sheet, layout = chosen
    aside = [one for one in seen if one is not sheet and not one.typed]
    notice = f"Only the sheet {quoted(sheet.name)} was read, though others hold a table too."
    table = _table(source, sheet, layout, (notice,) * bool(others))
    table = replace(table, settings_m=_settings(sheet, layout, aside))
    return replace(table, columns=_columns(table, layout))


def _no_heading(source: str, seen: list[Sheet]) -> Refused:
    mend = "head the column 'temperature / °C'"
    for sheet in seen:
        for index, row in enumerate(sheet.rows[:HEADING_ROWS]):
            for column, one in headings_in(row):
                if is_temperature(one):
                    wrong = f"the unit {quoted(one.unit_text)} is no unit of temperature"
                    saying = wrong if one.unit_text else "the temperature heading has no unit"
                    return refused(source, Fault(index + 1, column, one.text, f"{saying}: {mend}"))
    mend += " in the row above the readings"
    return Refused(f"{source} has no temperature heading", mend=mend)


def _table(
    source: str, sheet: Sheet, layout: TableLayout, notices: tuple[str, ...]
) -> ReadingsTable:
    table = ReadingsTable(
        source=source,
        headings=layout.headings,
        heading_row=layout.bottom + 1,
        body=[],
        row_numbers=[],
        typed=sheet.typed,
        settings_m={},
        notices=(*sheet.notices, *notices),
        turned=layout.turned,
        unnumbered=layout.unnumbered,
    )
    if sum(bool(heading.text) for heading in table.headings) > MOST_COLUMNS:
        raise Refused(
            f"{source} has more than {MOST_COLUMNS:,} headings in {table.heading_line}",
            mend="write one drop a row, under 'repeat' and 'rebound height / cm'",
        )
    check_one_table(source, layout)
    _check_headings(table)
    table = _with_body(table, layout)
    _check_edges(table, layout)
    return table


def _check_headings(table: ReadingsTable) -> None:
    places: dict[tuple[str, int | None], int] = {}
    for index, heading in enumerate(table.headings):
        key = (heading.quantity, heading.number)
        if heading.quantity in _ONCE and key in places:
            raise Refused(
                f"In {table.source}, {table.heading_line}, {_across(table, places[key], index)} "
                "have headings for the same thing "
                f"({table.heading_text(places[key])} and {quoted(heading.text)})",
                mend="rename or delete one of them",
            )
        places[key] = index
        # What is read needs its unit; what is only checked may lack one.
        if heading.quantity in READ and heading.quantity in KIND and not heading.fits:
            raise refused(table.source, table.heading_fault(index, _unit_saying(heading)))


def _across(table: ReadingsTable, *columns: int) -> str:
    if table.turned:
        return "rows " + " and ".join(str(column + 1) for column in columns)
    return "columns " + " and ".join(map(column_letters, columns))


def _unit_saying(heading: Heading) -> str:
    kind = KIND[heading.quantity]
    wrong = f"the unit {quoted(heading.unit_text)} is no unit of {kind}"
    example = heading_text(heading.quantity, school_unit(kind), heading.number)
    wrong = wrong if heading.unit_text else "the unit is missing"
    return f"{wrong}: write {either(units_of(kind))}, as in '{example}'"


def _with_body(table: ReadingsTable, layout: TableLayout) -> ReadingsTable:
    """The rows below the headings that are neither blank nor notes nor means of the columns."""
    body: list[list[Cell]] = []
    numbers: list[int] = []
    notes: list[int] = []
    figures: list[int] = []
    at = layout.temperature_column
    for index, row in enumerate(layout.rows[layout.bottom + 1 :], start=layout.bottom + 2):
        filled = [column for column, cell in enumerate(row) if not is_blank(cell)][:2]
        label = _label(row[at]) if len(filled) > 1 and at < len(row) else None
        if label is not None and is_temperature(label):
            raise two_tables(table.source, layout, (index - 1, at))
        if len(filled) == 1 and _is_note(row[filled[0]], filled[0], table.headings):
            notes.append(index)
        elif label is not None and label.quantity in NO_READINGS:
            figures.append(index)
        elif filled:
            body.append(row)
            numbers.append(index)
    said = (*_left_out(table, notes, "note"), *_left_out(table, figures, "figure worked out"))
    said = (*table.notices, *said)
    return replace(table, body=body, row_numbers=numbers, notices=said, notes=tuple(notes))


def _label(cell: Cell) -> Heading | None:
    """What words in the place of a temperature mean; None for a number."""
    words = isinstance(cell, str) and not cell[:1].isdigit() and len(cell) < LONGEST_HEADING
    return read_heading(str(cell)) if words else None


def _left_out(table: ReadingsTable, numbers: list[int], what: str) -> tuple[str, ...]:
    if not numbers:
        return ()
    first = line_name(numbers[0], turned=table.turned)
    if len(numbers) == 1:
        return (f"{first.capitalize()} holds a {what} and no readings; it was left out.",)
    lines = "columns" if table.turned else "rows"
    return (f"{len(numbers)} {lines} hold {what}s and no readings, the first {first}.",)


def _is_note(cell: Cell, column: int, headings: list[Heading]) -> bool:
    """Words that stand alone in a row, not where a reading would stand."""
    heading = headings[column] if column < len(headings) else Heading("", "")
    is_text = isinstance(cell, str) and bool(number(cell, heading.unit).fault)
    return is_text and heading.quantity != REBOUND_HEIGHT


def _check_edges(table: ReadingsTable, layout: TableLayout) -> None:
    """Raise Refused for a number outside the headed columns.

    A decimal comma that was not quoted puts one there, and a reading there would be lost.
    """
    headings = table.headings
    unheaded = [index for index, heading in enumerate(headings) if not heading.text]
    faults = []
    for place, row in zip(table.row_numbers, table.body, strict=True):
        columns = [index for index in unheaded if index < len(row)] if unheaded else []
        for column in (*columns, *range(len(headings), len(row))):
            if not is_blank(row[column]) and not number(row[column], None).fault:
                saying = (
                    f"{quoted(row[column])} stands under no heading: give the column a heading, "
                    "or put decimal commas in quotes if the csv file is separated by commas"
                )
                across = f"{column + 1}" if table.turned else column_letters(column)
                faults.append(Fault(place, column, across, saying, table.turned))
    _refuse_if_any(table, layout, faults)


def _refuse_if_any(table: ReadingsTable, layout: TableLayout, faults: list[Fault]) -> None:
    """Raise the refusal of cells at fault; where another table begins, that is the fault."""
    other = another_table(layout) if faults else None
    if other is not None:
        raise two_tables(table.source, layout, other)
    refuse_if_any(table.source, faults)


def _settings(sheet: Sheet, layout: TableLayout, aside: list[Sheet]) -> dict[str, float]:
    """Resolution and drop height, in metres, from above the table or from the other sheets."""
    rows = list(sheet.rows[: layout.temperature_column if layout.turned else layout.top])
    for other in aside[:_OTHER_SHEETS]:
        if find_layout(other) is None:
            rows += other.rows[:HEADING_ROWS]
    settings: dict[str, float] = {}
    for cells in rows:
        for column, heading in headings_in(cells[:-1]):
            value = number(cells[column + 1], heading.unit).value
            if heading.quantity in (RESOLUTION, DROP_HEIGHT) and heading.fits and value > 0:
                settings.setdefault(heading.quantity, to_si(value, heading.unit or "m"))
    return settings


def _columns(table: ReadingsTable, layout: TableLayout) -> dict[int, Column]:
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
    _refuse_if_any(table, layout, faults)
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
