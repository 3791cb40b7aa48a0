"""The pages of the readings: the rough page, and the results table that is made from it.

On the rough page a reading is written at once, struck out if need be, never erased. The table is
an empty grid that the student fills, headings and all.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from analysis.marking.questions import TABLE
from analysis.paper.cautions import IN_ONE_PARAGRAPH
from analysis.quantity.units import (
    KIND_OF,
    Kind,
    celsius,
    centimetres,
    fixed,
    kelvin,
    normalised,
    places_in_cm,
    school_unit,
    to_si,
)
from analysis.quantity.written import number_and_unit
from analysis.refusal import Refused
from sim import actions as act
from sim.bench.model.desk import BENCH, ROUGH, Desk, Step, done
from sim.bench.model.pages.book_page import (
    BookPage,
    feedback_blocks,
    plan_blocks,
    ruled,
)
from sim.bench.ui.blocks import Block, ButtonBox, FieldBox, TableBox, TableRow, Words
from sim.bench.ui.fields import Motion, NumberField, TextLine
from sim.book import LARGEST_TABLE
from sim.marking import DEGREES, noted_text, sets_of
from sim.state import Book, RoughReading, State

HIGHEST_READING_M = 2.5
LEAST_BARE_M = 0.03
"""A bare number for less than that is rather one in metres; no ball is seen to rise so little."""


def height(text: str, unit_before: str = "") -> tuple[float, int]:
    """A height with its unit, in metres, and its decimal places in cm; raises Refused.

    A bare number is taken in `unit_before`, where that stands beside the field.
    """
    value, unit, decimals = _quantity(text, "length", "height", unit_before)
    bare = normalised(text).replace(",", ".")
    if value < LEAST_BARE_M and bare.replace(".", "").isdigit():
        raise Refused(f"The height has no unit, and {bare} {unit_before} is too low: {bare} what?")
    if not 0.0 <= value <= HIGHEST_READING_M:
        raise Refused(f"A height of {text.strip()} is not on this rule: check number and unit.")
    return value, places_in_cm(decimals, unit)


def temperature(text: str, unit_before: str = "") -> tuple[float, int]:
    """A temperature of water with its unit, in kelvin, and its decimal places. As `height`."""
    value, _, places = _quantity(text, "temperature", "temperature", unit_before)
    if not kelvin(0.0) <= value <= kelvin(100.0):
        raise Refused(f"Water at {text.strip()} would be ice or steam: check number and unit.")
    return value, places


def _quantity(text: str, kind: Kind, name: str, before: str) -> tuple[float, str, int]:
    """The value in SI, the unit that it is written in, and its decimal places in that unit."""
    found = number_and_unit(text)
    if found is not None and not found.unit_text and before:
        found = number_and_unit(f"{text} {before}")
    if found is None:
        raise Refused(f"Write the {name} as a number and its unit, such as {_example(kind)}.")
    if not found.unit_text:
        digits = normalised(text).replace(",", ".")
        raise Refused(f"The {name} has no unit yet: {digits} what?")
    if found.unit is None or KIND_OF[found.unit] != kind:
        raise Refused(f"{found.unit_text!r} is no unit of {name}; {school_unit(kind)} is one.")
    return to_si(found.value, found.unit), found.unit, found.decimals


def _example(kind: Kind) -> str:
    return f"{57 if kind == 'length' else 35} {school_unit(kind)}"


TEMPERATURE, HEIGHT, WRITE = "rough.temperature", "rough.height", "rough.write"
LINE, REASON, STRIKE = "rough.line", "rough.reason", "rough.strike"

HOW_ROUGH = (
    "Write each reading down at once, number and unit, as your own eye read the lowest point of "
    "the ball."
)
NOTHING_YET = "No readings yet."


def _rough_blocks(desk: Desk) -> tuple[Block, ...]:
    fields = desk.fields
    degrees, length = _units_before(desk)
    return (
        Words(ROUGH, "title"),
        Words(HOW_ROUGH, "note"),
        *plan_blocks(desk),
        FieldBox(TEMPERATURE, fields[TEMPERATURE], _label("Water was at", degrees), letters=12),
        FieldBox(HEIGHT, fields[HEIGHT], _label("Rebound height", length), letters=12),
        ButtonBox(WRITE, "Write it down"),
        *_readings(desk),
        Words("Strike a reading out", "part"),
        FieldBox(LINE, fields[LINE], "Line", letters=4),
        FieldBox(REASON, fields[REASON], "Why it is struck out"),
        ButtonBox(STRIKE, "Strike it out"),
        Words(IN_ONE_PARAGRAPH, "caution"),
    )


def _units_before(desk: Desk) -> tuple[str, str]:
    """The units beside the fields: none until a line shows them, from then on those of the lines.

    With the unit in the label a bare number is a quantity, as under the heading of a table.
    """
    return (school_unit("temperature"), school_unit("length")) if desk.state.rough else ("", "")


def _label(name: str, unit: str) -> str:
    return f"{name} / {unit}" if unit else name


def _readings(desk: Desk) -> tuple[Block, ...]:
    """The readings so far, the newest first, so that it is seen without scrolling."""
    lines = desk.state.rough
    if not lines:
        return (Words(NOTHING_YET),)
    rows = tuple(_row(number, line) for number, line in enumerate(lines, start=1))
    return (TableBox(("line", "water", "rebound", "read by"), rows[::-1]),)


def _row(number: int, line: RoughReading) -> TableRow:
    return TableRow(
        (
            str(number),
            noted_text((line,), float(celsius(line.temperature_k))),
            f"{_height_text(line)} cm",
            "camera" if line.drop.filmed else "aid" if line.aided else "own eye",
        ),
        struck_out=line.struck_out,
    )


def _height_text(line: RoughReading) -> str:
    """A height in cm, as finely as it was read."""
    return fixed(float(centimetres(line.height_m)), line.decimal_places)


def _rough_fields(_: State) -> Mapping[str, TextLine]:
    return MappingProxyType(
        {
            TEMPERATURE: TextLine(longest=16),
            HEIGHT: TextLine(longest=16),
            LINE: NumberField(longest=3),
            REASON: TextLine(longest=120),
        }
    )


def _write(desk: Desk) -> Step:
    """The reading goes on the rough page; the height's field is free, and so are the hands."""
    degrees, length = _units_before(desk)
    try:
        water, degrees_places = temperature(desk.fields[TEMPERATURE].text, degrees)
    except Refused as problem:
        return Step(desk.at(TEMPERATURE).saying(str(problem), "refusal"))
    try:
        height_m, places = height(desk.fields[HEIGHT].text, length)
    except Refused as problem:
        return Step(desk.at(HEIGHT).saying(str(problem), "refusal"))
    step = done(
        desk,
        act.NoteReading(
            temperature_k=water,
            height_m=height_m,
            aided=desk.state.reading_aid is not None,
            decimal_places=places,
            temperature_places=degrees_places,
        ),
    )
    if len(step.desk.state.rough) == len(desk.state.rough):
        return step
    return Step(_emptied(step.desk, HEIGHT).at(BENCH), step.actions)


def first_to_write(desk: Desk) -> str:
    """The field that the last drop is written in next.

    The water's temperature first where it was prepared anew since the line before, or none stands;
    the height alone where nothing but another drop was made.
    """
    state = desk.state
    drop, lines = state.last_drop, state.rough
    same = drop and lines and drop.soak_k == lines[-1].drop.soak_k
    return HEIGHT if same and desk.fields[TEMPERATURE].text else TEMPERATURE


def _strike(desk: Desk) -> Step:
    line = desk.fields[LINE]
    number = line.value if isinstance(line, NumberField) else None
    if number is None or number != int(number):
        words = "Write the number of the line that is to be struck out."
        return Step(desk.at(LINE).saying(words, "refusal"))
    step = done(desk, act.StrikeReading(int(number) - 1, desk.fields[REASON].text))
    if not step.desk.state.rough or step.desk.state.rough == desk.state.rough:
        return Step(step.desk.at(REASON), step.actions)
    return Step(_emptied(step.desk, LINE, REASON), step.actions)


def _emptied(desk: Desk, *names: str) -> Desk:
    empty = _rough_fields(desk.state)
    return desk.writing({name: empty[name] for name in names})


ROUGH_PAGE = BookPage(
    ROUGH,
    _rough_blocks,
    _rough_fields,
    unkept=lambda _: [],
    buttons={
        TEMPERATURE: lambda desk: Step(desk.at(HEIGHT)),
        HEIGHT: _write,
        WRITE: _write,
        LINE: lambda desk: Step(desk.at(REASON)),
        REASON: _strike,
        STRIKE: _strike,
    },
    returned=lambda desk, _: Step(desk),
)


ROWS, COLUMNS = 6, 7
"""Headings and five temperatures; temperature, five repeats and the mean."""
ADD_ROW, ADD_COLUMN = f"{TABLE}.add row", f"{TABLE}.add column"
SIZES = {"rows": ROWS, "columns": COLUMNS}
HOW_TABLE = (
    "The first row is for the headings: quantity and unit. Copy your readings across, and work "
    "out the means yourself."
)
ROUGH_TITLE = "From your rough page"
NO_READINGS = "The rough page is still empty."
STRUCK = "(struck out)"


def _table_blocks(desk: Desk) -> tuple[Block, ...]:
    return (
        Words(TABLE, "title"),
        Words(HOW_TABLE, "note"),
        *_rough(desk.state),
        _table(desk),
        ButtonBox(ADD_ROW, "Add a row"),
        ButtonBox(ADD_COLUMN, "Add a column"),
        *feedback_blocks(desk, TABLE),
    )


def _rough(state: State) -> tuple[Block, ...]:
    """The rough page to copy from by eye: a row for each set, as it was read."""
    lines = state.rough
    title = Words(ROUGH_TITLE, "part")
    if not lines:
        return (title, Words(NO_READINGS))
    rows = [
        (sorted((*one.standing, *one.struck_out)), _water(lines, one.low_c, one.high_c))
        for one in sets_of(lines, state.setup.plan)
    ]
    shown = tuple(
        TableRow((water, ",  ".join(_read(lines[at]) for at in places)))
        for places, water in sorted(rows)
    )
    return (title, TableBox(("water", "rebounds in cm, in the order they were read"), shown))


def _water(lines: tuple[RoughReading, ...], low_c: float, high_c: float) -> str:
    """The temperature of a set as it was noted, or from the lowest to the highest noted."""
    low, high = noted_text(lines, low_c), noted_text(lines, high_c)
    return low if low == high else f"{low.removesuffix(DEGREES)} to {high}"


def _read(line: RoughReading) -> str:
    text = _height_text(line)
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


def _table_fields(state: State) -> Mapping[str, TextLine]:
    rows, columns = size_of(state.book)
    return MappingProxyType(
        {
            cell_name(row, column): TextLine.holding(state.book.cells.get((row, column), ""))
            for row in range(rows)
            for column in range(columns)
        }
    )


def _unkept_cells(desk: Desk) -> list[act.Action]:
    """Every cell that differs from the book's, to be written into the book."""
    cells = desk.state.book.cells
    places = {name: place for name in desk.fields if (place := _place(name)) is not None}
    return [
        act.WriteCell(*place, desk.fields[name].text)
        for name, place in places.items()
        if desk.fields[name].text != cells.get(place, "")
    ]


def _gone_below(desk: Desk, name: str) -> Step:
    """The return key goes on to the cell below, where there is one."""
    below = _neighbour(name, Motion.DOWN)
    return Step(desk.at(below) if below is not None and below in desk.fields else desk)


def _added(desk: Desk, what: str) -> Step:
    """One row or column more, as many as a table may have."""
    rows, columns = size_of(desk.state.book)
    wanted = (rows if what == "rows" else columns) + 1
    if wanted > LARGEST_TABLE:
        return Step(desk.saying(f"{LARGEST_TABLE} {what} are as many as fit.", "refusal"))
    step = done(desk, act.WriteAnswer(TABLE, what, str(wanted)))
    fields = {**_table_fields(step.desk.state), **step.desk.fields}
    return Step(step.desk.writing(fields), step.actions)


def _neighbour(name: str, way: Motion) -> str | None:
    """The cell that an arrow goes to from the edge of what is written."""
    place = _place(name)
    ways = {Motion.UP: (-1, 0), Motion.DOWN: (1, 0), Motion.LEFT: (0, -1), Motion.RIGHT: (0, 1)}
    if place is None or way not in ways:
        return None
    return cell_name(place[0] + ways[way][0], place[1] + ways[way][1])


TABLE_PAGE = BookPage(
    TABLE,
    _table_blocks,
    _table_fields,
    _unkept_cells,
    buttons={
        ADD_ROW: lambda desk: _added(desk, "rows"),
        ADD_COLUMN: lambda desk: _added(desk, "columns"),
    },
    returned=_gone_below,
    neighbour=_neighbour,
)
