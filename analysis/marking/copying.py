"""The results table held against the rough page: which row copies which set, and what differs.

A row belongs to the set whose noted temperatures it lies among (or within 1 °C of), nearest
first. Rows and sets left over are paired where at least half of the readings agree: then only the
temperature was copied wrongly.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from analysis.marking.own_table import Entry, OwnTable, Row
from analysis.marking.picked import TOGETHER_C, ReadingSet

_SAME_C = 1e-6
_SAME_CM = 6  # decimals to which two heights must agree: a picometre is nothing on a rule


@dataclass(frozen=True)
class Copy:
    """One set of the rough page and the rows that copy it (none: the row is missing).

    `struck` are the row's cells that hold struck-out readings, `foreign` those that are not on
    the rough page, `lacking_cm` the standing readings that no cell holds.
    """

    source: ReadingSet
    rows: tuple[Row, ...] = ()
    struck: tuple[Entry, ...] = ()
    foreign: tuple[Entry, ...] = ()
    lacking_cm: tuple[float, ...] = ()

    @property
    def wrong_temperatures(self) -> tuple[Row, ...]:
        """Rows whose temperature is not one that was noted, nor one between."""
        low, high = self.source.low_c - _SAME_C, self.source.high_c + _SAME_C
        return tuple(row for row in self.rows if not low <= row.temperature_c <= high)


@dataclass(frozen=True)
class Copies:
    """Every set of the rough page with its rows, and the rows that copy nothing."""

    sets: tuple[Copy, ...]
    strangers: tuple[Row, ...]


def copies(table: OwnTable, sets: tuple[ReadingSet, ...]) -> Copies:
    """Pair the rows of a table with the sets of the rough page."""
    rows_of: dict[int, list[Row]] = {place: [] for place in range(len(sets))}
    left: list[Row] = []
    for row in table.rows:
        near = _nearest(row, sets)
        (left if near is None else rows_of[near]).append(row)
    for row in list(left):
        agreeing = [
            place
            for place, one in enumerate(sets)
            if not rows_of[place] and 2 * _shared(row, one) >= max(1, len(one.standing_cm))
        ]
        if agreeing:
            rows_of[agreeing[0]].append(row)
            left.remove(row)
    found = tuple(_copy(sets[place], rows) for place, rows in rows_of.items())
    return Copies(tuple(one for one in found if one.rows or one.source.standing_cm), tuple(left))


def _nearest(row: Row, sets: tuple[ReadingSet, ...]) -> int | None:
    def away(one: ReadingSet) -> float:
        return max(one.low_c - row.temperature_c, row.temperature_c - one.high_c, 0.0)

    if math.isnan(row.temperature_c) or not sets:
        return None
    place = min(range(len(sets)), key=lambda at: away(sets[at]))
    return place if away(sets[place]) <= TOGETHER_C else None


def _key(height_cm: float) -> float:
    return round(height_cm, _SAME_CM)


def _shared(row: Row, one: ReadingSet) -> int:
    there = Counter(map(_key, row.heights_cm)) & Counter(map(_key, one.standing_cm))
    return there.total()


def _copy(source: ReadingSet, rows: list[Row]) -> Copy:
    """Use up the standing readings cell by cell, then the struck-out ones."""
    standing = Counter(map(_key, source.standing_cm))
    struck_out = Counter(map(_key, source.struck_out_cm))
    struck: list[Entry] = []
    foreign: list[Entry] = []
    for entry in (entry for row in rows for entry in row.readings if not math.isnan(entry.value)):
        key = _key(entry.value)
        if standing[key] > 0:
            standing[key] -= 1
        elif struck_out[key] > 0:
            struck_out[key] -= 1
            struck.append(entry)
        else:
            foreign.append(entry)
    lacking = tuple(sorted(standing.elements()))
    return Copy(source, tuple(rows), tuple(struck), tuple(foreign), lacking)
