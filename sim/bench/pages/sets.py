"""The two ways of the practical side by side: ball left to cool, and ball put back."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.state import RoughReading

LEFT, BACK = "with the ball left to cool", "with the ball put back"
LEAST = 2
"""Repeats of one way at one temperature that can be held against the other."""


class Tables(NamedTuple):
    """Readings of the two ways by temperature in kelvin, heights in metres."""

    left: dict[float, list[float]]
    back: dict[float, list[float]]


@dataclass(frozen=True)
class Grid:
    """Temperatures (T,) and heights (T, R); an `analysis.contrast.Table`."""

    temperatures_k: NDArray[np.float64]
    heights_m: NDArray[np.float64]


class Line(NamedTuple):
    """What counts of a line of the rough page."""

    temperature_k: float
    height_m: float
    reheated: bool
    decimal_places: int


def side_by_side(rough: tuple[RoughReading, ...]) -> tuple[str, ...]:
    """What the analysis says of both ways; nothing until both have repeats at one temperature."""
    return _said(
        tuple(
            Line(line.temperature_k, line.height_m, line.drop.reheated, line.decimal_places)
            for line in rough
            if line.struck_out is None
        )
    )


@lru_cache(maxsize=4)
def _said(lines: tuple[Line, ...]) -> tuple[str, ...]:
    tables = parted(lines)
    if not any(temperature_k in tables.back for temperature_k in tables.left):
        return ()
    # The analysis is imported for the first comparison; no frame waits for it before.
    from analysis.contrast import contrast, sentences
    from analysis.quantity import metres

    places = max(line.decimal_places for line in lines)
    found = contrast(_grid(tables.left), _grid(tables.back), float(metres(10.0**-places)))
    return sentences(found, LEFT, BACK)


def parted(lines: tuple[Line, ...]) -> Tables:
    """Which readings are of which way.

    A drop right after another, without the water between, is of a ball left to cool, and so
    is the drop that began that run. Every other reading is of a ball put back. A way counts
    at a temperature where it has repeats.
    """
    left: dict[float, list[float]] = {}
    back: dict[float, list[float]] = {}
    for number, line in enumerate(lines, start=1):
        runs_on = number < len(lines) and _runs_on(line, lines[number])
        table = left if runs_on or not line.reheated else back
        table.setdefault(line.temperature_k, []).append(line.height_m)
    return Tables(*({k: h for k, h in way.items() if len(h) >= LEAST} for way in (left, back)))


def _runs_on(line: Line, after: Line) -> bool:
    """Whether the next reading was taken with the ball as this one left it."""
    return not after.reheated and after.temperature_k == line.temperature_k


def _grid(table: dict[float, list[float]]) -> Grid:
    """One way's readings as the contrast takes them: a row a temperature, NaN where none is."""
    temperatures_k = sorted(table)
    repeats = max(len(heights) for heights in table.values())
    rows = [table[k] + [np.nan] * (repeats - len(table[k])) for k in temperatures_k]
    return Grid(np.array(temperatures_k), np.array(rows))
