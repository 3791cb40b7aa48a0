"""The readings file of a practical: what stands on the rough page, one row a drop.

The file beside a record is written after every reading while the bench is open. So it is made
without pandas, whose import stops a window for a good part of a second.
"""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

from analysis.files import write_whole
from analysis.quantity.headings import (
    DROP_HEIGHT,
    ELAPSED_TIME,
    REBOUND_HEIGHT,
    REHEATED,
    REPEAT,
    TEMPERATURE,
)
from analysis.readings.columns import csv_bytes, quantity_column
from sim.state import RoughReading, State

TIME_PLACES = 1
"""A time is written to a tenth of a second: nobody stops a watch more exactly by hand."""


def readings_path(record: Path) -> Path:
    """The readings file beside a record: `x.rebound.jsonl` has `x.rebound.csv`."""
    return record.with_suffix(".csv")


def write_readings(state: State, path: Path, *, force: bool) -> None:
    """Write the readings of the rough page that stand: csv, xlsx or ods.

    The file appears whole or not at all. One call at a time for one file: two threads must not
    write the same.

    Raises:
        analysis.refusal.Refused: for another ending, where the file exists and `force` is
            not given, and where it cannot be written.

    """
    write_whole(path, readings_content(state, path), force=force)


def readings_content(state: State, path: Path) -> bytes:
    """The content of a readings file in the format of its ending; raises Refused for another.

    Heights have the most decimal places that any reading was written to.
    """
    rows = _rows(state)
    lines = [row.line for row in rows]
    places = max((line.decimal_places for line in lines), default=0)
    columns = (
        quantity_column(REHEATED, [row.reheated for row in rows]),
        quantity_column(TEMPERATURE, [line.temperature_k for line in lines]),
        quantity_column(REPEAT, [row.repeat for row in rows]),
        quantity_column(REBOUND_HEIGHT, [line.height_m for line in lines], places),
        quantity_column(DROP_HEIGHT, [line.drop.mark_m for line in lines]),
        quantity_column(ELAPSED_TIME, [round(line.drop.time_s, TIME_PLACES) for line in lines]),
    )
    if path.suffix.lower() == ".csv":
        return csv_bytes(columns)
    # The file beside a record does not wait for libraries that only workbooks need.
    from analysis.readings.spreadsheets import readings_bytes

    return readings_bytes(path, columns, 10.0**-places)


class _Row(NamedTuple):
    reheated: bool
    repeat: int
    line: RoughReading


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
