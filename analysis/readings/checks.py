"""What readings must satisfy to be readings at all, and what is only noted.

The means, ranges and half-ranges that a table gives, held against its readings; never used.

What was noticed and mended on the way in, each said in one sentence.
"""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from analysis.quantity.headings import (
    CHECKED,
    DROP_HEIGHT,
    HALF_RANGE,
    MEAN,
    RANGE,
    REBOUND_HEIGHT,
    REHEATED,
    REPEAT,
    TEMPERATURE,
    TRUE_TEMPERATURE,
)
from analysis.quantity.text import ratio
from analysis.quantity.units import celsius, centimetres, kelvin, restated
from analysis.readings.drops import MOST_REPEATS
from analysis.refusal import Fault, quoted, refuse, refuse_if_any

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    import pandas as pd
    from numpy.typing import NDArray

    from analysis.readings.drops import Drops
    from analysis.readings.table import Column, Table

    Mask = NDArray[np.bool_]
    Values = NDArray[np.float64]

COLDEST_K, HOTTEST_K = kelvin(0.0), kelvin(100.0)
"""Water."""
_ROUNDING_K = 1e-9
_ROUNDING_M = 1e-12


def check_complete(table: Table, drops: Drops) -> None:
    """Raise Refused for a reading without a temperature, repeat number or yes/no of its own."""
    frame = drops.frame
    faults: list[Fault] = []
    for name, quantity, saying in (
        ("temperature_k", TEMPERATURE, "there is a reading in this row but no temperature"),
        ("repeat", REPEAT, "there is a reading in this row but no repeat number"),
        ("reheated", REHEATED, "there is a reading in this row but neither yes nor no"),
        ("drop_height_m", DROP_HEIGHT, "the drop height is blank and the other rows' differ"),
    ):
        if name in frame:
            faults += _faults(
                table, drops, quantity, np.isnan(frame[name]), f"{saying}: fill it in"
            )
    refuse_if_any(table.source, faults)


def check_plausible(table: Table, drops: Drops, drop_height_m: float) -> None:
    """Raise Refused for what cannot be: temperatures of no water, heights above the drop, ...

    `drop_height_m` is that of a table whose rows have none.
    """
    frame = drops.frame
    height = frame["rebound_height_m"]
    drop = frame["drop_height_m"] if "drop_height_m" in frame else height * 0 + drop_height_m
    known = "drop_height_m" in frame
    faults = _temperature_faults(table, drops)
    faults += _faults(
        table,
        drops,
        REBOUND_HEIGHT,
        height < 0,
        "a rebound height cannot be negative: write the height above the floor",
    )
    if known:
        faults += _faults(table, drops, DROP_HEIGHT, drop <= 0, "a drop height must be above zero")
    faults += _faults(
        table,
        drops,
        REBOUND_HEIGHT,
        (height > drop + _ROUNDING_M) & (drop > 0),
        lambda at: _too_high(height.iloc[at], drop.iloc[at], known),
    )
    repeat = frame["repeat"]
    wrong = (repeat < 1) | (repeat > MOST_REPEATS) | (repeat != np.floor(repeat))
    saying = f"a repeat number is a whole number from 1 to {MOST_REPEATS:,}"
    faults += _faults(table, drops, REPEAT, wrong, saying)
    refuse_if_any(table.source, faults)


def check_once(table: Table, drops: Drops) -> None:
    """Raise Refused where a repeat number stands twice at one temperature of one student."""
    frame = drops.frame
    keys = [name for name in ("student", "reheated", "temperature_k", "repeat") if name in frame]
    again = frame.duplicated(keys).to_numpy()
    if not again.any():
        return
    first = frame.groupby(keys, sort=False).ngroup()
    first_row = drops.rows[~again]

    def saying(at: int) -> str:
        row = table.row_numbers[first_row[first.iloc[at]]]
        whose = f" for {quoted(frame['student'].iloc[at])}" if "student" in frame else ""
        temperature = celsius(frame["temperature_k"].iloc[at])
        return (
            f"repeat {frame['repeat'].iloc[at]:.0f} at {temperature:.6g} °C stands in row {row} "
            f"already{whose}: number the repeats of one temperature 1, 2, 3 and so on"
        )

    refuse(table.source, _faults(table, drops, REPEAT, again, saying))


def _temperature_faults(table: Table, drops: Drops) -> list[Fault]:
    faults: list[Fault] = []
    for name, quantity in (
        ("temperature_k", TEMPERATURE),
        ("true_temperature_k", TRUE_TEMPERATURE),
    ):
        if name not in drops.frame:
            continue
        here_k = drops.frame[name]
        wrong = (here_k < COLDEST_K - _ROUNDING_K) | (here_k > HOTTEST_K + _ROUNDING_K)
        faults += _faults(table, drops, quantity, wrong, partial(_no_water, here_k))
    return faults


def _no_water(temperature_k: pd.Series[float], at: int) -> str:
    return (
        f"{celsius(temperature_k.iloc[at]):.6g} °C is outside 0 to 100 °C: "
        "correct it, or the unit in the heading"
    )


def _too_high(height_m: float, drop_m: float, known: bool) -> str:
    source = "" if known else ", which is taken as no drop height is given"
    mend = "correct it, or the unit" if known else "correct it, or add a column 'drop height / cm'"
    return (
        f"a rebound of {centimetres(height_m):.6g} cm is above the drop height of "
        f"{centimetres(drop_m):.6g} cm{source}: {mend}"
    )


def _faults(
    table: Table,
    drops: Drops,
    quantity: str,
    wrong: pd.Series[bool] | Mask,
    saying: str | Callable[[int], str],
) -> list[Fault]:
    """Faults, one for each cell that is wrong, however many drops it serves.

    The words are made for the first one only, since no other is shown.
    """
    places: dict[tuple[int, int], int] = {}
    for at in np.flatnonzero(np.asarray(wrong)):
        places.setdefault((int(drops.rows[at]), drops.column_of(table, quantity, int(at))), int(at))
    first = min(places, default=None)
    words = saying if isinstance(saying, str) else saying(places[first]) if first else ""
    return [table.fault(row, column, words) for row, column in places]


_MOST_NOTICES = 20
_NOISE_CM = 1e-7  # what is left of a mean that a spreadsheet computed


def _mean(heights: Values) -> Values:
    return ratio(np.nansum(heights, axis=-1), np.sum(~np.isnan(heights), axis=-1))


def _range(heights: Values) -> Values:
    width: Values = np.fmax.reduce(heights, axis=-1) - np.fmin.reduce(heights, axis=-1)
    return width


_WORKED_OUT: dict[str, Callable[[Values], Values]] = {
    MEAN: _mean,
    RANGE: _range,
    HALF_RANGE: lambda heights: _range(heights) / 2,
}
"""What follows from the heights of a row (last axis; NaN is a missing one)."""


def worked_out_notices(
    table: Table, columns: dict[int, Column], quantity: str, temperatures_k: Values
) -> list[str]:
    """Notices, one for each row whose given mean, range or half-range is not that of its readings.

    They differ when more than half a unit of the last decimal place given lies between them.
    After twenty notices only the number of the others is said.
    `temperatures_k` are those of the rows of the body.
    """
    place = table.where[quantity, None]
    given_cm = centimetres(columns[place].values)
    heights = [
        index
        for (what, number), index in table.where.items()
        if what == REBOUND_HEIGHT and number is not None
    ]
    stacked = centimetres(np.column_stack([columns[index].values for index in heights]))
    true_cm = _WORKED_OUT[quantity](stacked)
    last_cm = restated(10.0 ** -columns[place].decimals, table.headings[place].unit or "cm", "cm")
    allowed_cm = last_cm / 2 + _NOISE_CM
    off = np.abs(given_cm - true_cm) > allowed_cm
    places = np.flatnonzero(off & ~np.isnan(stacked).all(axis=1))
    said = [
        f"Row {table.row_numbers[row]} ({celsius(temperatures_k[row]):.6g} °C): the {quantity} "
        f"given, {given_cm[row]:.6g} cm, is not the {quantity} of the readings, "
        f"{true_cm[row]:.6g} cm"
        + _without(table, heights, quantity, stacked[row], (given_cm[row], allowed_cm[row]))
        for row in places[:_MOST_NOTICES]
    ]
    if len(places) > _MOST_NOTICES:
        more = len(places) - _MOST_NOTICES
        said.append(f"{more} more rows give a {quantity} that is not theirs.")
    return said


def _without(
    table: Table, heights: list[int], quantity: str, row_cm: Values, given: tuple[float, float]
) -> str:
    """Which single reading, left out, makes the given figure right, to what is allowed."""
    there = np.flatnonzero(~np.isnan(row_cm))
    if len(there) < 2:
        return "."
    others = np.where(np.eye(len(there), dtype=bool), np.nan, row_cm[there])
    given_cm, allowed_cm = given
    fits = there[np.abs(_WORKED_OUT[quantity](others) - given_cm) <= allowed_cm]
    if not len(fits):
        return "."
    text = quoted(table.headings[heights[fits[0]]].text)
    return f"; it fits if the reading {row_cm[fits[0]]:.6g} cm under {text} is left out."


def notices(table: Table, columns: dict[int, Column], drops: Drops) -> Iterator[str]:
    """Everything worth telling about a table that was read, in a fixed order."""
    yield from table.notices
    yield from _unread(table, drops)
    yield from _blanks(table, columns)
    yield from _units_in_cells(columns)
    yield from _uneven_places(table, columns)
    heights = [number for what, number in table.where if what == REBOUND_HEIGHT]
    for quantity in CHECKED:
        given = table.where.get((quantity, None))
        if given is not None and given in columns and None not in heights:
            temperatures_k = columns[table.where[TEMPERATURE, None]].values
            yield from worked_out_notices(table, columns, quantity, temperatures_k)
        elif given is not None and given not in drops.unread:
            yield f"The column {quoted(table.headings[given].text)} was not checked."


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
