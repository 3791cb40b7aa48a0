"""The two ways of the practical side by side: ball left to cool, and ball put back."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from analysis.quantity.units import celsius, kelvin, metres
from analysis.readings.sets import RepeatTable, heights_table, sets_of_repeats
from analysis.report.sentences import contrast_sentences
from analysis.statistics.two_procedures import contrast
from sim.state import RoughReading

LEAST = 2
"""Repeats of one way at one temperature that can be held against the other."""


@lru_cache(maxsize=4)
def side_by_side(rough: tuple[RoughReading, ...]) -> tuple[str, ...]:
    """What the analysis says of both ways; nothing until both have repeats at one temperature."""
    standing = tuple(line for line in rough if line.struck_out is None)
    left, back = parted(standing)
    if not any(temperature_k in back for temperature_k in left):
        return ()
    places = max(line.decimal_places for line in standing)
    found = contrast(_table(left), _table(back), float(metres(10.0**-places)))
    return contrast_sentences(found)


def parted(lines: tuple[RoughReading, ...]) -> tuple[dict[float, list[float]], ...]:
    """Which heights in metres, by temperature in kelvin, are of a ball left to cool and put back.

    A drop right after another, without the water between, is of a ball left to cool, and so
    is the drop that began that run. Every other reading is of a ball put back. A way counts
    at a temperature where it has repeats.
    """
    left: dict[float, list[float]] = {}
    back: dict[float, list[float]] = {}
    noted_c = [float(celsius(line.temperature_k)) for line in lines]
    set_of = {at: one for one in sets_of_repeats(noted_c) for at in one.standing}
    reheated = [line.drop.reheated for line in lines]
    for at, line in enumerate(lines):
        runs_on = at + 1 in set_of and set_of[at + 1] is set_of[at] and not reheated[at + 1]
        way = left if runs_on or not reheated[at] else back
        way.setdefault(float(kelvin(set_of[at].temperature_c)), []).append(line.height_m)
    return tuple({k: h for k, h in way.items() if len(h) >= LEAST} for way in (left, back))


def _table(heights_m: dict[float, list[float]]) -> RepeatTable:
    temperatures_k = sorted(heights_m)
    rows = heights_table([heights_m[k] for k in temperatures_k])
    return RepeatTable(np.array(temperatures_k), rows)
