"""The reheating demonstration: two procedures at one bench, drop by drop, truth included.

Both are carried out by the scripted student through the same actions as a person's, one after the
other, so each has luck of its own, and nothing of the physics stands here. What is shown at any
moment follows from how many drops have landed; students never see it, because the ball's true
temperature is part of it. At the end it says in plain words what happened, by the judgement that
every other page gives (`analysis.statistics.two_procedures`), also when the spread did not shrink.
All strips of readings are of one width, so that spreads compare by eye.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from typing import NamedTuple

import numpy as np

from analysis.quantity.units import (
    FloatArray,
    centimetres,
    counted,
    fixed,
    minutes,
    temperature_text,
)
from analysis.readings.sets import TOGETHER_C, RepeatTable
from analysis.refusal import Refused
from analysis.statistics.spread import spread
from analysis.statistics.two_procedures import (
    Answer,
    SpreadRatio,
    contrast,
    spread_ratio,
    steadier,
)
from physics.reading import Camera, Reader
from sim import actions as act
from sim.actions import NotPossible
from sim.passing import advance, ball_k
from sim.practical import states
from sim.procedure import Procedure
from sim.state import Setup, State
from sim.student import perform

NAMES = ("left to cool", "put back")
"""The two procedures, in the order of `Demonstration.sides`."""
CURVE_STEP_S = 5.0
"""How finely a wait is sampled for the curve of the ball's temperature."""


class Landing(NamedTuple):
    """One drop as it landed."""

    number: int
    """0 for the first of all."""
    row: int
    """Which of the planned temperatures it belongs to."""
    repeat: int
    """0 for the first at that temperature."""
    temperature_k: float
    """As planned: what the thermometer in the bath should show."""
    time_s: float
    """Of the release, since the practical began."""
    ball_k: float
    """The ball's true temperature at the release."""
    height_m: float
    """As read."""


@dataclass(frozen=True, eq=False)
class Side:
    """One procedure carried out: its drops, and the ball's true temperature all along.

    `warmth` gives that temperature as points (s, K), once the curve is asked for.
    """

    name: str
    landings: tuple[Landing, ...]
    warmth: Callable[[], Iterable[tuple[float, float]]]

    @cached_property
    def _curve(self) -> tuple[FloatArray, FloatArray]:
        times_s, temperatures_k = (np.array(c) for c in zip(*self.warmth(), strict=True))
        return times_s, temperatures_k

    @property
    def curve_s(self) -> FloatArray:
        """The times of the curve."""
        return self._curve[0]

    @property
    def curve_k(self) -> FloatArray:
        """The ball's true temperatures at those times."""
        return self._curve[1]

    def ball_k_at(self, time_s: float) -> float:
        """The ball's true temperature at a time since the practical began."""
        return float(np.interp(time_s, self.curve_s, self.curve_k))

    def clock_s(self, progress: float) -> float:
        """The time at which so many drops have landed; fractions lie between two releases."""
        releases = [0.0, *(landing.time_s for landing in self.landings)]
        return float(np.interp(progress, np.arange(len(releases)), releases))

    def trace(self, until_s: float) -> tuple[FloatArray, FloatArray]:
        """The curve up to a time: times and temperatures, its end included."""
        past = self.curve_s < until_s
        return (
            np.append(self.curve_s[past], until_s),
            np.append(self.curve_k[past], self.ball_k_at(until_s)),
        )


class ReadingsSoFar(NamedTuple):
    """What the readings say when some drops have landed. Pairs follow `Demonstration.sides`."""

    drops: tuple[int, int]
    """How many have landed of each side."""
    heights_m: tuple[FloatArray, FloatArray]
    """Shape (temperatures, repeats), NaN for what has not landed."""
    half_range_m: tuple[FloatArray, FloatArray]
    """Half-range of each set, NaN below two readings."""
    mean_half_range_m: tuple[float, float]
    """Over the sets that have one; NaN before the second drop."""
    spreads: SpreadRatio
    """Pooled standard deviation put back over left to cool."""


class LaidOver(NamedTuple):
    """A class's own readings, one array for each temperature of a demonstration, or None."""

    heights_m: tuple[FloatArray | None, ...]

    @property
    def half_range_m(self) -> float:
        """The mean half-range of the sets that have one; NaN without any."""
        known = [each for each in self.heights_m if each is not None and each.size > 1]
        return float(np.mean([np.ptp(each) / 2.0 for each in known])) if known else float("nan")


@dataclass(frozen=True, eq=False)
class Demonstration:
    """The two procedures, shown one after the other: all drops of the first, then of the second.

    `own` are readings of a class, laid over: for each temperature an array, or None.
    """

    procedure: Procedure
    room_k: float
    sides: tuple[Side, Side]
    own: LaidOver | None = None

    @property
    def temperatures_k(self) -> tuple[float, ...]:
        """The planned temperatures of the water."""
        return self.procedure.temperatures_k

    @property
    def repeats(self) -> int:
        """Drops at each temperature."""
        return self.procedure.repeats

    @property
    def observer(self) -> Reader | Camera:
        """Who reads."""
        return self.procedure.observer

    @property
    def drops(self) -> int:
        """How many drops each side has."""
        return len(self.temperatures_k) * self.repeats

    @property
    def length(self) -> int:
        """How many drops there are of both sides together."""
        return 2 * self.drops

    def progress_of(self, side: int, progress: float) -> float:
        """How many drops of one side have landed, fractions on the way to its next one."""
        return min(max(progress - side * self.drops, 0.0), float(self.drops))

    @property
    def resolution_m(self) -> float:
        """The graduation that the readings were rounded to."""
        return self.observer.graduation_m

    def standing(self, progress: float) -> ReadingsSoFar:
        """What the readings say so far."""
        left, back = (int(self.progress_of(side, progress)) for side in (0, 1))
        return _standing(self, left, back)

    @cached_property
    def judged(self) -> Answer:
        """Whose repeats agree better when all drops have landed: "b" is the ball put back."""
        left, back = (
            RepeatTable(np.array(self.temperatures_k), heights_m)
            for heights_m in self.standing(self.length).heights_m
        )
        return steadier(contrast(left, back, self.resolution_m))

    def swing_k(self, side: int) -> FloatArray:
        """How far the true temperature of a side's releases goes apart within each set, (T,)."""
        landed_k = np.array([landing.ball_k for landing in self.sides[side].landings])
        sets_k = landed_k.reshape(len(self.temperatures_k), self.repeats)
        swings_k: FloatArray = np.ptp(sets_k, axis=1)
        return swings_k


def demonstration(setup: Setup, procedure: Procedure) -> Demonstration:
    """Carry out a procedure twice at one bench: the ball left to cool, then put back.

    Args:
        setup: the bench, with its ball and its thermometer.
        procedure: the plan; whether it reheats does not matter.

    Raises:
        NotPossible: a temperature stands twice in the plan, or the bench cannot do it.

    """
    if len(set(procedure.temperatures_k)) < len(procedure.temperatures_k):
        raise NotPossible("The demonstration takes each temperature once.")
    left, back = (
        _side(setup, way, name) for way, name in zip(both_ways(procedure), NAMES, strict=True)
    )
    return Demonstration(procedure, setup.room_k, (left, back))


class Way(NamedTuple):
    """One of the two procedures, and the number that its drops are counted from."""

    procedure: Procedure
    first_drop: int


def both_ways(procedure: Procedure) -> tuple[Way, Way]:
    """The ball left to cool, then put back: the drops of the second follow those of the first."""
    drops = len(procedure.temperatures_k) * procedure.repeats
    return Way(replace(procedure, reheat=False), 0), Way(replace(procedure, reheat=True), drops)


def _side(setup: Setup, way: Way, name: str) -> Side:
    done = perform(setup, way.procedure, first_drop=way.first_drop)
    landings = tuple(
        Landing(
            number,
            *divmod(number, way.procedure.repeats),
            line.temperature_k,
            line.drop.time_s,
            line.drop.ball_k,
            line.height_m,
        )
        for number, line in enumerate(done.end.rough)
    )
    return Side(name, landings, lambda: _curve(setup, done.actions, way.first_drop))


def _curve(
    setup: Setup, actions: tuple[act.Action, ...], first_drop: int
) -> Iterator[tuple[float, float]]:
    """The ball's temperature after every action, and on the way where one takes long."""
    through = states(setup, actions, first_drop)
    before = next(through)
    yield before.time_s, ball_k(before)
    for action, after in zip(actions, through, strict=True):
        if isinstance(action, act.Wait):
            yield from _on_the_way(before, action.time_s)
        if after.time_s > before.time_s:
            yield after.time_s, ball_k(after)
        before = after


def _on_the_way(state: State, time_s: float) -> Iterator[tuple[float, float]]:
    for passed_s in np.arange(CURVE_STEP_S, time_s, CURVE_STEP_S):
        then = advance(state, float(passed_s))
        yield then.time_s, ball_k(then)


@lru_cache(maxsize=256)
def _standing(shown: Demonstration, *drops: int) -> ReadingsSoFar:
    heights, half_ranges = [], []
    for side, n in zip(shown.sides, drops, strict=True):
        flat = np.full(shown.drops, np.nan)
        flat[:n] = [landing.height_m for landing in side.landings[:n]]
        sets = flat.reshape(len(shown.temperatures_k), shown.repeats)
        heights.append(sets)
        half_ranges.append(spread(sets).half_range_m if n else np.full(len(sets), np.nan))
    left, back = heights
    return ReadingsSoFar(
        drops=(drops[0], drops[1]),
        heights_m=(left, back),
        half_range_m=(half_ranges[0], half_ranges[1]),
        mean_half_range_m=(_mean(half_ranges[0]), _mean(half_ranges[1])),
        spreads=spread_ratio(left, back, shown.resolution_m),
    )


def _mean(values: FloatArray) -> float:
    told = values[~np.isnan(values)]
    return float(told.mean()) if told.size else float("nan")


def laid_over(shown: Demonstration, table: RepeatTable, source: str) -> Demonstration:
    """A demonstration with a class's own readings laid over, at the temperatures they share.

    Raises Refused, naming their source, where they share none.
    """
    found: list[FloatArray | None] = []
    for temperature_k in shown.temperatures_k:
        away_k = np.abs(table.temperatures_k - temperature_k)
        row = table.heights_m[int(np.argmin(away_k))]
        found.append(row[~np.isnan(row)] if away_k.min() <= TOGETHER_C else None)
    if all(each is None for each in found):
        planned = ", ".join(temperature_text(each) for each in shown.temperatures_k)
        raise Refused(
            f"{source} has no readings at {planned}, which are shown",
            mend="choose the temperatures with --temperatures-c",
        )
    return replace(shown, own=LaidOver(tuple(found)))


STILL_K = 0.5
"""A ball that stays within half a degree is taken as one that did not change."""


def plain_sentence(shown: Demonstration) -> str:
    """What happened and why, once all drops have landed; it takes the truth into account."""
    left_k, back_k = (float(shown.swing_k(side).max()) for side in (0, 1))
    row = int(np.argmax(shown.swing_k(0)))
    at = temperature_text(shown.temperatures_k[row])
    if shown.repeats < 2:
        return "One drop at each temperature has no spread: take repeats to see what cooling does."
    if left_k < STILL_K:
        return (
            "The ball was as warm as the room, so it could not cool: putting it back cannot make "
            "the repeats agree better here. What spread there is comes from the hand and the eye."
        )
    kept = (
        f"Left to cool, the ball's temperature changed by up to {fixed(left_k, 1)} °C within a set "
        f"(at {at}); put back, by up to {fixed(back_k, 1)} °C."
    )
    if back_k >= left_k:
        return f"{kept} It was not in the water for long enough and was still changing there."
    took = f"It takes {minutes_text(shown, 0)} left to cool, {minutes_text(shown, 1)} put back."
    return f"{kept} {_seen(shown)} {took}"


def _seen(shown: Demonstration) -> str:
    """Whether the readings show it."""
    left_cm, back_cm = (
        fixed(float(centimetres(each)), 2)
        for each in shown.standing(shown.length).mean_half_range_m
    )
    sizes = f"half-range ± {back_cm} cm put back, ± {left_cm} cm left to cool"
    answer = shown.judged
    if answer == "b":
        return f"The readings show it: with the ball put back the repeats agree better ({sizes})."
    if answer == "a":
        return (
            f"And yet the repeats agreed less well with the ball put back ({sizes}): by the hand, "
            "the eye or luck."
        )
    return (
        f"The readings do not settle it ({sizes}): the hand and the eye scatter them too much, or "
        "there are too few of them."
    )


LEAST_WIDTH_CM = 3.0


def window_cm(shown: Demonstration) -> float:
    """How many centimetres every strip shows: the widest row's readings, and room."""
    heights_m = np.stack(shown.standing(shown.length).heights_m)
    widest = float(np.ptp(centimetres(heights_m), axis=(0, 2)).max())
    for row in range(len(shown.temperatures_k)):
        own_cm = own_about_cm(shown, row, 0.0)
        widest = max(widest, 2.0 * float(np.abs(own_cm).max(initial=0.0)))
    return max(LEAST_WIDTH_CM, math.ceil(widest + 0.8))


def own_about_cm(shown: Demonstration, row: int, middle_cm: float) -> FloatArray:
    """The class's own readings of one row, moved so that their mean lies at the middle.

    Another ball bounces to another height; what is to be compared is how far readings scatter.
    """
    own_m = shown.own.heights_m[row] if shown.own else None
    if own_m is None:
        return np.empty(0)
    moved: FloatArray = centimetres(own_m - own_m.mean()) + middle_cm
    return moved


def minutes_text(shown: Demonstration, side: int) -> str:
    """How long one procedure takes, to its last drop."""
    return counted(round(minutes(shown.sides[side].landings[-1].time_s)), "minute")


def centres_cm(shown: Demonstration) -> list[float]:
    """The middle of each row's strips: halfway between the outermost readings of both."""
    heights_cm = centimetres(np.stack(shown.standing(shown.length).heights_m))
    low, high = heights_cm.min(axis=(0, 2)), heights_cm.max(axis=(0, 2))
    return [float(each) for each in (low + high) / 2.0]


def lifts(values: FloatArray) -> FloatArray:
    """Equal readings stand on one another: how many lie below each, in the order they came."""
    return np.array(
        [float(np.isclose(values[:place], value).sum()) for place, value in enumerate(values)]
    )
