"""The readings file beside a practical record, for the analysis to take.

It is written after every reading while the bench is open, so it is made here from the rough
page without pandas, whose import stops a window for a good part of a second. The file is,
byte for byte, what `analysis.readings.readings.write_readings` makes of `rough_frame` in the tidy
layout; a test holds the two together.

The rough page as a table of readings, the form that `analysis` takes.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from analysis.refusal import Refused
from sim.record.format import RecordTrouble
from sim.state import RoughReading, State

if TYPE_CHECKING:
    import pandas as pd

    from analysis.readings.formats import OutColumn


def rough_frame(state: State, *, with_truth: bool = False) -> pd.DataFrame:
    """The readings that still stand on the rough page, one row a drop, SI units.

    Columns as `analysis.readings.readings` names them; struck-out readings are left out. A set of
    drops at one temperature counts as reheated when the ball was in the water before each
    of them. The ball's true temperature is added only on request: students are not shown it.
    """
    import pandas as pd  # heavy, and not needed before the first readings are written

    lines = [line for line in state.rough if line.struck_out is None]
    temperature_k = pd.Series([line.temperature_k for line in lines], dtype=float)
    frame = pd.DataFrame(
        {
            "temperature_k": temperature_k,
            "repeat": temperature_k.groupby(temperature_k).cumcount() + 1,
            "rebound_height_m": [line.height_m for line in lines],
            "drop_height_m": [line.drop.mark_m for line in lines],
            "reheated": pd.Series([line.drop.reheated for line in lines], dtype=bool)
            .groupby(temperature_k)
            .transform("all"),
            "elapsed_time_s": [line.drop.time_s for line in lines],
        }
    )
    if with_truth:
        frame["true_temperature_k"] = [line.drop.ball_k for line in lines]
    return frame


def rough_places(state: State) -> int:
    """The decimal places, in centimetres, that the readings were written to."""
    standing = [line.decimal_places for line in state.rough if line.struck_out is None]
    return max(standing, default=0)


class _Row(NamedTuple):
    reheated: bool
    repeat: int
    line: RoughReading


def readings_path(record: Path) -> Path:
    """The readings file beside a record: `x.rebound.jsonl` has `x.rebound.csv`."""
    return record.with_suffix(".csv")


def write_readings(state: State, path: Path, *, force: bool) -> None:
    """Write the readings of the rough page that stand, one row a drop: csv, xlsx or ods.

    The file appears whole or not at all. Heights have the most decimal places that any
    reading was written to.

    Raises:
        analysis.refusal.Refused: for another ending, where the file exists and `force` is
            not given, and where it cannot be written.

    """
    # The first frame need not wait for these.
    from analysis.files import write_whole
    from analysis.readings.formats import FORMATS, Output

    making = FORMATS.get(path.suffix.lower())
    if making is None:
        raise Refused(f"{path.name} would be no csv, xlsx or ods file: give it such an ending.")
    places = rough_places(state)
    output = Output(_columns(_rows(state), places), 10.0**-places)
    write_whole(path, making(output), force=force)


def write_readings_beside(record: Path, state: State) -> Path:
    """Bring the readings file beside a record up to date, and say where it is.

    One call at a time: two threads must not write the same file.

    Raises:
        RecordTrouble: the file cannot be written.

    """
    path = readings_path(record)
    try:
        write_readings(state, path, force=True)
    except Refused as refusal:
        raise RecordTrouble(str(refusal)) from refusal
    return path


def _rows(state: State) -> list[_Row]:
    """The standing readings, those of one temperature together, as they first appear.

    A temperature counts as reheated when the ball was in the water before each of its drops.
    """
    sets: dict[float, list[RoughReading]] = {}
    for line in state.rough:
        if line.struck_out is None:
            sets.setdefault(line.temperature_k, []).append(line)
    return [
        _Row(all(one.drop.reheated for one in lines), repeat, line)
        for lines in sets.values()
        for repeat, line in enumerate(lines, start=1)
    ]


def _columns(rows: list[_Row], places: int) -> tuple[OutColumn, ...]:
    from analysis.quantity import headings
    from analysis.readings.formats import OutColumn

    lines = [row.line for row in rows]
    repeats = [float(row.repeat) for row in rows]
    heights_m = [line.height_m for line in lines]
    return (
        OutColumn(headings.REHEATED, ["yes" if row.reheated else "no" for row in rows]),
        _column(headings.TEMPERATURE, "°C", [line.temperature_k for line in lines]),
        OutColumn(headings.REPEAT, repeats),
        replace(_column(headings.REBOUND_HEIGHT, "cm", heights_m), places=places),
        _column(headings.DROP_HEIGHT, "cm", [line.drop.mark_m for line in lines]),
        _column(headings.ELAPSED_TIME, "s", [line.drop.time_s for line in lines]),
    )


def _column(quantity: str, unit: str, values: list[float]) -> OutColumn:
    """A column of SI values in a school unit, shown to as many places as they need."""
    from analysis.quantity.headings import heading_text
    from analysis.quantity.units import from_si
    from analysis.quantity.written import decimals_needed
    from analysis.readings.formats import OutColumn

    numbers: list[float] = from_si(np.array(values), unit).tolist()
    places = max(map(decimals_needed, numbers), default=0)
    return OutColumn(heading_text(quantity, unit), numbers, places)
