"""The results table held against the rough page, and its means against their readings.

Copying: a row belongs to the set whose noted temperatures it lies among (or within 1 °C of),
nearest first. Rows and sets left over are paired where at least half of the readings agree: then
only the temperature was copied wrongly.

Rule of a mean's value: it follows when it differs from the exact one by no more than half a unit
of its own last place. It may be worked from the row as written, or from the rough page where a
reading was miscopied (the slip has cost its mark already); a struck-out reading is left out.
Rule of its places: those of the readings, or one more where `analysis.quantity.text.mean_places`
finds that the spread justifies it; all the means alike. Readings written to uneven places justify
what either of their places would, miscopied ones what either table or rough page would.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace
from typing import Literal

from analysis.marking.own_table import Entry, OwnRow, OwnTable, ReadingSet
from analysis.quantity.text import mean_places
from analysis.readings.sets import heights_table, nearest_set
from analysis.statistics.spread import spread

_SAME_C = 1e-6
_SAME_CM = 6  # decimals to which two heights must agree: a picometre is nothing on a rule


@dataclass(frozen=True)
class Copy:
    """One set of the rough page and the rows that copy it (none: the row is missing).

    `struck` are the row's cells that hold struck-out readings, `foreign` those that are not on
    the rough page, `lacking_cm` the standing readings that no cell holds.
    """

    source: ReadingSet
    rows: tuple[OwnRow, ...] = ()
    struck: tuple[Entry, ...] = ()
    foreign: tuple[Entry, ...] = ()
    lacking_cm: tuple[float, ...] = ()

    @property
    def wrong_temperatures(self) -> tuple[OwnRow, ...]:
        """Rows whose temperature is not one that was noted, nor one between."""
        low, high = self.source.low_c - _SAME_C, self.source.high_c + _SAME_C
        return tuple(row for row in self.rows if not low <= row.temperature_c <= high)


@dataclass(frozen=True)
class Copies:
    """Every set of the rough page with its rows, and the rows that copy nothing."""

    sets: tuple[Copy, ...]
    strangers: tuple[OwnRow, ...]


def copies(table: OwnTable, sets: tuple[ReadingSet, ...]) -> Copies:
    """Pair the rows of a table with the sets of the rough page."""
    rows_of: dict[int, list[OwnRow]] = {place: [] for place in range(len(sets))}
    noted_c = [(one.low_c, one.high_c) for one in sets]
    left: list[OwnRow] = []
    for row in table.rows:
        near = nearest_set(row.temperature_c, noted_c)
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


def _key(height_cm: float) -> float:
    return round(height_cm, _SAME_CM)


def _shared(row: OwnRow, one: ReadingSet) -> int:
    there = Counter(map(_key, row.heights_cm)) & Counter(map(_key, one.standing_cm))
    return there.total()


def _copy(source: ReadingSet, rows: list[OwnRow]) -> Copy:
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


Follows = Literal["yes", "struck kept", "one left out", "no", "none", "nothing"]

_DUST = 1e-9


@dataclass(frozen=True)
class MeanCheck:
    """How one row's mean follows. `values_cm` are the readings that it should be worked from.

    "struck kept": it follows if the struck-out reading is kept; "one left out": it follows if the
    outermost reading `left_out_cm` is left out; "none": there is no mean; "nothing": no readings.
    """

    row: OwnRow
    follows: Follows
    values_cm: tuple[float, ...]
    left_out_cm: float = math.nan
    source_cm: tuple[float, ...] = ()  # the readings that stand on the rough page, if there is one


def mean_checks(table: OwnTable, copied: Copies | None) -> tuple[MeanCheck, ...]:
    """Check each row's mean; `copied` is None where there is no rough page."""
    of_row: dict[int, Copy] = {}
    for one in copied.sets if copied else ():
        of_row |= {row.number: one for row in one.rows}
    sources = {number: one.source.standing_cm for number, one in of_row.items()}
    return tuple(
        replace(_check(row, of_row.get(row.number)), source_cm=sources.get(row.number, ()))
        for row in table.rows
    )


def _check(row: OwnRow, copy: Copy | None) -> MeanCheck:
    struck = {entry.cell for entry in copy.struck} if copy else set()
    kept = tuple(e.value for e in row.readings if e.cell not in struck and not math.isnan(e.value))
    if not row.heights_cm:
        return MeanCheck(row, "nothing", kept)
    if row.mean is None or math.isnan(row.mean.value):
        return MeanCheck(row, "none", kept)
    right, also = [kept], [row.heights_cm]
    if copy and len(copy.rows) == 1:
        right.append(copy.source.standing_cm)
        also.append((*copy.source.standing_cm, *copy.source.struck_out_cm))
    if any(_is_mean(row.mean, values) for values in right):
        return MeanCheck(row, "yes", kept)
    if any(_is_mean(row.mean, values) for values in also):
        return MeanCheck(row, "struck kept", kept)
    outermost = _outermost(kept)
    rest = list(kept)
    if len(rest) > 2:
        rest.remove(outermost)
        if _is_mean(row.mean, tuple(rest)):
            return MeanCheck(row, "one left out", kept, outermost)
    return MeanCheck(row, "no", kept)


def _is_mean(mean: Entry, values: tuple[float, ...]) -> bool:
    if not values:
        return False
    return abs(mean.value - sum(values) / len(values)) <= mean.step / 2 + _DUST


def _outermost(values: tuple[float, ...]) -> float:
    if not values:
        return math.nan
    middle = sum(values) / len(values)
    return max(values, key=lambda value: abs(value - middle))


def justified_places(table: OwnTable, checks: tuple[MeanCheck, ...]) -> tuple[int, ...]:
    """The decimal places, in cm, that the means may be written to, fewest first."""
    written = {one.places for row in table.rows for one in row.readings} or {0}
    copied = tuple(check.values_cm for check in checks if check.values_cm)
    sources = tuple(check.source_cm for check in checks if check.source_cm)
    sets = {each for each in (copied, sources) if each}  # alike, unless something was miscopied
    errors = [spread(heights_table(each)).standard_uncertainty_m for each in sets]
    found = {mean_places(places, one) for places in written for one in errors}
    return tuple(sorted(written | found))
