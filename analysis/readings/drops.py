"""From a table to drops: the wide layout (one column a repeat) and the tidy one (one row a drop).

Wide: a row that has the temperature, student and procedure of an earlier row carries on with its
repeats, in the order of the rows; so does one row a repeat with no repeat numbers at all.
Any other quantity may stand once for the row or, numbered like the heights, once for each drop.

Here also stands the order of drops in a frame of readings, and which of them share a row.
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
from analysis.refusal import Refused, refused

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from analysis.readings.readings_table import ReadingsTable

MOST_REPEATS = 100_000
DEFAULT_DROP_HEIGHT_M = 1.0

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
    its height stands in. `notices` say which drop height was taken where some are blank.
    """

    table: ReadingsTable
    frame: pd.DataFrame
    rows: NDArray[np.int64]
    columns: NDArray[np.int64]
    notices: tuple[str, ...] = ()

    def column_of(self, quantity: str, drop: int) -> int:
        """Column that a quantity of this drop stands in."""
        height, where = int(self.columns[drop]), self.table.where
        number = self.table.headings[height].number
        return where.get((quantity, number), where.get((quantity, None), height))


def find_drops(table: ReadingsTable) -> Drops:
    """Find the drops of a table. Raises Refused if it has no layout or no reading."""
    _check_layout(table)
    rows, places = np.nonzero(~np.isnan(table.heights_m))
    if not len(rows):
        raise Refused(
            f"{table.source} has no reading below {table.heading_text(table.heights[0])} in "
            f"{table.heading_line}",
            mend="write the rebound heights there",
        )
    chosen = np.array(table.heights)[places]
    found = {name: _of_drops(table, quantity, rows, chosen) for name, quantity in FRAME.items()}
    found["rebound_height_m"] = table.heights_m[rows, places]
    frame = pd.DataFrame({name: values for name, values in found.items() if values is not None})
    if "repeat" not in frame:
        place = sum(name in frame for name in ("student", "reheated", "temperature_k"))
        frame.insert(place, "repeat", _numbered(table, frame, rows, chosen))
    frame, notices = _with_drop_heights(frame, table.settings_m.get(DROP_HEIGHT))
    return Drops(table, frame, rows, chosen, notices)


def _check_layout(table: ReadingsTable) -> None:
    mend = "'rebound height 1 / cm', 'rebound height 2 / cm' and so on"
    where = f"{table.source} has in {table.heading_line}"
    if not table.heights:
        raise Refused(f"{where} no heading for rebound heights", mend=f"write {mend}")
    numbers = {index: table.headings[index].number for index in table.heights}
    bare = [index for index, number in numbers.items() if number is None]
    if bare and len(numbers) > 1:
        said = f"{where} numbered repeats and {table.heading_text(bare[0])} without a number"
        raise Refused(said, mend="number it, too")
    if not bare and (REPEAT, None) in table.where:
        text = table.heading_text(table.where[REPEAT, None])
        raise Refused(f"{where} numbered repeats and a column {text}", mend="delete that column")
    for index, number in numbers.items():
        if number is not None and not 1 <= number <= MOST_REPEATS:
            saying = f"{number} is no number of a repeat: number the repeats 1, 2, 3 and so on"
            raise refused(table.source, table.heading_fault(index, saying))


def _of_drops(
    table: ReadingsTable, quantity: str, rows: NDArray[np.int64], chosen: NDArray[np.int64]
) -> NDArray[Any] | None:
    """One quantity for each drop: from its row, then from the column numbered like its height."""
    once = table.where.get((quantity, None))
    found = None if once is None else table.columns[once].values[rows]
    if quantity in _ONCE_A_ROW:
        return found
    for height in np.unique(chosen):
        number = table.headings[height].number
        own = table.where.get((quantity, number))
        if number is None or own is None:
            continue
        found = np.full(len(rows), np.nan) if found is None else found
        mine = chosen == height
        found[mine] = table.columns[own].values[rows[mine]]
    return found


def _numbered(
    table: ReadingsTable, frame: pd.DataFrame, rows: NDArray[np.int64], chosen: NDArray[np.int64]
) -> NDArray[np.float64]:
    """Repeat numbers from the headings, carried on where a row belongs to an earlier one."""
    numbers = np.array([heading.number or 1 for heading in table.headings])
    most = int(numbers[np.unique(chosen)].max())
    once = ["temperature_k", *(["student"] if "student" in frame else [])]
    once += ["reheated"] if (REHEATED, None) in table.where else []
    of_rows = frame[once].assign(row=rows).drop_duplicates("row")
    earlier = of_rows.groupby(once, sort=False, dropna=False).cumcount()
    before = np.zeros(len(table.body), dtype=np.int64)
    before[of_rows["row"].to_numpy()] = earlier.to_numpy()
    return (numbers[chosen] + most * before[rows]).astype(np.float64)


def _with_drop_heights(
    frame: pd.DataFrame, setting_m: float | None
) -> tuple[pd.DataFrame, tuple[str, ...]]:
    """Blank drop heights filled where only one value can be meant, and what was done."""
    given = frame["drop_height_m"].dropna().unique() if "drop_height_m" in frame else np.array([])
    if len(given) == 0 and setting_m is not None:
        return frame.assign(drop_height_m=setting_m), ()
    if len(given) == 0:
        said = f"No drop height is given; {DEFAULT_DROP_HEIGHT_M:.3f} m is taken."
        return frame.drop(columns="drop_height_m", errors="ignore"), (said,)
    blank = int(frame["drop_height_m"].isna().sum())
    if blank and len(given) == 1:
        said = f"Blank drop heights ({blank}) are taken to be that of the other rows."
        return frame.fillna({"drop_height_m": given[0]}), (said,)
    return frame, ()


def unread_columns(table: ReadingsTable) -> list[int]:
    """Columns with a heading of which nothing is used, and which are not known and passed over."""
    numbers = {table.headings[index].number for index in table.heights}
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
