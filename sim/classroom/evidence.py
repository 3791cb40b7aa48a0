"""Whether a work is a student's own: what its record says of how it came about, and its doubles.

A practical that a student carried out has waits and placings with many decimals, which no other
practical has in the same order; and readings that lie near where the ball truly rose.

Pairs of students whose work agrees more than chance allows are for the teacher to look at. Three
signs, each enough by itself:
- a run of exact acts (waits and placings with many decimals) stands in both records;
- the readings of one follow the other's more closely than the own drops: a test by likelihood, in
  `sim.classroom.own_drops`;
- where the true heights are not known of both, as in records of an earlier model: the readings
  agree, drop for drop, more often than those of two students would.

The last is a test too. Let k of n readings at the same temperature and repeat be the same to the
last digit. Two students' readings at one place agree with the share that the class shows there,
or 0.35 where that is less (two like balls read to 1 cm agree so often). For trials of differing
chances the tail of k or more is no larger than the binomial tail at their mean, when k exceeds
the mean count by one (W. Hoeffding, "On the distribution of the number of successes in
independent trials", Annals of Mathematical Statistics 27, 1956; from memory). A pair is named
when that tail, times the number of pairs in the class, is below 1e-4. Of pupils who all read a film
by themselves, to whole centimetres, it would name some in most classes, so it is left at that.

It says that two works agree, not why: students who shared a bench, or were told to pool, look the
same. Fewer than about a dozen readings can never be enough.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np
from scipy.special import bdtrc

from analysis.marking.work import RoughLine, Work, sets_of_lines
from analysis.quantity.units import centimetres
from analysis.readings.sets import Repeats
from physics.reading import View, seen_height_m
from sim import actions as act
from sim.classroom.doubts import as_called_out

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from numpy.typing import NDArray

    from sim.record.replay import Record
    from sim.state import RoughReading

RUN = 6
"""Exact acts in a row that make a print; a set of five drops has about ten."""
LEAST_DIFFERENT = 4
"""Different values among them: an idle bench waits the same whole time again and again."""
_EXACT = (act.Wait, act.Hold, act.SetEyeLevel, act.PourAway, act.AddHotWater, act.AddColdWater)


MOST_FALSE = 1e-4
"""Expected number of pairs named in a class in which nobody copied, at most."""
LEAST_SHARE, MOST_SHARE = 0.35, 0.9
SHARE_FROM = 6
"""Students at one place from which the class's own share is trusted; below it is half."""
FEW_STUDENTS_SHARE = 0.5
MOST_PAIRED = 8
ROWS_AT_ONCE = 256
"""Students held against all others at once, so that memory stays small."""
NO_READING = -1
HIGHEST_CM = 1000.0
"""No rule is so long: what is written beyond it is compared as this."""


class DropSeen(NamedTuple):
    """What there was to be read of a drop, in cm, and how."""

    apex_cm: float
    parallax_cm: float
    """How much higher than it was the ball was seen from the eye's level."""
    ball_cm: float
    by: Literal["eye", "film", "aid"]
    """By the pupil's own eye, from the bounce or its film; or as the program called it out."""


SetPlace = tuple[float, int]
"""Where a reading stands among a student's: the temperature of its set in °C, and its repeat."""


@dataclass(frozen=True)
class Evidence:
    """What the checks and the search for copies go by: the readings that stand, and more.

    `misfit_cm` is the root mean square of the readings from the true heights; NaN without any.
    `seen` has what there was to be read, for each of the readings; empty where that is not known.
    """

    readings: tuple[RoughLine, ...] = ()
    prints: frozenset[int] = frozenset()
    misfit_cm: float = math.nan
    seen: tuple[DropSeen, ...] = ()

    @cached_property
    def sets(self) -> tuple[Repeats, ...]:
        """The readings by their places here, those of one temperature together."""
        return sets_of_lines(self.readings)

    @cached_property
    def repeats(self) -> tuple[int, ...]:
        """Which repeat of its set each reading is, counted from 1."""
        number_of = {
            at: number for one in self.sets for number, at in enumerate(one.standing, start=1)
        }
        return tuple(number_of[at] for at in range(len(self.readings)))

    @cached_property
    def places(self) -> Mapping[SetPlace, int]:
        """Which reading stands at a temperature, to the nearest degree, and repeat of its set."""
        return {
            (float(round(one.temperature_c)), self.repeats[at]): at
            for one in self.sets
            for at in one.standing
        }


def evidence_of(record: Record, work: Work) -> Evidence:
    """The evidence of a record, and of the work that stands in it."""
    standing = [line for line in record.end.rough if line.struck_out is None and record.true_then]
    off = [float(centimetres(line.height_m - line.drop.apex_m)) for line in standing]
    return Evidence(
        tuple(one for one in work.rough or () if not one.struck_out),
        _prints(record.actions),
        math.sqrt(sum(one * one for one in off) / len(off)) if off else math.nan,
        tuple(_seen(line, record.end.ball.diameter_m) for line in standing),
    )


def _seen(line: RoughReading, ball_m: float) -> DropSeen:
    drop = line.drop
    view = View(drop.eye_height_m)
    where_m = seen_height_m(drop.apex_m, drop.eye_height_m, view.eye_distance_m, view.standoff_m)
    return DropSeen(
        float(centimetres(drop.apex_m)),
        float(centimetres(where_m - drop.apex_m)),
        float(centimetres(ball_m)),
        "aid" if as_called_out(line) else "film" if drop.filmed else "eye",
    )


def _prints(actions: Iterable[act.Action]) -> frozenset[int]:
    """Hashes of each run of exact acts. Python hashes numbers alike in every process."""
    exact = [value for action in actions if (value := _exact_value(action)) is not None]
    runs = (tuple(exact[start : start + RUN]) for start in range(len(exact) - RUN + 1))
    return frozenset(hash(run) for run in runs if len(set(run)) >= LEAST_DIFFERENT)


def _exact_value(action: act.Action) -> float | None:
    """The number of an act if it has more than four decimals, which nobody sets by intent."""
    if not isinstance(action, _EXACT):
        return None
    value = float(getattr(action, action.__struct_fields__[0]))
    ten_thousandths = value * 1e4
    return value if abs(ten_thousandths - round(ten_thousandths)) > 1e-5 else None


@dataclass(frozen=True)
class Alike:
    """Two students whose work agrees, and the sentence that says in what."""

    first: int
    second: int
    why: str


def alike(
    evidence: Mapping[int, Evidence], followed: Mapping[tuple[int, int], tuple[int, int, int]]
) -> tuple[Alike, ...]:
    """The pairs of a class to look at, by the students' numbers.

    `followed` are those of whom one's readings follow the other's more closely than the own drops:
    how many are the same, how many lie within 1 cm, and of how many.
    """
    found: dict[tuple[int, int], list[str]] = defaultdict(list)
    for pair, runs in _same_acts(evidence).items():
        found[pair].append(
            f"{runs} stretches of the work have the same waits and placings to the last decimal"
        )
    for pair, (same, of) in _same_readings(evidence).items():
        found[pair].append(f"{same} of {of} readings are the same, drop for drop")
    for pair, (same, near, of) in followed.items():
        others = f", and {near - same} within 1 cm" if near > same else ""
        found[pair].append(
            f"{same} of {of} readings are the same, drop for drop{others}: more alike than the own "
            "drops explain"
        )
    return tuple(
        Alike(*pair, f"{'; '.join(reasons)}.{_fits(pair, evidence)}")
        for pair, reasons in sorted(found.items())
    )


def _fits(pair: tuple[int, int], evidence: Mapping[int, Evidence]) -> str:
    """How far each one's readings lie from that one's own drops: whose they are may show."""
    near, far = sorted(pair, key=lambda number: evidence[number].misfit_cm)
    if not evidence[far].misfit_cm > 1.5 * evidence[near].misfit_cm:
        return ""
    return (
        f" The readings lie {evidence[near].misfit_cm:.1f} cm from the true heights of practical "
        f"{near}'s own drops and {evidence[far].misfit_cm:.1f} cm from those of practical {far}."
    )


def _same_acts(evidence: Mapping[int, Evidence]) -> Counter[tuple[int, int]]:
    holders: dict[int, list[int]] = defaultdict(list)
    for number in sorted(evidence):
        for one in evidence[number].prints:
            holders[one].append(number)
    return Counter(pair for numbers in holders.values() for pair in _paired(numbers))


def _paired(numbers: list[int]) -> Iterable[tuple[int, int]]:
    """All pairs of a few; of many, each with the first."""
    if len(numbers) <= MOST_PAIRED:
        return combinations(numbers, 2)
    return ((numbers[0], number) for number in numbers[1:])


def _same_readings(evidence: Mapping[int, Evidence]) -> dict[tuple[int, int], tuple[int, int]]:
    numbers = [number for number in sorted(evidence) if evidence[number].readings]
    known = np.array([bool(evidence[number].seen) for number in numbers])
    if len(numbers) < 2 or known.all():
        return {}
    codes, _ = coded([evidence[number] for number in numbers])
    shares = [_share(column) for column in codes.T]
    most = MOST_FALSE / (len(numbers) * (len(numbers) - 1) / 2)
    found = {}
    for start in range(0, len(numbers), ROWS_AT_ONCE):
        same, both, chance = _agreement(codes[start : start + ROWS_AT_ONCE], codes, shares)
        later = np.arange(len(numbers)) > np.arange(start, start + len(same))[:, None]
        asked = later & ~(known[start : start + len(same), None] & known)
        # The tail of k of n is no less than that of k of k: few pairs need it worked out.
        rows, columns = np.nonzero((LEAST_SHARE**same < most) & asked)
        these = rows, columns
        named = _tails(same[these], both[these], chance[these]) < most
        for row, column in zip(rows[named], columns[named], strict=True):
            pair = numbers[start + row], numbers[column]
            found[pair] = int(same[row, column]), int(both[row, column])
    return found


def coded(
    students: Sequence[Evidence],
) -> tuple[NDArray[np.int64], tuple[Mapping[int, int], ...]]:
    """Heights as whole numbers of 0.001 cm, (students, places); NO_READING where there is none.

    With them for each student the column of each reading.
    """
    places = sorted({place for one in students for place in one.places})
    codes = np.full((len(students), len(places)), NO_READING, dtype=np.int64)
    number_of = {place: column for column, place in enumerate(places)}
    columns = []
    for row, one in enumerate(students):
        column_of = {at: number_of[place] for place, at in one.places.items()}
        for at, column in column_of.items():
            reading = one.readings[at]
            height_cm = round(reading.height_cm, reading.decimal_places)
            codes[row, column] = round(min(max(height_cm, -HIGHEST_CM), HIGHEST_CM) * 1000)
        columns.append(column_of)
    return codes, tuple(columns)


def _agreement(
    some: NDArray[np.int64], everyone: NDArray[np.int64], shares: Sequence[float]
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]:
    """For each pair: readings that agree, readings that both have, sum of their chances."""
    same, both = np.zeros((2, len(some), len(everyone)), dtype=np.int64)
    chance = np.zeros(same.shape)
    for ours, theirs, share in zip(some.T, everyone.T, shares, strict=True):
        here = (ours != NO_READING)[:, None] & (theirs != NO_READING)
        same += here & (ours[:, None] == theirs)
        both += here
        chance += here * share
    return same, both, chance


def _share(column: NDArray[np.int64]) -> float:
    """The chance that two students agree at a place, as the class shows it there."""
    _, counts = np.unique(column[column != NO_READING], return_counts=True)
    students = int(counts.sum())
    if students < SHARE_FROM:
        return FEW_STUDENTS_SHARE
    share = float((counts * (counts - 1)).sum()) / (students * (students - 1))
    return min(max(share, LEAST_SHARE), MOST_SHARE)


def _tails(
    same: NDArray[np.int64], both: NDArray[np.int64], chance: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Chance of so many agreements or more, by Hoeffding's bound; 1 where it does not hold."""
    n = np.maximum(both, 1)
    holds = same >= chance + 1.0
    tails = bdtrc(np.maximum(same - 1, 0).astype(float), n, np.clip(chance / n, 0.0, 1.0))
    return np.where(holds, tails, 1.0)
