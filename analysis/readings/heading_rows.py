"""The headings of a table that may take up to three rows, made one heading for each column.

The quantity stands above, spread over its repeats by a merged cell or by blanks; numbers of repeats
or units stand below. Of every column the words above one another are read together: the lowest that
name a quantity have the say, and a number or a unit alone completes what stands above it.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from analysis.quantity.headings import (
    KIND,
    REBOUND_HEIGHT,
    REPEAT,
    TEMPERATURE,
    Heading,
    read_heading,
)
from analysis.quantity.units import KIND_OF, normalised, unit_named
from analysis.quantity.written import Cell, is_blank, number

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

HEADING_ROWS = 200
"""How far down headings are looked for; and the quantities of a table on its side, at most."""
LONGEST_HEADING = 200
WIDEST = 2_000
"""Cells of a row that may be one of several rows of headings."""

# Words over several columns that are numbered below, as good as "rebound height".
_GOES = ("repeats", "trials", "readings", "runs", "drops", "attempts", "tests", "measurements")


def headings_in(row: Sequence[Cell]) -> Iterator[tuple[int, Heading]]:
    """The cells of a row that may be headings, with their columns."""
    for column, cell in enumerate(row):
        if isinstance(cell, str) and cell.strip() and len(cell) < LONGEST_HEADING:
            yield column, read_heading(cell)


def is_temperature(heading: Heading) -> bool:
    """Whether a heading is that of the temperatures of a table, with its unit or without."""
    return heading.quantity == TEMPERATURE and heading.number is None


def filled_cells(row: Sequence[Cell]) -> list[tuple[int, Cell]]:
    """The cells of a row that hold something, with their columns."""
    return [(column, cell) for column, cell in enumerate(row) if not is_blank(cell)]


def cell_at(rows: Sequence[Sequence[Cell]], row: int, column: int) -> Cell:
    """The cell at a place; blank beyond the rows, or where a row is short."""
    cells = rows[row] if 0 <= row < len(rows) else ()
    return cells[column] if column < len(cells) else ""


@lru_cache(maxsize=4096)
def unit_alone(cell: Cell) -> str | None:
    """The unit that a cell holds and nothing else: "cm", "(cm)", "/ cm", "in cm"."""
    if not isinstance(cell, str) or len(cell) > LONGEST_HEADING:
        return None
    text = normalised(cell).strip("()[]/ ")
    return unit_named(text.removeprefix("in ") if text != "in" else text)


def whole_number(cell: Cell) -> int | None:
    """The number of a repeat that stands alone in a cell, as text or as a number."""
    text = cell.strip() if isinstance(cell, str) else f"{cell:.10g}"
    return int(text) if text.isascii() and text.isdigit() and len(text) < 7 else None


def run_from_one(numbers: Sequence[int]) -> bool:
    """Whether these count 1, 2, 3 and so on, once or again and again: no reading does."""
    count = max(numbers, default=0)
    if not 0 < count <= len(numbers):
        return False
    return list(numbers) == [*range(1, count + 1)] * (len(numbers) // count)


def is_number(cell: Cell) -> bool:
    """Whether a cell holds a number alone."""
    return not is_blank(cell) and not number(cell, None).fault


def words_in(cell: Cell) -> str:
    """The words of a cell that may be a heading."""
    return cell if isinstance(cell, str) and len(cell) < LONGEST_HEADING else ""


def names_heights(cell: Cell) -> bool:
    """Whether words head rebound heights, of one repeat or of all."""
    words = isinstance(cell, str) and not is_number(cell) and len(cell) < LONGEST_HEADING
    return words and read_heading(str(cell)).quantity == REBOUND_HEIGHT


def heading_rows(rows: list[list[Cell]], row: int, at: int) -> tuple[int, int, list[Heading]]:
    """First and last row of the headings, and these, of a table with its temperatures' at `at`."""
    if any(len(cells) > WIDEST for cells in rows[max(row - 2, 0) : row + 3]):
        return row, row, _combined(rows, row, row)
    bottom = row
    while bottom < row + 2 and _heads_below(rows, bottom, at):
        bottom += 1
    top = _first_heading_row(rows, row, bottom)
    return top, bottom, _combined(rows, top, bottom)


def _heads_below(rows: list[list[Cell]], above: int, at: int) -> bool:
    """Whether the row below one of headings holds more of them: units, or numbers of repeats."""
    row = rows[above + 1] if above + 1 < len(rows) else []
    filled = filled_cells(row)
    under_temperature = cell_at([row], 0, at)
    if not filled or not (is_blank(under_temperature) or unit_alone(under_temperature)):
        return False
    numbers = [column for column, cell in filled if is_number(cell)]
    if numbers:
        return _counts_repeats(rows[above], row, numbers)
    units = [column for column, cell in filled if unit_alone(cell)]
    if at in units or len(units) > 1 or any(map(names_heights, row)):
        return True
    return len(filled) > 1 and not units and _heads_numbers(rows, above + 1)


def _heads_numbers(rows: list[list[Cell]], above: int) -> bool:
    """Whether a row of words has numbers of repeats below it."""
    row = rows[above + 1] if above + 1 < len(rows) else []
    numbers = [column for column, cell in filled_cells(row) if is_number(cell)]
    return bool(numbers) and _counts_repeats(rows[above], row, numbers)


def _counts_repeats(above: list[Cell], row: list[Cell], columns: list[int]) -> bool:
    """Whether the numbers of a row are those of repeats: 1, 2, 3 below what has no number yet.

    Only the first may stand below a heading of its own, or each below the same.
    """
    counts = [whole_number(row[column]) or 0 for column in columns]
    own = [words_in(cell_at([above], 0, column)) for column in columns]
    if len(columns) < 2 or not run_from_one(counts) or any(map(whole_number, own)):
        return False
    return all(
        not text or count == 1 or text == before
        for text, count, before in zip(own[1:], counts[1:], own, strict=False)
    )


def _first_heading_row(rows: list[list[Cell]], row: int, bottom: int) -> int:
    """The row, up to two above, whose words make rebound heights of headings that have none yet."""
    if _has_heights(_combined(rows, row, bottom)):
        return row
    for above in range(row - 1, max(row - 3, -1), -1):
        named = any(map(names_heights, rows[above]))
        if named and _has_heights(_combined(rows, above, bottom)):
            return above
    return row


def _has_heights(headings: list[Heading]) -> bool:
    return any(one.quantity == REBOUND_HEIGHT and one.fits for one in headings)


def _combined(rows: list[list[Cell]], top: int, bottom: int) -> list[Heading]:
    """One heading for each column, of the words above one another."""
    own = [_heading_texts(row) for row in rows[top : bottom + 1]]
    columns = range(max((max(texts) + 1 for texts in own if texts), default=0))
    if top == bottom:
        return [read_heading(own[0].get(column, "")) for column in columns]
    above: list[dict[int, str]] = []
    headed: set[int] = set()
    for texts in own[:-1]:
        above.append(_spread(texts, headed, len(columns)))
        headed |= set(texts)
    return [
        _of_parts([texts[column] for texts in (*above, own[-1]) if texts.get(column)])
        if any(column in texts for texts in own)
        else Heading("", "")
        for column in columns
    ]


def _heading_texts(row: Sequence[Cell]) -> dict[int, str]:
    """What may be headings in a row, by column. Numbers are, where they count the repeats."""
    texts = {column: one.text for column, one in headings_in(row)}
    numbers = {column: count for column, cell in filled_cells(row) if (count := whole_number(cell))}
    if run_from_one(list(numbers.values())):
        return texts | {column: str(count) for column, count in numbers.items()}
    return {column: text for column, text in texts.items() if column not in numbers}


def _spread(own: dict[int, str], headed: set[int], width: int) -> dict[int, str]:
    """The text over each column: its own, or that of the nearest to its left.

    It ends where a row above has a heading of its own (`headed`). The temperatures are one column,
    and so is each numbered repeat: their headings are spread over no other.
    """
    texts: dict[int, str] = {}
    text = ""
    for column in range(width):
        text = own.get(column, "" if column in headed else text)
        if text:
            texts[column] = text
        heading = read_heading(text)
        text = "" if is_temperature(heading) or heading.number is not None else text
    return texts


def _of_parts(parts: list[str]) -> Heading:
    """One heading of words above one another: the lowest that name a quantity have the say.

    A number or a unit alone completes what stands above it.
    """
    quantity, unit, unit_text, count = "", None, "", None
    for text in reversed(parts):
        found = read_heading(text)
        alone, whole = unit_alone(text), whole_number(text)
        if alone or whole is not None:
            unit, unit_text = (unit, unit_text) if unit or not alone else (alone, text)
            count = whole if count is None else count
            continue
        if not quantity:
            goes = found.quantity == REPEAT or normalised(text).split(maxsplit=1)[0] in _GOES
            quantity = REBOUND_HEIGHT if goes and count is not None else found.quantity
            if not quantity and text == parts[-1]:
                break  # words of its own that are none of ours
        count = found.number if count is None else count
        fits = found.unit and KIND_OF[found.unit] == KIND.get(quantity)
        unit, unit_text = (found.unit, found.unit_text) if fits and not unit else (unit, unit_text)
    if not quantity and count is not None and parts:
        quantity = REBOUND_HEIGHT
    return Heading(" ".join(" ".join(parts).split()), quantity, count, unit, unit_text)


def numbered(
    rows: list[list[Cell]], bottom: int, headings: list[Heading], *, padded: bool
) -> tuple[list[Heading], tuple[int, ...]]:
    """Numbers for the repeats below one heading that is spread over them, in their order.

    `padded`: a csv, whose rows are as long as the table is wide, so that a longer row below holds
    something else.
    """
    heights = [column for column, one in enumerate(headings) if one.quantity == REBOUND_HEIGHT]
    tidy = any(one.quantity == REPEAT for one in headings)
    if (
        tidy
        or not heights
        or any(headings[one].number or not headings[one].fits for one in heights)
    ):
        return headings, ()
    columns = heights
    if len(heights) == 1:
        columns = heights + _below_the_same(rows, bottom, headings, heights[0], padded=padded)
    if len(columns) == 1 or (len(heights) > 1 and not _is_spread(rows, bottom, columns)):
        return headings, ()
    first = headings[columns[0]]
    made = headings + [Heading("", "")] * (max(columns) + 1 - len(headings))
    for place, column in enumerate(columns, start=1):
        made[column] = replace(first, text=f"{first.text} {place}", number=place)
    return made, tuple(columns)


def _is_spread(rows: list[list[Cell]], bottom: int, columns: list[int]) -> bool:
    """Whether one heading is spread over these columns that stand beside one another."""
    beside = columns == list(range(columns[0], columns[-1] + 1))
    return beside and any(
        cell_at(rows, row, columns[0]) and not any(cell_at(rows, row, one) for one in columns[1:])
        for row in range(max(bottom - 2, 0), bottom)
    )


def _below_the_same(
    rows: list[list[Cell]], bottom: int, headings: list[Heading], column: int, *, padded: bool
) -> list[int]:
    """The columns right of a heading that have none of their own and hold numbers."""
    body = rows[bottom + 1 : bottom + 1 + HEADING_ROWS]
    width = len(rows[bottom]) if padded else max(map(len, body), default=0)
    found: list[int] = []
    for right in range(column + 1, width):
        headed = right < len(headings) and headings[right].text
        if headed or not any(is_number(cell_at(body, row, right)) for row in range(len(body))):
            break
        found.append(right)
    return found
