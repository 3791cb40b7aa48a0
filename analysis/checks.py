"""What readings must satisfy to be readings at all, and what is only noted."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np

from analysis.faults import Fault, quoted, refuse, refuse_if_any
from analysis.headings import (
    DROP_HEIGHT,
    REBOUND_HEIGHT,
    REHEATED,
    REPEAT,
    TEMPERATURE,
    TRUE_TEMPERATURE,
)
from analysis.layouts import MOST_REPEATS
from analysis.quantity import ZERO_CELSIUS_K

if TYPE_CHECKING:
    from collections.abc import Callable

    import pandas as pd
    from numpy.typing import NDArray

    from analysis.layouts import Drops
    from analysis.tables import Table

    Mask = NDArray[np.bool_]

COLDEST_K = ZERO_CELSIUS_K
HOTTEST_K = ZERO_CELSIUS_K + 100
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
        temperature = frame["temperature_k"].iloc[at] - ZERO_CELSIUS_K
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
        kelvin = drops.frame[name]
        wrong = (kelvin < COLDEST_K - _ROUNDING_K) | (kelvin > HOTTEST_K + _ROUNDING_K)
        faults += _faults(table, drops, quantity, wrong, partial(_no_water, kelvin))
    return faults


def _no_water(kelvin: pd.Series[float], at: int) -> str:
    return (
        f"{kelvin.iloc[at] - ZERO_CELSIUS_K:.6g} °C is outside 0 to 100 °C: "
        "correct it, or the unit in the heading"
    )


def _too_high(height_m: float, drop_m: float, known: bool) -> str:
    source = "" if known else ", which is taken as no drop height is given"
    mend = "correct it, or the unit" if known else "correct it, or add a column 'drop height / cm'"
    return (
        f"a rebound of {height_m * 100:.6g} cm is above the drop height of "
        f"{drop_m * 100:.6g} cm{source}: {mend}"
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
