"""How a table lies in its sheet: where it begins, and whether it stands upright or on its side.

On its side a table has its quantities in the first column and the temperatures across; it is turned
upright here. Two tables in one sheet are refused, since which readings belong together is its
writer's to say.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import islice
from typing import TYPE_CHECKING

from analysis.quantity.headings import REBOUND_HEIGHT, Heading, read_heading
from analysis.quantity.written import Cell, is_blank
from analysis.readings.heading_rows import (
    HEADING_ROWS,
    WIDEST,
    cell_at,
    filled_cells,
    heading_rows,
    headings_in,
    is_number,
    is_temperature,
    names_heights,
    numbered,
    run_from_one,
    unit_alone,
    whole_number,
    words_in,
)
from analysis.refusal import Refused, column_letters, quoted

if TYPE_CHECKING:
    from analysis.readings.sheets import Sheet

_MOST_TURNED = 200_000  # cells of a table on its side
_TRIED = 5  # temperature headings of one row

ONE_TABLE = (
    "keep one of them in the file, or make them one table below one row of headings, "
    "with a column 'student' or 'reheated' to tell them apart"
)
"""What to do about two tables."""


@dataclass(frozen=True)
class TableLayout:
    """An upright table: its rows, the first and last row of its headings, and these.

    `turned`: it lay on its side, so that its rows are the columns of the sheet. `unnumbered` are
    columns of heights that only a heading spread over them says are readings.
    """

    sheet_name: str
    rows: list[list[Cell]]
    top: int
    bottom: int
    temperature_column: int
    headings: list[Heading]
    turned: bool = False
    unnumbered: tuple[int, ...] = ()


def find_layout(sheet: Sheet) -> TableLayout | None:
    """The first table in a sheet, from its temperature heading; None where there is none."""
    for row, cells in enumerate(sheet.rows[:HEADING_ROWS]):
        places = (
            column
            for column, heading in headings_in(cells)
            if is_temperature(heading) and _has_unit(sheet.rows, row, column, heading)
        )
        for column in islice(places, _TRIED):
            found = _layout(sheet, row, column)
            if found is not None:
                return found
    return None


def _has_unit(rows: list[list[Cell]], row: int, column: int, heading: Heading) -> bool:
    """Whether a temperature heading has its unit, or one may stand below it or right of it."""
    if heading.unit_text:
        return heading.fits
    near = ((row + 1, column), (row + 2, column), (row, column + 1))
    return any(unit_alone(cell_at(rows, *place)) for place in near)


def _layout(sheet: Sheet, row: int, column: int) -> TableLayout | None:
    """The table whose temperature heading stands here; None where it has no unit of temperature."""
    rows, top, at = sheet.rows, row, column
    lowered = _lowered(rows, row, column)
    if lowered and _on_its_side(lowered, row + 1, column - 1):
        rows, top, at = lowered, row + 1, column - 1
    turned = _on_its_side(rows, top, at)
    if turned:
        named_above = _heights_above(rows, top)
        rows, top, at = _turned(rows, top), at, top
    top, bottom, headings = heading_rows(rows, top, at)
    if turned:
        headings = [_with_unit(heading, named_above) for heading in headings]
    if not headings[at].fits:
        return None
    headings, unnumbered = numbered(rows, bottom, headings, padded=sheet.typed)
    return TableLayout(sheet.name, rows, top, bottom, at, headings, turned, unnumbered)


def _on_its_side(rows: list[list[Cell]], row: int, column: int) -> bool:
    """Whether temperatures follow their heading to the right, and other quantities below it."""
    cells = rows[row] if len(rows[row]) <= WIDEST else []
    right = [cell for place, cell in filled_cells(cells) if place > column]
    numbers = [cell for cell in right if is_number(cell)]
    words = [cell for cell in right if not is_number(cell)]
    if len(numbers) < 2 or any(read_heading(words_in(cell)).quantity for cell in words):
        return False
    below = [cell_at(rows, at, column) for at in range(row + 1, min(row + HEADING_ROWS, len(rows)))]
    labels = [cell for cell in below if not is_blank(cell)]
    if not labels or unit_alone(labels[0]) or not _can_be_turned(rows, row):
        return False
    if not is_number(labels[0]):
        return any(names_heights(cell) for cell in labels)
    counts = [whole_number(cell) or 0 for cell in labels if is_number(cell)]
    across = [whole_number(cell) or 0 for cell in numbers]
    return run_from_one(counts) and not run_from_one(across)


def _lowered(rows: list[list[Cell]], row: int, column: int) -> list[list[Cell]] | None:
    """The rows with a temperature heading that is spread over its numbers put beside them."""
    below = rows[row + 1] if row + 1 < len(rows) else []
    if not column or max(len(below), len(rows[row])) > WIDEST:
        return None
    numbers = [cell for place, cell in filled_cells(below) if place >= column and is_number(cell)]
    label = cell_at([below], 0, column - 1)
    alone = not any(place > column for place, _ in filled_cells(rows[row]))
    if not alone or len(numbers) < 2 or is_number(label):
        return None
    made = [*below[: column - 1], rows[row][column], *below[column:]]
    return [*rows[: row + 1], made, *rows[row + 2 :]]


def _heights_above(rows: list[list[Cell]], row: int) -> Heading | None:
    """What the rows just above say of the heights of a whole table: "Rebound height / cm"."""
    for above in range(row - 1, max(row - 4, -1), -1):
        for cell in rows[above]:
            if names_heights(cell):
                return read_heading(str(cell))
    return None


def _with_unit(heading: Heading, named: Heading | None) -> Heading:
    """A height's heading with the unit that stands above its table, where it has none itself."""
    if named is None or heading.quantity != REBOUND_HEIGHT or heading.unit_text:
        return heading
    return replace(heading, unit=named.unit, unit_text=named.unit_text)


def _can_be_turned(rows: list[list[Cell]], top: int) -> bool:
    """Whether all that is filled below is few enough quantities, and few enough cells."""
    kept, rest = rows[top : top + HEADING_ROWS], rows[top + HEADING_ROWS :]
    return (top + len(kept)) * max(map(len, kept)) <= _MOST_TURNED and not any(map(any, rest))


def _turned(rows: list[list[Cell]], top: int) -> list[list[Cell]]:
    """The rows from `top` on as columns; those above it are blank, so that places stay known."""
    blank: list[Cell] = [""] * top
    return [
        blank + [cell_at(rows, row, column) for row in range(top, len(rows[: top + HEADING_ROWS]))]
        for column in range(max(map(len, rows[top : top + HEADING_ROWS])))
    ]


def check_one_table(source: str, layout: TableLayout) -> None:
    """Raise Refused where the headings are those of two tables side by side."""
    first: dict[tuple[str, int | None], int] = {}
    temperatures: list[tuple[int, int]] = []
    heights: list[tuple[int, int]] = []
    for column, heading in enumerate(layout.headings):
        key = (heading.quantity, heading.number)
        again = temperatures if is_temperature(heading) else heights
        if is_temperature(heading) or heading.quantity == REBOUND_HEIGHT:
            if key in first:
                again.append((first[key], column))
            first.setdefault(key, column)
    for one, other in temperatures:
        behind = [heading.quantity for heading in layout.headings[other:]]
        if REBOUND_HEIGHT in behind or not layout.headings[other - 1].text:
            raise two_tables(source, layout, (layout.top, other), (layout.top, one))
    if len(heights) > 1:
        one, other = heights[0]
        raise two_tables(source, layout, (layout.top, other), (layout.top, one))


def another_table(layout: TableLayout) -> tuple[int, int] | None:
    """Row and column of a temperature heading below those of the table, if there is one."""
    first = layout.bottom + 1
    for row, cells in enumerate(layout.rows[first : first + HEADING_ROWS], start=first):
        for column, heading in headings_in(cells):
            if is_temperature(heading) and heading.unit_text:
                return row, column
    return None


def two_tables(
    source: str, layout: TableLayout, other: tuple[int, int], first: tuple[int, int] | None = None
) -> Refused:
    """The refusal of a sheet with two tables, by the row and column that each begins in."""
    first = first or (layout.top, layout.temperature_column)
    places = [(column, row) if layout.turned else (row, column) for row, column in (first, other)]
    here, there = (f"{column_letters(column)}{row + 1}" for row, column in places)
    sheet = f", sheet {quoted(layout.sheet_name)}," if layout.sheet_name else ""
    return Refused(
        f"{source}{sheet} has one table of readings at {here} and another at {there}",
        mend=ONE_TABLE,
    )
