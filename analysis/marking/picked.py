"""What was read at each temperature, and the temperature that the book's questions name."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from analysis.marking.own_table import own_table
from analysis.marking.work import RoughReading, Work

TOGETHER_C = 1.0
"""Readings whose noted temperatures lie within this of the coolest of them make one set: a
thermometer read again between the repeats may have moved a division or two. Ours, no source."""


@dataclass(frozen=True)
class ReadingSet:
    """The repeats at one temperature, heights in cm in the order they were taken.

    `temperature_c` is the one noted most often (the lowest of equals); `low_c` and `high_c` are
    the lowest and highest noted. `standing_cm` leaves the struck-out readings out.
    """

    temperature_c: float
    low_c: float
    high_c: float
    standing_cm: tuple[float, ...]
    struck_out_cm: tuple[float, ...] = ()


def reading_sets(work: Work) -> tuple[ReadingSet, ...]:
    """The sets of the rough page, or of the own table where there is none, coolest first."""
    if work.rough is None:
        return _table_sets(work)
    groups: list[list[RoughReading]] = []
    for reading in sorted(work.rough, key=lambda one: one.temperature_c):
        if groups and reading.temperature_c - groups[-1][0].temperature_c <= TOGETHER_C:
            groups[-1].append(reading)
        else:
            groups.append([reading])
    return tuple(_set(group) for group in groups)


def picked_temperature_c(work: Work) -> float:
    """The temperature, in °C, that read-off, half-range and energy questions name.

    The middle one of the temperatures with at least two readings that stand (the cooler of the
    two middle ones when their number is even): the repeats there give a half-range, and it lies
    inside the line. NaN while no temperature has two readings.
    """
    ready = [one.temperature_c for one in reading_sets(work) if len(one.standing_cm) >= 2]
    return ready[(len(ready) - 1) // 2] if ready else math.nan


def _set(group: list[RoughReading]) -> ReadingSet:
    noted, times = np.unique([one.temperature_c for one in group], return_counts=True)
    return ReadingSet(
        temperature_c=float(noted[np.argmax(times)]),
        low_c=float(noted[0]),
        high_c=float(noted[-1]),
        standing_cm=tuple(one.height_cm for one in group if not one.struck_out),
        struck_out_cm=tuple(one.height_cm for one in group if one.struck_out),
    )


def _table_sets(work: Work) -> tuple[ReadingSet, ...]:
    together: dict[float, tuple[float, ...]] = {}
    for row in own_table(work).rows:
        if not math.isnan(row.temperature_c):
            together[row.temperature_c] = together.get(row.temperature_c, ()) + row.heights_cm
    return tuple(ReadingSet(t, t, t, together[t]) for t in sorted(together))
