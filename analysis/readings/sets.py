"""Which readings belong together: the one grouping of readings into sets, and sets as a table.

A rough page is a list of single readings, each with the temperature that the thermometer showed. A
table or a readings file is no such list: its rows are the sets that its writer made, and they are
taken as they stand.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

TOGETHER_C = 1.0
"""Readings whose noted temperatures lie within this of the coolest of them make one set: a
thermometer read again between the repeats may have moved a division or two. Ours, no source."""

MEANT_C = 5.0
"""Readings that were meant for one temperature make one set within this: water that was prepared
once and cooled between the repeats. Half the usual interval of a plan. Ours, no source."""

_DUST_C = 1e-6
"""Far below any thermometer: 40.2 °C - 39.2 °C is 1 °C whatever binary arithmetic makes of it."""


@dataclass(frozen=True)
class Repeats:
    """One set of readings, by their places in the list, each in the order they were taken.

    `temperature_c` is the one noted most often (the lowest of equals); `low_c` and `high_c` are
    the lowest and highest noted; struck-out readings count for these only in a set that has no
    other.
    """

    temperature_c: float
    low_c: float
    high_c: float
    standing: tuple[int, ...]
    struck_out: tuple[int, ...] = ()


def sets_of_repeats(
    temperatures_c: Sequence[float],
    struck_out: Sequence[bool] | None = None,
    meant: Sequence[int | None] | None = None,
) -> tuple[Repeats, ...]:
    """Group the readings noted at these temperatures (°C) into sets, coolest set first.

    The standing readings alone make the sets: the coolest begins one, and those within TOGETHER_C
    of it belong to it; so do those within MEANT_C that were meant for the same temperature, which
    `meant` numbers where that is known. A struck-out reading is then laid to the set that it lies
    among or within TOGETHER_C of, so that it can still be found; the rest of them make sets of
    their own, which have nothing in `standing` and count nowhere but on the page.
    """
    gone = struck_out or [False] * len(temperatures_c)
    standing = [place for place, out in enumerate(gone) if not out]
    groups = _as_meant(temperatures_c, _grouped(temperatures_c, standing), meant)
    made = [_repeats(temperatures_c, group) for group in groups]
    noted_c = [(one.low_c, one.high_c) for one in made]
    laid: dict[int, list[int]] = {}
    stray: list[int] = []
    for place in (place for place, out in enumerate(gone) if out):
        near = nearest_set(temperatures_c[place], noted_c)
        (stray if near is None else laid.setdefault(near, [])).append(place)
    sets = [replace(one, struck_out=tuple(laid.get(at, ()))) for at, one in enumerate(made)]
    lost = [_repeats(temperatures_c, group) for group in _grouped(temperatures_c, stray)]
    sets += [replace(one, standing=(), struck_out=one.standing) for one in lost]
    return tuple(sorted(sets, key=lambda one: one.low_c))


def nearest_set(temperature_c: float, noted_c: Sequence[tuple[float, float]]) -> int | None:
    """Place of the set that a temperature lies among or within TOGETHER_C of, nearest first.

    `noted_c` are the lowest and highest temperature of each set. None where no set is so near.
    """
    away_c = [max(low - temperature_c, temperature_c - high, 0.0) for low, high in noted_c]
    if not away_c or not min(away_c) <= TOGETHER_C + _DUST_C:
        return None
    return away_c.index(min(away_c))


def _grouped(temperatures_c: Sequence[float], places: Sequence[int]) -> list[list[int]]:
    groups: list[list[int]] = []
    for place in sorted(places, key=temperatures_c.__getitem__):
        coolest_c = temperatures_c[groups[-1][0]] if groups else float("-inf")
        if temperatures_c[place] - coolest_c <= TOGETHER_C + _DUST_C:
            groups[-1].append(place)
        else:
            groups.append([place])
    return groups


def _as_meant(
    temperatures_c: Sequence[float], groups: list[list[int]], meant: Sequence[int | None] | None
) -> list[list[int]]:
    """Neighbouring groups made one, where readings of both were meant for the same temperature."""
    if meant is None:
        return groups
    joined: list[list[int]] = []
    for group in groups:
        before = joined[-1] if joined else []
        same = {meant[at] for at in before} & {meant[at] for at in group} - {None}
        if same and temperatures_c[group[-1]] - temperatures_c[before[0]] <= MEANT_C + _DUST_C:
            joined[-1] = before + group
        else:
            joined.append(group)
    return joined


def _repeats(temperatures_c: Sequence[float], places: list[int]) -> Repeats:
    noted = [temperatures_c[place] for place in places]
    return Repeats(
        temperature_c=Counter(noted).most_common(1)[0][0],  # of equals the first, the lowest
        low_c=noted[0],
        high_c=noted[-1],
        standing=tuple(sorted(places)),
    )


@dataclass(frozen=True)
class RepeatTable:
    """Sets as a table: temperatures rising, one column a repeat, NaN where one is missing."""

    temperatures_k: NDArray[np.float64]  # (T,)
    heights_m: NDArray[np.float64]  # (T, R)


def heights_table(rows: Sequence[Sequence[float]]) -> NDArray[np.float64]:
    """Rows of heights as one table (rows, longest row), NaN where a row is shorter."""
    width = max(1, *map(len, rows))
    return np.array([[*row, *[np.nan] * (width - len(row))] for row in rows], dtype=np.float64)
