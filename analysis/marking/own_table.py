"""The student's own results table: as it stands, beside the rough page, and its means.

Numbers are taken to °C and cm whatever the headings' units. Nothing is corrected: a reading that
was copied wrongly stays wrong here, and everything later is marked against it.

Copying: a row belongs to the set whose noted temperatures it lies among (or within 1 °C of),
nearest first. Rows and sets left over are paired where at least half of the readings agree: then
only the temperature was copied wrongly.

Rule of a mean's value: it follows when it differs from the exact one by no more than half a unit
of its own last place. It may be worked from the row as written, or from the rough page where a
reading was miscopied (the slip has cost its mark already); a struck-out reading is left out, one
that is marked as doubtful in its cell may be.
Rule of its places: those of the readings, or one more; all the means alike. Both are taught
(common practice, no source). Readings written to uneven places allow what any of them would.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

import numpy as np

from analysis.marking.reading_sets import ReadingSet
from analysis.marking.work import Cell, Work
from analysis.quantity.headings import OwnHeading, Role, own_heading
from analysis.quantity.units import (
    KIND_OF,
    metres,
    places_in_cm,
    restated,
    school_unit,
    unit_named,
)
from analysis.quantity.written import number
from analysis.readings.sets import heights_table, nearest_set
from analysis.statistics.spread import SetSpread, set_spread

LARGEST = 1e6
"""No reading in any unit is larger; what is, is no reading."""

_MARKED = re.compile(
    r"[(\[]?\s*([^()\[\]*?!:]+?)\s*[)\]]?"
    r"(\s*(?:[*?!]+|[-–—:,]?\s*[(\[]?\s*(?:an?\s+)?(?:anomal|outlier|ignore|odd|wrong|x\b)[^0-9]*))?",
    re.IGNORECASE,
)
"""A reading in brackets, or with a star or a word such as "anomaly" behind it, is marked as
doubtful; it is still that number."""


class Entry(NamedTuple):
    """One number in a cell, in °C or cm; `value` is NaN where no number can be read.

    `places` are decimal places as written, in cm for a height. `step` is one unit of the last
    place, in °C or cm. `has_unit`: the unit stands in the cell. `doubtful`: it is marked as such.
    """

    cell: Cell
    text: str
    value: float
    places: int = 0
    step: float = 1.0
    has_unit: bool = False
    doubtful: bool = False


@dataclass(frozen=True)
class OwnColumn:
    """One column with its heading; `index` counts from 0 as in `Work.cells`."""

    index: int
    heading: OwnHeading


@dataclass(frozen=True)
class OwnRow:
    """One row below the headings; `number` is its place in the grid, the headings being 0."""

    number: int
    temperature: Entry | None
    readings: tuple[Entry, ...]
    mean: Entry | None

    @property
    def temperature_c(self) -> float:
        """The row's temperature; NaN where none can be read."""
        return self.temperature.value if self.temperature else math.nan

    @property
    def heights_cm(self) -> tuple[float, ...]:
        """The readings that are numbers."""
        return tuple(one.value for one in self.readings if not math.isnan(one.value))

    @property
    def mean_cm(self) -> float:
        """The mean as written; that of the readings where none is written; else NaN."""
        if self.mean and not math.isnan(self.mean.value):
            return self.mean.value
        return float(np.mean(self.heights_cm)) if self.heights_cm else math.nan


@dataclass(frozen=True)
class OwnTable:
    """Columns from left to right and rows from top to bottom; only those that hold something."""

    columns: tuple[OwnColumn, ...]
    rows: tuple[OwnRow, ...]

    def having(self, *roles: str) -> tuple[OwnColumn, ...]:
        """The columns that hold temperatures, heights or means."""
        return tuple(one for one in self.columns if one.heading.role in roles)

    @property
    def places(self) -> int:
        """The most decimal places, in cm, that a reading is written to."""
        return max((one.places for row in self.rows for one in row.readings), default=0)

    @property
    def entries(self) -> tuple[Entry, ...]:
        """Every filled cell below the headings that holds a quantity."""
        found: list[Entry] = []
        for row in self.rows:
            found += [one for one in (row.temperature, *row.readings, row.mean) if one]
        return tuple(found)


def own_table(work: Work) -> OwnTable:
    """Read the table; a column whose heading does not tell is taken by its place.

    The first column then holds temperatures, the last the means (if two or more lie between),
    and a blank heading right of a height's goes on with that height.
    """
    filled = {cell: text.strip() for cell, text in work.cells.items() if text.strip()}
    columns = _columns(filled)
    rows = [
        _row(number_, columns, filled) for number_ in sorted({row for row, _ in filled if row > 0})
    ]
    kept = [row for row in rows if row.temperature or row.readings or row.mean]
    if kept and _only_counts(kept[0]):
        kept = kept[1:]
    return OwnTable(columns, tuple(kept))


def _columns(filled: Mapping[Cell, str]) -> tuple[OwnColumn, ...]:
    places = sorted({column for _, column in filled})
    read = {place: own_heading(filled.get((0, place), "")) for place in places}
    headings: list[OwnHeading] = []
    for place in places:
        headings.append(_placed(place, places, read, headings))
    return tuple(OwnColumn(*pair) for pair in zip(places, headings, strict=True))


def _placed(
    place: int, places: list[int], read: Mapping[int, OwnHeading], before: list[OwnHeading]
) -> OwnHeading:
    heading = read[place]
    roles = {one.role for one in read.values()}
    if heading.role:
        return heading
    if place == places[0] and "temperature" not in roles:
        return _as(heading, "temperature")
    if not heading.text and before and before[-1].role == "height":
        last_of_many = place == places[-1] and "mean" not in roles and len(places) > 3
        return _as(heading, "mean") if last_of_many else before[-1]
    if place == places[-1] and "mean" not in roles and len(places) > 3:
        return _as(heading, "mean")
    return _as(heading, "other" if heading.text and not heading.unit_text else "height")


def _as(heading: OwnHeading, role: Role) -> OwnHeading:
    given = unit_named(heading.unit_text) if heading.unit_text else None
    kind = "temperature" if role == "temperature" else "length"
    unit = given if given and KIND_OF[given] == kind else None
    return replace(heading, role=role, unit=unit, by_place=True)


def _row(number_: int, columns: tuple[OwnColumn, ...], filled: Mapping[Cell, str]) -> OwnRow:
    by_role: dict[str, list[Entry]] = {"temperature": [], "height": [], "mean": [], "other": []}
    for column in columns:
        text = filled.get((number_, column.index), "")
        entry = _entry((number_, column.index), text, column.heading.school_unit)
        if entry:
            by_role[column.heading.role].append(entry)
    first = {role: (found[0] if found else None) for role, found in by_role.items()}
    return OwnRow(number_, first["temperature"], tuple(by_role["height"]), first["mean"])


def _entry(cell: Cell, text: str, unit: str) -> Entry | None:
    """Read a cell; None where no reading is meant (a blank or a dash)."""
    if not text or not unit:
        return None
    marked = _MARKED.fullmatch(text)
    bare = marked[1] if marked else text
    doubtful = bare != text
    found = number(bare, unit, of_kind=True)
    unit = found.unit or unit
    if math.isnan(found.value) or abs(found.value) > LARGEST:
        return None if math.isnan(found.value) and not found.fault else Entry(cell, text, math.nan)
    if KIND_OF[unit] == "temperature":
        step, places = 10.0**-found.decimals, found.decimals
    else:
        step = to_school(10.0**-found.decimals, unit)
        places = places_in_cm(found.decimals, unit)
    value = to_school(found.value, unit)
    return Entry(cell, text, value, places, step, found.unit is not None, doubtful)


def to_school(value: float, unit: str) -> float:
    """A length in cm, a temperature in °C, of a value in some unit."""
    return round(restated(value, unit, school_unit(KIND_OF[unit])), 9)


def _only_counts(row: OwnRow) -> bool:
    """A second line of headings, 1 2 3 ..., under one heading for all the repeats."""
    counts = [float(n + 1) for n in range(len(row.readings))]
    return not row.temperature and not row.mean and list(row.heights_cm) == counts != []


def table_sets(table: OwnTable) -> tuple[ReadingSet, ...]:
    """The sets of a table, its rows, coolest first: what stands for a rough page on paper.

    A reading that is marked as doubtful counts as struck out, unless all of them are.
    """
    together: dict[float, list[Entry]] = {}
    for row in table.rows:
        if not math.isnan(row.temperature_c):
            read = [one for one in row.readings if not math.isnan(one.value)]
            together[row.temperature_c] = together.get(row.temperature_c, []) + read
    return tuple(_table_set(t, together[t]) for t in sorted(together))


def _table_set(temperature_c: float, entries: list[Entry]) -> ReadingSet:
    standing = _undoubted(entries)
    struck_out = _values([one for one in entries if one not in standing])
    return ReadingSet(*(temperature_c,) * 3, _values(standing), struck_out)


def _undoubted(entries: list[Entry]) -> list[Entry]:
    """The entries that are not marked as doubtful; all of them where each one is."""
    return [one for one in entries if not one.doubtful] or entries


def _values(entries: list[Entry]) -> tuple[float, ...]:
    return tuple(one.value for one in entries)


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


def mean_checks(table: OwnTable, copied: Copies | None) -> tuple[MeanCheck, ...]:
    """Check each row's mean; `copied` is None where there is no rough page."""
    of_row: dict[int, Copy] = {}
    for one in copied.sets if copied else ():
        of_row |= {row.number: one for row in one.rows}
    return tuple(_check(row, of_row.get(row.number)) for row in table.rows)


def _check(row: OwnRow, copy: Copy | None) -> MeanCheck:
    struck = {entry.cell for entry in copy.struck} if copy else set()
    entries = [e for e in row.readings if e.cell not in struck and not math.isnan(e.value)]
    kept, undoubted = _values(entries), _values(_undoubted(entries))
    if not row.heights_cm:
        return MeanCheck(row, "nothing", kept)
    if row.mean is None or math.isnan(row.mean.value):
        return MeanCheck(row, "none", kept)
    right, also = [kept], [row.heights_cm]
    if copy and len(copy.rows) == 1:
        right.append(copy.source.standing_cm)
        also.append((*copy.source.standing_cm, *copy.source.struck_out_cm))
    ways: list[tuple[Follows, list[tuple[float, ...]], tuple[float, ...]]] = [
        ("yes", right, kept),
        ("yes", [undoubted], undoubted),
        ("struck kept", also, kept),
    ]
    for follows, sets, used in ways:
        if any(_is_mean(row.mean, values) for values in sets):
            return MeanCheck(row, follows, used)
    return _one_left_out(row, row.mean, kept)


def _one_left_out(row: OwnRow, mean: Entry, kept: tuple[float, ...]) -> MeanCheck:
    outermost, rest = _outermost(kept), list(kept)
    if len(rest) > 2:
        rest.remove(outermost)
        if _is_mean(mean, tuple(rest)):
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


def school_spread(sets_cm: Sequence[tuple[float, ...]], places: int) -> SetSpread:
    """Spread of sets of heights in cm that were written to so many decimal places."""
    return set_spread(metres(heights_table(sets_cm)), metres(10.0**-places))


def allowed_places(table: OwnTable) -> tuple[int, ...]:
    """The decimal places, in cm, that the means may be written to, fewest first."""
    written = {one.places for row in table.rows for one in row.readings} or {0}
    return tuple(sorted(written | {places + 1 for places in written}))
