"""What readings must satisfy to be readings at all, and what is only noted.

A reading that cannot be refuses the file. What was mended on the way in is told, each in one
sentence; so is a mean, range or half-range that is not that of its readings. A table's own
figures are held against the readings and never used.
"""

from __future__ import annotations

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
    STUDENT,
    TEMPERATURE,
)
from analysis.quantity.units import celsius, centimetres, kelvin, ratio, restated
from analysis.readings.drops import DEFAULT_DROP_HEIGHT_M, FRAME, MOST_REPEATS, unread_columns
from analysis.readings.layouts import ONE_TABLE
from analysis.refusal import Fault, Refused, line_name, quoted, refuse_if_any, refused

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    import pandas as pd
    from numpy.typing import NDArray

    from analysis.readings.drops import Drops
    from analysis.readings.readings_table import ReadingsTable

    Mask = NDArray[np.bool_]
    Values = NDArray[np.float64]

COLDEST_K, HOTTEST_K = kelvin(0.0), kelvin(100.0)
"""Water."""
_MOST_NOTICES = 20
_ROUNDING_K = 1e-9
_ROUNDING_M = 1e-12


def check_readings(drops: Drops) -> None:
    """Raise Refused for drops that cannot be, naming the first cell at fault of the first kind.

    First for what a reading lacks, then for what is no temperature of water, no height below the
    drop or no number of a repeat, then for a repeat that stands twice. Before these for columns
    without a heading of their own that hold means or ranges and no readings, and for two tables
    below one row of headings.
    """
    _check_unnumbered(drops.table)
    _check_parts(drops.table)
    for faults in (_missing, _implausible, _twice):
        refuse_if_any(drops.table.source, list(faults(drops)))


def _missing(drops: Drops) -> Iterator[Fault]:
    for quantity, saying in (
        (TEMPERATURE, "there is a reading in this row but no temperature"),
        (REPEAT, "there is a reading in this row but no repeat number"),
        (REHEATED, "there is a reading in this row but neither yes nor no"),
        (DROP_HEIGHT, "the drop height is blank and the other rows' differ"),
    ):
        name = next(name for name, what in FRAME.items() if what == quantity)
        if name in drops.frame:
            yield from _faults(
                drops, quantity, np.isnan(drops.frame[name]), f"{saying}: fill it in"
            )


def _implausible(drops: Drops) -> Iterator[Fault]:
    frame = drops.frame
    for name in ("temperature_k", "true_temperature_k"):
        if name in frame:
            yield from _no_water(drops, FRAME[name], frame[name])
    height = frame["rebound_height_m"]
    low = "a rebound height cannot be negative: write the height above the floor"
    yield from _faults(drops, REBOUND_HEIGHT, height < 0, low)
    known = "drop_height_m" in frame
    drop = frame["drop_height_m"] if known else height * 0 + DEFAULT_DROP_HEIGHT_M
    if known:
        yield from _faults(drops, DROP_HEIGHT, drop <= 0, "a drop height must be above zero")
    high = (height > drop + _ROUNDING_M) & (drop > 0)
    yield from _faults(
        drops, REBOUND_HEIGHT, high, lambda at: _too_high(height.iloc[at], drop.iloc[at], known)
    )
    repeat = frame["repeat"]
    wrong = (repeat < 1) | (repeat > MOST_REPEATS) | (repeat != np.floor(repeat))
    saying = f"a repeat number is a whole number from 1 to {MOST_REPEATS:,}"
    yield from _faults(drops, REPEAT, wrong, saying)


def _no_water(drops: Drops, quantity: str, temperature_k: pd.Series[float]) -> Iterator[Fault]:
    def saying(at: int) -> str:
        return (
            f"{celsius(temperature_k.iloc[at]):.6g} °C is outside 0 to 100 °C: "
            "correct it, or the unit in the heading"
        )

    wrong = (temperature_k < COLDEST_K - _ROUNDING_K) | (temperature_k > HOTTEST_K + _ROUNDING_K)
    return _faults(drops, quantity, wrong, saying)


def _too_high(height_m: float, drop_m: float, known: bool) -> str:
    source = "" if known else ", which is taken as no drop height is given"
    mend = "correct it, or the unit" if known else "correct it, or add a column 'drop height / cm'"
    return (
        f"a rebound of {centimetres(height_m):.6g} cm is above the drop height of "
        f"{centimetres(drop_m):.6g} cm{source}: {mend}"
    )


def _twice(drops: Drops) -> Iterator[Fault]:
    """A repeat number that stands twice at one temperature of one student."""
    frame = drops.frame
    keys = [name for name in ("student", "reheated", "temperature_k", "repeat") if name in frame]
    again = frame.duplicated(keys).to_numpy()
    if not again.any():
        return
    first = frame.groupby(keys, sort=False).ngroup()
    first_row = drops.rows[~again]

    def saying(at: int) -> str:
        line = drops.table.line(first_row[first.iloc[at]])
        whose = f" for {quoted(frame['student'].iloc[at])}" if "student" in frame else ""
        temperature_c = celsius(frame["temperature_k"].iloc[at])
        return (
            f"repeat {frame['repeat'].iloc[at]:.0f} at {temperature_c:.6g} °C stands in {line} "
            f"already{whose}: number the repeats of one temperature 1, 2, 3 and so on"
        )

    yield from _faults(drops, REPEAT, again, saying)


def _faults(
    drops: Drops, quantity: str, wrong: pd.Series[bool] | Mask, saying: str | Callable[[int], str]
) -> Iterator[Fault]:
    """Faults, one for each cell that is wrong, however many drops it serves.

    The words are made for the first one only, since no other is shown.
    """
    places: dict[tuple[int, int], int] = {}
    for at in np.flatnonzero(np.asarray(wrong)):
        places.setdefault((int(drops.rows[at]), drops.column_of(quantity, int(at))), int(at))
    first = min(places, default=None)
    words = saying if isinstance(saying, str) else saying(places[first]) if first else ""
    return (drops.table.fault(row, column, words) for row, column in places)


def notices(drops: Drops) -> Iterator[str]:
    """Everything worth telling about a table that was read, in a fixed order."""
    table = drops.table
    unread = unread_columns(table)
    yield from table.notices
    if unread:
        texts = ", ".join(map(table.heading_text, unread[:5]))
        more = f" and {len(unread) - 5} more" if len(unread) > 5 else ""
        yield f"Headings that are none of ours, not read: {texts}{more}."
    yield from _blanks(table)
    yield from _units_in_cells(table)
    yield from _uneven_places(table)
    numbered = all(table.headings[index].number is not None for index in table.heights)
    for quantity in CHECKED:
        given = table.where.get((quantity, None))
        if given in table.columns and numbered:
            yield from _worked_out(table, quantity)
        elif given is not None and given not in unread:
            yield f"The column {table.heading_text(given)} was not checked."
    yield from _pooled_rows(drops)
    yield from drops.notices


def _pooled_rows(drops: Drops) -> Iterator[str]:
    """A temperature that stands in two rows of a results table, whose readings make one set.

    Where there is one reading a row, that is how repeats are written, unless one temperature
    alone comes oftener than the others.
    """
    table, frame = drops.table, drops.frame
    if (REPEAT, None) in table.where:
        return
    keys = [name for name in ("student", "reheated", "temperature_k") if name in frame]
    rows = frame[keys].assign(row=drops.rows).drop_duplicates("row").groupby(keys, dropna=False)
    sizes = rows.size()
    if len(table.heights) == 1 and sizes.nunique() == 1:
        return
    several = [of_set for _, of_set in rows["row"] if len(of_set) > 1]
    for of_set in several[:_MOST_NOTICES]:
        temperature_c = celsius(float(frame["temperature_k"].loc[of_set.index[0]]))
        *lines, last = [table.line(row) for row in of_set]
        names = [lines[0].replace(" ", "s ", 1), *(line.split()[1] for line in lines[1:])]
        where = f"{', '.join(names)} and {last.split()[1]}"
        yield f"{temperature_c:.6g} °C stands in {where}: their readings are pooled as one set."
    if len(several) > _MOST_NOTICES:
        yield f"{len(several) - _MOST_NOTICES} more temperatures stand in several rows."


def _blanks(table: ReadingsTable) -> Iterator[str]:
    blank = np.argwhere(np.isnan(table.heights_m))
    if len(blank):
        row, place = (int(index) for index in blank[0])
        what = f"{len(blank)} blank cells count as missing repeats, the first in"
        if len(blank) == 1:
            what = "1 blank cell counts as a missing repeat:"
        heading = table.heading_text(table.heights[place])
        across = "row" if table.turned else "column"
        yield f"{what} {table.line(row)}, {across} {heading}."


def _units_in_cells(table: ReadingsTable) -> Iterator[str]:
    count = sum(column.units for column in table.columns.values())
    if count:
        yield (
            f"{count} {'cell repeats' if count == 1 else 'cells repeat'} the unit of the heading; "
            "write it in the heading only."
        )


def _uneven_places(table: ReadingsTable) -> Iterator[str]:
    """Only text shows how it was written: in a workbook 23.0 and 23 are one number."""
    for index in table.heights if table.typed else ():
        column = table.columns[index]
        written = np.unique(column.decimals[~np.isnan(column.values)])
        if len(written) > 1:
            yield (
                f"The readings under {table.heading_text(index)} are written to between "
                f"{written[0]} and {written[-1]} decimal places; "
                "write all of one quantity to the same number."
            )
            return


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


def _worked_out(table: ReadingsTable, quantity: str) -> Iterator[str]:
    """One notice for each row whose given mean, range or half-range is not that of its readings.

    They differ when more than half a unit of the last decimal place given lies between them.
    After twenty notices only the number of the others is said.
    """
    place = table.where[quantity, None]
    given_cm = centimetres(table.columns[place].values)
    heights_cm = centimetres(table.heights_m)
    true_cm = _WORKED_OUT[quantity](heights_cm)
    last_place = 10.0 ** -table.columns[place].decimals
    allowed_cm = restated(last_place, _unit(table, place), "cm") / 2 + _NOISE_CM
    rows = np.flatnonzero(np.abs(given_cm - true_cm) > allowed_cm)
    temperatures_c = celsius(table.columns[table.where[TEMPERATURE, None]].values)
    for row in rows[:_MOST_NOTICES]:
        yield (
            f"{table.line(row).capitalize()} ({temperatures_c[row]:.6g} °C): the {quantity} given, "
            f"{given_cm[row]:.6g} cm, is not the {quantity} of the readings, {true_cm[row]:.6g} cm"
            + _without(table, quantity, heights_cm[row], (given_cm[row], allowed_cm[row]))
        )
    if len(rows) > _MOST_NOTICES:
        yield f"{len(rows) - _MOST_NOTICES} more rows give a {quantity} that is not theirs."


_MOST_ROWS_OF_A_MEAN = 0.75
"""The share of rows that are right, from which the last column is one of means with slips in it."""


def _check_unnumbered(table: ReadingsTable) -> None:
    """Raise Refused where a column below a heading that is spread follows from those before it."""
    heights_cm = centimetres(table.heights_m)
    places = [table.heights.index(column) for column in table.unnumbered]
    last = len(places) - 1
    for at, column in enumerate(table.unnumbered):
        for count in range(2, at + 1):
            before_cm, given_cm = heights_cm[:, places[:count]], heights_cm[:, places[at]]
            share = _MOST_ROWS_OF_A_MEAN if at == last == count else 1.0
            quantity = _followed(table, column, before_cm, given_cm, share)
            if quantity:
                saying = f"this looks like the {quantity} of the readings: give it a heading"
                raise refused(table.source, table.heading_fault(column, saying))


def _followed(
    table: ReadingsTable, column: int, before_cm: Values, given_cm: Values, share: float
) -> str:
    """What of the readings before it a column holds, in so many of two rows or more; or ""."""
    there = ~np.isnan(given_cm)
    step_cm = restated(10.0 ** -table.columns[column].decimals, _unit(table, column), "cm")
    for quantity, worked_out in _WORKED_OUT.items():
        right = np.abs(worked_out(before_cm) - given_cm) <= step_cm / 2 + _NOISE_CM
        if there.sum() > 1 and right[there].mean() >= share:
            return quantity
    return ""


def _unit(table: ReadingsTable, column: int) -> str:
    return table.headings[column].unit or "cm"


def _check_parts(table: ReadingsTable) -> None:
    """Raise Refused where words between the rows begin the same temperatures a second time."""
    told_apart = any((what, None) in table.where for what in (REPEAT, STUDENT, REHEATED))
    if told_apart or len(table.heights) < 2:
        return
    numbers = np.array(table.row_numbers)
    temperatures_k = table.columns[table.where[TEMPERATURE, None]].values
    for note in table.notes:
        before, after = temperatures_k[numbers < note], temperatures_k[numbers > note]
        if len(before) and len(after) > 1 and np.isin(after, before).all():
            said = f"{table.source} has two tables of readings, parted by the words in "
            raise Refused(said + line_name(note, turned=table.turned), mend=ONE_TABLE)


def _without(
    table: ReadingsTable, quantity: str, row_cm: Values, given: tuple[float, float]
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
    text = table.heading_text(table.heights[fits[0]])
    return f"; it fits if the reading {row_cm[fits[0]]:.6g} cm under {text} is left out."
