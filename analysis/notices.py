"""What was noticed and mended on the way in, each said in one sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from analysis.faults import quoted
from analysis.headings import MEAN, REBOUND_HEIGHT
from analysis.means import mean_notices

if TYPE_CHECKING:
    from collections.abc import Iterator

    from analysis.columns import Column
    from analysis.layouts import Drops
    from analysis.tables import Table


def notices(table: Table, columns: dict[int, Column], drops: Drops) -> Iterator[str]:
    """Everything worth telling about a table that was read, in a fixed order."""
    yield from table.notices
    yield from _unread(table, drops)
    yield from _blanks(table, columns)
    yield from _units_in_cells(columns)
    yield from _uneven_places(table, columns)
    mean = table.where.get((MEAN, None))
    heights = [number for what, number in table.where if what == REBOUND_HEIGHT]
    if mean is not None and mean in columns and None not in heights:
        temperatures_k = columns[table.where["temperature", None]].values
        yield from mean_notices(table, columns, temperatures_k)
    elif mean is not None and mean not in drops.unread:
        yield f"The column {quoted(table.headings[mean].text)} was not checked."


def _unread(table: Table, drops: Drops) -> Iterator[str]:
    unread = [quoted(table.headings[index].text) for index in drops.unread]
    if unread:
        more = f" and {len(unread) - 5} more" if len(unread) > 5 else ""
        yield f"Headings that are none of ours, not read: {', '.join(unread[:5])}{more}."


def _blanks(table: Table, columns: dict[int, Column]) -> Iterator[str]:
    heights = [index for (what, _), index in table.where.items() if what == REBOUND_HEIGHT]
    blank = np.isnan(np.column_stack([columns[index].values for index in heights]))
    count = int(blank.sum())
    if count:
        row, place = (int(index) for index in np.argwhere(blank)[0])
        where = (
            f"row {table.row_numbers[row]}, column {quoted(table.headings[heights[place]].text)}"
        )
        what = (
            "1 blank cell counts as a missing repeat:"
            if count == 1
            else (f"{count} blank cells count as missing repeats, the first in")
        )
        yield f"{what} {where}."


def _units_in_cells(columns: dict[int, Column]) -> Iterator[str]:
    count = sum(column.remarks for column in columns.values())
    if count:
        yield (
            f"{count} {'cell repeats' if count == 1 else 'cells repeat'} the unit of the heading; "
            "write it in the heading only."
        )


def _uneven_places(table: Table, columns: dict[int, Column]) -> Iterator[str]:
    """Only text shows how it was written: in a workbook 23.0 and 23 are one number."""
    if not table.typed:
        return
    for (what, _), index in table.where.items():
        if what == REBOUND_HEIGHT:
            column = columns[index]
            written = np.unique(column.decimals[~np.isnan(column.values)])
            if len(written) > 1:
                yield (
                    f"The readings under {quoted(table.headings[index].text)} are written to "
                    f"between {written[0]} and {written[-1]} decimal places; "
                    "write all of one quantity to the same number."
                )
                return
