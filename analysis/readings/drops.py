"""From a table to drops: the wide layout (one column a repeat) and the tidy one (one row a drop).

Wide: a row that has the temperature, student and procedure of an earlier row carries on with its
repeats, in the order of the rows; so does one row a repeat with no repeat numbers at all.
Any other quantity may stand once for the row or, numbered like the heights, once for each drop.

The order of drops in a frame of readings, and which of them share a row of a table.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
import pandas as pd

from analysis.quantity.headings import (
    CHECKED,
    DROP_HEIGHT,
    ELAPSED_TIME,
    READ,
    REBOUND_HEIGHT,
    REHEATED,
    REPEAT,
    RESOLUTION,
    STUDENT,
    TEMPERATURE,
    TRUE_TEMPERATURE,
)
from analysis.refusal import Fault, Refused, quoted, refuse

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

    from analysis.readings.table import Column, Table

MOST_REPEATS = 100_000

# The columns of the frame in their order, and the quantity that each comes from.
FRAME = {
    "student": STUDENT,
    "reheated": REHEATED,
    "temperature_k": TEMPERATURE,
    "repeat": REPEAT,
    "rebound_height_m": REBOUND_HEIGHT,
    "drop_height_m": DROP_HEIGHT,
    "elapsed_time_s": ELAPSED_TIME,
    "true_temperature_k": TRUE_TEMPERATURE,
}
_ONCE_A_ROW = (TEMPERATURE, STUDENT, REPEAT)


@dataclass(frozen=True)
class Drops:
    """Drops of a table, row by row: a frame whose missing values are NaN.

    `rows` and `columns` say, for each drop, the row of the body and the column of the table that
    its height stands in; `unread` are the columns of which nothing was used.
    """

    frame: pd.DataFrame
    rows: NDArray[np.int64]
    columns: NDArray[np.int64]
    unread: tuple[int, ...]

    def column_of(self, table: Table, quantity: str, drop: int) -> int:
        """Column that a quantity of this drop stands in."""
        number = table.headings[self.columns[drop]].number
        where = table.where
        return where.get((quantity, number), where.get((quantity, None), int(self.columns[drop])))


def drops(table: Table, columns: dict[int, Column]) -> Drops:
    """Find the drops of a table whose columns are read. Raises Refused if it has no layout."""
    heights = [index for (what, _), index in table.where.items() if what == REBOUND_HEIGHT]
    _check_layout(table, heights)
    stacked = np.column_stack([columns[index].values for index in heights])
    rows, places = np.nonzero(~np.isnan(stacked))
    if not len(rows):
        raise Refused(
            f"{table.source} has no reading below "
            f"{quoted(table.headings[heights[0]].text)} in row {table.heading_row}: "
            "write the rebound heights there."
        )
    chosen = np.array(heights)[places]
    data: dict[str, NDArray[Any]] = {}
    for name, quantity in FRAME.items():
        found = _of_drops(table, columns, quantity, (rows, chosen))
        if found is not None:
            data[name] = found
    data["rebound_height_m"] = stacked[rows, places]
    if "repeat" not in data:
        data["repeat"] = _numbered(table, data, rows, chosen)
    frame = pd.DataFrame({name: data[name] for name in FRAME if name in data})
    return Drops(frame, rows, chosen, tuple(_unread(table, heights)))


def _check_layout(table: Table, heights: list[int]) -> None:
    mend = "'rebound height 1 / cm', 'rebound height 2 / cm' and so on"
    where = f"{table.source} has in row {table.heading_row}"
    if not heights:
        raise Refused(f"{where} no heading for rebound heights: write {mend}.")
    numbers = {index: table.headings[index].number for index in heights}
    plain = [index for index, number in numbers.items() if number is None]
    if plain and len(heights) > 1:
        text = quoted(table.headings[plain[0]].text)
        raise Refused(f"{where} numbered repeats and {text} without a number: number it, too.")
    if not plain and (REPEAT, None) in table.where:
        text = quoted(table.headings[table.where[REPEAT, None]].text)
        raise Refused(f"{where} numbered repeats and a column {text}: delete that column.")
    for index, number in numbers.items():
        if number is not None and not 1 <= number <= MOST_REPEATS:
            saying = f"{number} is no number of a repeat: number the repeats 1, 2, 3 and so on"
            refuse(
                table.source,
                [Fault(table.heading_row, index, table.headings[index].text, saying)],
            )


def _of_drops(
    table: Table,
    columns: dict[int, Column],
    quantity: str,
    at: tuple[NDArray[np.int64], NDArray[np.int64]],
) -> NDArray[Any] | None:
    """One quantity for each drop: from its row, then from the column numbered like its height."""
    rows, chosen = at
    once = table.where.get((quantity, None))
    found = None if once is None else columns[once].values[rows]
    if quantity in _ONCE_A_ROW:
        return found
    for height in np.unique(chosen):
        number = table.headings[height].number
        own = table.where.get((quantity, number))
        if number is None or own is None:
            continue
        found = np.full(len(rows), np.nan) if found is None else found
        mine = chosen == height
        found[mine] = columns[own].values[rows[mine]]
    return found


def _numbered(
    table: Table,
    data: dict[str, NDArray[Any]],
    rows: NDArray[np.int64],
    chosen: NDArray[np.int64],
) -> NDArray[np.float64]:
    """Repeat numbers from the headings, carried on where a row belongs to an earlier one."""
    numbers = np.array([heading.number or 1 for heading in table.headings])
    most = int(numbers[np.unique(chosen)].max())
    once = ["temperature_k", *(["student"] if "student" in data else [])]
    once += ["reheated"] if (REHEATED, None) in table.where else []
    of_rows = pd.DataFrame({"row": rows, **{name: data[name] for name in once}})
    of_rows = of_rows.drop_duplicates("row")
    earlier = of_rows.groupby(once, sort=False, dropna=False).cumcount()
    before = np.zeros(len(table.body), dtype=np.int64)
    before[of_rows["row"].to_numpy()] = earlier.to_numpy()
    return (numbers[chosen] + most * before[rows]).astype(np.float64)


def _unread(table: Table, heights: list[int]) -> list[int]:
    """Columns with a heading of which nothing is used."""
    numbers = {table.headings[index].number for index in heights}
    unread = []
    for index, heading in enumerate(table.headings):
        per_drop = heading.quantity not in (*_ONCE_A_ROW, *CHECKED, RESOLUTION)
        known = heading.number is None or (per_drop and heading.number in numbers)
        passed_over = heading.quantity and heading.quantity not in (*READ, *CHECKED, RESOLUTION)
        checked = heading.quantity in CHECKED and known and heading.fits
        used = heading.quantity in READ and known
        if heading.text and not (used or checked or passed_over):
            unread.append(index)
    return unread


def row_keys(frame: pd.DataFrame) -> list[str]:
    """Columns that tell the rows of a results table apart: student and temperature.

    So does reheated, if both procedures use the same repeat numbers.
    """
    keys = [name for name in ("student", "temperature_k") if name in frame]
    if "reheated" in frame and frame.duplicated([*keys, "repeat"]).any():
        keys.insert(0, "reheated")
    return keys


def in_order(frame: pd.DataFrame) -> pd.DataFrame:
    """Sort the drops by rows of a results table, as these first appear, repeats rising in each.

    The order in time, if known, is in elapsed_time_s.
    """
    rows = frame.groupby(row_keys(frame), sort=False).ngroup().to_numpy()
    order = np.lexsort((frame["repeat"].to_numpy(), rows))
    return frame.iloc[order].reset_index(drop=True)
