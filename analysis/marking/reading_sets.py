"""The repeats at each temperature as a student took them, and which of them the questions name.

The pages of the exercise book ask this too, so it needs no library.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from analysis.marking.work import RoughLine, sets_of_lines
from analysis.readings.sets import Repeats


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

    @property
    def drops(self) -> int:
        """How often the ball was dropped for it, struck-out readings counted."""
        return len(self.standing_cm) + len(self.struck_out_cm)


def reading_sets(rough: Sequence[RoughLine]) -> tuple[ReadingSet, ...]:
    """The sets of a rough page, coolest first."""
    return tuple(_set(rough, one) for one in sets_of_lines(rough))


def _set(rough: Sequence[RoughLine], one: Repeats) -> ReadingSet:
    return ReadingSet(
        temperature_c=one.temperature_c,
        low_c=one.low_c,
        high_c=one.high_c,
        standing_cm=tuple(rough[place].height_cm for place in one.standing),
        struck_out_cm=tuple(rough[place].height_cm for place in one.struck_out),
    )


def named_among(sets: Sequence[ReadingSet], asked_c: float | None) -> float:
    """The temperature, in °C, that read-off, half-range and energy questions name.

    The middle one of the temperatures with at least two readings that stand (the cooler of the
    two middle ones when their number is even): the repeats there give a half-range, and it
    lies inside the line. NaN while no temperature has two readings. What was named to the
    student already, `asked_c`, stays, as long as readings stand there.
    """
    if asked_c is not None and any(one.low_c <= asked_c <= one.high_c for one in sets):
        return asked_c
    ready = [one.temperature_c for one in sets if len(one.standing_cm) >= 2]
    return ready[(len(ready) - 1) // 2] if ready else math.nan
