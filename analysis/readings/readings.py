"""Readings files: the one way in for rebound heights, virtual or real, and the results table out.

Two layouts, told apart by their headings: wide (`temperature / °C`, `rebound height 1 / cm`, ...)
and tidy (`temperature / °C`, `repeat`, `rebound height / cm`, ...). Both carry everything that a
frame of readings holds. On the way in a file goes through sheets (its cells), the table (headings,
and columns in SI), the drops (a frame) and the checks. On the way out it is a school's results
table, one column a repeat, in the format of its file.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pandas as pd

from analysis.quantity.headings import REBOUND_HEIGHT, RESOLUTION
from analysis.quantity.units import centimetres, places_in_cm
from analysis.readings.checks import check_readings, notices
from analysis.readings.columns import OutColumn, quantity_column
from analysis.readings.drops import DEFAULT_DROP_HEIGHT_M, FRAME, find_drops, in_order, row_keys
from analysis.readings.readings_table import MOST_COLUMNS, ReadingsTable, read_table
from analysis.readings.sets import RepeatTable
from analysis.readings.sheets import sheets
from analysis.readings.spreadsheets import readings_bytes
from analysis.refusal import Refused, harmless

if TYPE_CHECKING:
    from numpy.typing import NDArray

MOST_GRID_CELLS = 20_000_000
# A drop height set by hand differs a little from drop to drop; more than this is another one.
FINEST_M = 1e-8
"""No rule or camera is read to less: a resolution below it is a slip."""
_SAME_DROP_HEIGHT = 0.02


@dataclass(frozen=True)
class Readings:
    """Drops of one file, in SI.

    `frame` has one row a drop: temperature_k, repeat (whole, from 1), rebound_height_m, and where
    the file gives them student (text), reheated (bool), drop_height_m, elapsed_time_s and
    true_temperature_k. A missing repeat is an absent row. Rows of one temperature (and student)
    stand together in order of first appearance, repeats rising. `decimal_places` are those of
    the rebound heights as written, in centimetres; `height_unit` is the unit as found.
    """

    frame: pd.DataFrame
    source: str
    decimal_places: int
    height_unit: str = "cm"
    notices: tuple[str, ...] = ()


@dataclass(frozen=True)
class Grid(RepeatTable):
    """The readings of a file as a table.

    With one student and one procedure the column is the repeat number less one. Several are
    pooled: at each temperature the second's repeats stand behind the first's, and so on, so the
    columns are then no order in time (`students` > 1) and a drift over them means nothing.
    """

    drop_height_m: float
    students: int = 1  # sets of repeats pooled at one temperature, at most


def read_readings(path: str | Path) -> Readings:
    """Read a readings file: csv, xlsx or ods, wide or tidy.

    In a workbook the first sheet with a temperature heading is read. Without a drop height the
    default of 1.000 m holds, and a notice says so. Raises Refused, in one sentence with file,
    row and column, for anything that cannot be read or cannot be a reading.
    """
    path = Path(path)
    table = read_table(harmless(path.name), sheets(path))
    drops = find_drops(table)
    check_readings(drops)
    return Readings(
        frame=_typed(in_order(drops.frame)),
        source=harmless(path.name),
        decimal_places=_decimal_places(table),
        height_unit=next(table.headings[index].unit or "cm" for index in table.heights),
        notices=tuple(notices(drops)),
    )


def grid(readings: Readings) -> Grid:
    """Lay the readings out as a grid.

    Raises Refused if the drop heights differ by more than 2 % of their mean, or if the table would
    have more than 20 million places.
    """
    frame = readings.frame
    keys = row_keys(frame)
    most = frame.groupby(keys, sort=False)["repeat"].max().rename("before")
    before = most.groupby(level="temperature_k", sort=False).cumsum() - most
    column = frame.join(before, on=keys)["before"].to_numpy() + frame["repeat"].to_numpy() - 1
    temperatures_k, row = np.unique(frame["temperature_k"].to_numpy(), return_inverse=True)
    shape = (len(temperatures_k), int(column.max()) + 1)
    if shape[0] * shape[1] > MOST_GRID_CELLS:
        raise Refused(
            f"{readings.source} has {shape[0]:,} temperatures and up to {shape[1]:,} repeats, "
            "too many for one table",
            mend="round the temperatures or split the file",
        )
    heights_m = np.full(shape, np.nan)
    heights_m[row, column] = frame["rebound_height_m"].to_numpy()
    pooled = int(most.groupby(level="temperature_k").size().max())
    return Grid(temperatures_k, heights_m, _one_drop_height(readings.source, frame), pooled)


def _typed(frame: pd.DataFrame) -> pd.DataFrame:
    kinds = {"repeat": "int64", "reheated": "bool", "student": "str"}
    return frame.astype({name: kind for name, kind in kinds.items() if name in frame})


def _decimal_places(table: ReadingsTable) -> int:
    """As stated under "resolution", or else the most that any reading is written to."""
    if RESOLUTION in table.settings_m:
        resolution_m = table.settings_m[RESOLUTION]
        if not FINEST_M <= resolution_m <= 1.0:
            said = f"In {table.source} a resolution of {centimetres(resolution_m):g} cm is stated"
            raise Refused(said, mend="write the smallest step that the rule was read to, or none")
        return max(0, int(np.ceil(-np.log10(centimetres(resolution_m)) - 1e-9)))
    places = [0]
    for index in table.heights:
        column, unit = table.columns[index], table.headings[index].unit or "cm"
        written = column.decimals[~np.isnan(column.values)]
        places += [places_in_cm(int(written.max()), unit)] if len(written) else []
    return max(places)


def _one_drop_height(source: str, frame: pd.DataFrame) -> float:
    if "drop_height_m" not in frame:
        return DEFAULT_DROP_HEIGHT_M
    heights_m = frame["drop_height_m"]
    low, high, mean = heights_m.min(), heights_m.max(), heights_m.mean()
    if high - low > _SAME_DROP_HEIGHT * mean:
        raise Refused(
            f"{source} has drop heights from {centimetres(low):.6g} cm to "
            f"{centimetres(high):.6g} cm",
            mend="keep one file for each drop height",
        )
    return float(low if low == high else mean)


def results_table(readings: Readings, path: Path) -> bytes:
    """The whole content of a file of readings in the wide layout; `read_readings` gives them back.

    Raises Refused for an ending that is no format, where a repeat number stands twice at one
    temperature, and for more columns than a table may have.
    """
    frame = in_order(readings.frame.dropna(subset=["rebound_height_m"]))
    look = (readings.decimal_places, readings.height_unit)
    columns = _wide(path.name, frame, look)
    return readings_bytes(path, columns, 10.0**-readings.decimal_places)


def _wide(file_name: str, frame: pd.DataFrame, look: tuple[int, str]) -> list[OutColumn]:
    """`look` are decimal places (in centimetres) and unit of the heights."""
    keys = row_keys(frame)
    if frame.duplicated([*keys, "repeat"]).any():
        raise Refused(
            f"{file_name} would lose readings, as a repeat number stands twice at one temperature",
            mend="number the repeats anew",
        )
    rows = frame.groupby(keys, sort=False).ngroup().to_numpy()
    repeats, places = np.unique(frame["repeat"].to_numpy(), return_inverse=True)
    columns: list[OutColumn] = []
    for name, quantity in FRAME.items():
        if name not in frame or name == "repeat":
            continue
        values = frame[name].to_numpy()
        if quantity != REBOUND_HEIGHT and _once_a_row(values, rows):
            _, first = np.unique(rows, return_index=True)
            columns.append(quantity_column(quantity, values[first], *look))
            continue
        for place, repeat in enumerate(repeats):
            here = places == place
            shape = int(rows.max(initial=-1)) + 1
            of_repeat = np.full(shape, None if values.dtype.kind in "Ob" else np.nan)
            of_repeat[rows[here]] = values[here]
            columns.append(quantity_column(quantity, of_repeat, *look, int(repeat)))
    if len(columns) > MOST_COLUMNS:
        raise Refused(
            f"{file_name} would have more than {MOST_COLUMNS:,} columns",
            mend="write one drop a row",
        )
    return columns


def _once_a_row(values: NDArray[np.generic], rows: NDArray[np.integer]) -> bool:
    """Whether a quantity is the same for all drops of each row of the table."""
    codes = pd.Series(pd.factorize(values)[0]).groupby(rows)
    return bool((codes.min() == codes.max()).all())
