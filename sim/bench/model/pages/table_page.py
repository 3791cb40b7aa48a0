"""The page of the results table: an empty grid that the student fills, headings and all."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from analysis.marking.questions import TABLE
from analysis.quantity.text import fixed, plain
from analysis.quantity.units import celsius, centimetres
from analysis.readings.sets import sets_of_repeats
from sim import actions as act
from sim.bench.model.desk import Desk, Step, done
from sim.bench.model.pages.book_page import (
    FEEDBACK,
    BookPage,
    feedback_blocks,
    field_name,
    ruled,
)
from sim.bench.ui.blocks import Block, ButtonBox, FieldBox, TableBox, TableRow, Words
from sim.bench.ui.fields import Motion, TextLine
from sim.book import LARGEST_TABLE
from sim.state import Book, RoughReading, State

ROWS, COLUMNS = 6, 7
"""Headings and five temperatures; temperature, five repeats and the mean."""
ADD_ROW, ADD_COLUMN = f"{TABLE}.add row", f"{TABLE}.add column"
SIZES = {"rows": ROWS, "columns": COLUMNS}
HOW = (
    "The first row is for the headings: quantity and unit. Copy your readings across, and work "
    "out the means yourself."
)
ROUGH_TITLE = "From your rough page"
NO_READINGS = "The rough page is still empty."
STRUCK = "(struck out)"


def _blocks(desk: Desk) -> tuple[Block, ...]:
    return (
        Words(TABLE, "title"),
        Words(HOW, "note"),
        *_rough(desk.state.rough),
        _table(desk),
        ButtonBox(ADD_ROW, "Add a row"),
        ButtonBox(ADD_COLUMN, "Add a column"),
        *feedback_blocks(desk, TABLE),
    )


def _rough(lines: tuple[RoughReading, ...]) -> tuple[Block, ...]:
    """The rough page to copy from by eye: a row for each set, as it was read."""
    title = Words(ROUGH_TITLE, "part")
    if not lines:
        return (title, Words(NO_READINGS))
    noted_c = [float(celsius(line.temperature_k)) for line in lines]
    found = sets_of_repeats(noted_c, [line.struck_out is not None for line in lines])
    rows = [
        (sorted((*one.standing, *one.struck_out)), _water(one.low_c, one.high_c)) for one in found
    ]
    shown = tuple(
        TableRow((water, ",  ".join(_read(lines[at]) for at in places)))
        for places, water in sorted(rows)
    )
    return (title, TableBox(("water", "rebounds in cm, in the order they were read"), shown))


def _water(low_c: float, high_c: float) -> str:
    """The temperature of a set as it was noted, or from the lowest to the highest noted."""
    return f"{' to '.join(dict.fromkeys(plain(end, 2) for end in (low_c, high_c)))} °C"


def _read(line: RoughReading) -> str:
    text = fixed(float(centimetres(line.height_m)), line.decimal_places)
    return text if line.struck_out is None else f"{text} {STRUCK}"


def _table(desk: Desk) -> TableBox:
    rows, columns = size_of(desk.state.book)
    names = [[cell_name(row, column) for column in range(columns)] for row in range(rows)]
    return ruled([tuple(FieldBox(name, desk.fields[name]) for name in row) for row in names])


def cell_name(row: int, column: int) -> str:
    """The name of a cell's field; row 0 holds the headings."""
    return f"{TABLE}.{row}.{column}"


def _place(name: str) -> tuple[int, int] | None:
    """Row and column of a cell's field, or None for anything else."""
    page, *place = name.split(".")
    return (int(place[0]), int(place[1])) if page == TABLE and len(place) == 2 else None


def size_of(book: Book) -> tuple[int, int]:
    """Rows and columns of the table: as many as were added, and as hold what is written."""
    asked = {
        what: int(text) if text.isdecimal() else least
        for what, least in SIZES.items()
        for text in (book.answers.get((TABLE, what), ""),)
    }
    rows = max((row + 1 for row, _ in book.cells), default=0)
    columns = max((column + 1 for _, column in book.cells), default=0)
    return (
        min(max(rows, asked["rows"], ROWS), LARGEST_TABLE),
        min(max(columns, asked["columns"], COLUMNS), LARGEST_TABLE),
    )


def _fields(state: State) -> Mapping[str, TextLine]:
    rows, columns = size_of(state.book)
    return MappingProxyType(
        {
            cell_name(row, column): TextLine.holding(state.book.cells.get((row, column), ""))
            for row in range(rows)
            for column in range(columns)
        }
    )


def _kept(desk: Desk) -> Step:
    """Every cell that differs from the book's is written into the book."""
    cells = desk.state.book.cells
    places = {name: place for name in desk.fields if (place := _place(name)) is not None}
    changed = [
        act.WriteCell(*place, desk.fields[name].text)
        for name, place in places.items()
        if desk.fields[name].text != cells.get(place, "")
    ]
    return done(desk, *changed) if changed else Step(desk)


def _pressed(desk: Desk, name: str) -> Step:
    return _kept(desk).then(lambda kept: _pressed_on(kept, name))


def _pressed_on(desk: Desk, name: str) -> Step:
    if name == field_name(TABLE, FEEDBACK):
        return done(desk, act.AskForFeedback(TABLE))
    if name in (ADD_ROW, ADD_COLUMN):
        return _added(desk, "rows" if name == ADD_ROW else "columns")
    below = _neighbour(name, Motion.DOWN)
    return Step(desk.at(below) if below is not None and below in desk.fields else desk)


def _added(desk: Desk, what: str) -> Step:
    """One row or column more, as many as a table may have."""
    rows, columns = size_of(desk.state.book)
    wanted = (rows if what == "rows" else columns) + 1
    if wanted > LARGEST_TABLE:
        return Step(desk.saying(f"{LARGEST_TABLE} {what} are as many as fit.", "refusal"))
    step = done(desk, act.WriteAnswer(TABLE, what, str(wanted)))
    fields = {**_fields(step.desk.state), **step.desk.fields}
    return Step(step.desk.writing(fields), step.actions)


def _neighbour(name: str, way: Motion) -> str | None:
    """The cell that an arrow goes to from the edge of what is written."""
    place = _place(name)
    ways = {Motion.UP: (-1, 0), Motion.DOWN: (1, 0), Motion.LEFT: (0, -1), Motion.RIGHT: (0, 1)}
    if place is None or way not in ways:
        return None
    return cell_name(place[0] + ways[way][0], place[1] + ways[way][1])


TABLE_PAGE = BookPage(TABLE, _blocks, _fields, _kept, _pressed, _neighbour)
