"""What the model says that a school should have read, for any loss ratio and cooling factor.

First the course of the drops of a readings file: how long the ball was where before each of them.
The ball's temperatures along it do not depend on its loss ratio, so they are worked out once, for a
row of cooling factors, and interpolated between. A thousand fits of one plan share them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple, cast

import numpy as np
from numpy.polynomial import chebyshev
from numpy.polynomial.polyutils import mapdomain

from analysis.quantity.units import kelvin
from analysis.readings.drops import DEFAULT_DROP_HEIGHT_M
from analysis.refusal import Refused
from physics.ball import LOSS_SLOPE_SD_PER_K, Ball
from physics.bath import Temperatures, change_time_s, soaked, standing
from physics.drop import bounce
from physics.heat import FILM_KG, Warmth, in_air, in_flight, towelled
from physics.number import FloatArray
from physics.reading import View, seen_height_m
from physics.wall import bounce_k, even_k
from sim.actions import Towel
from sim.calibration.ball_file import LEAST_LOSS_RATIO, MOST_LOSS_RATIO
from sim.calibration.taking import Taking
from sim.habits import FIRST_GUESS_M, SETTLE_S
from sim.state import MOVING_S

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

    from analysis.readings.readings import Readings

    Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Course:
    """The drops in the order they were made; arrays of shape (drops,).

    Attributes:
        water_k: the temperature written down for the drop.
        drop_height_m: where the ball's lowest point was held.
        begins: whether a new student begins here, with a ball as warm as the room.
        soaked: whether the ball came out of the water for this drop.
        air_s: time in air before the release: since the drying, or since the release before.
        idle_s: for a soaked ball, the time in air since the release before.
        soak: number of the soak that each drop lives on.
        row: number of the set (one temperature, student and procedure).
        rows: which rows of the readings' frame these are, in order.

    """

    water_k: FloatArray
    drop_height_m: FloatArray
    begins: Flags
    soaked: Flags
    air_s: FloatArray
    idle_s: FloatArray
    soak: NDArray[np.int64]
    row: NDArray[np.int64]
    rows: NDArray[np.int64]
    timed: bool
    """Whether the times come from the file."""

    @property
    def cooling(self) -> Flags:
        """Drops before which the ball was left to cool since the drop before."""
        return ~self.soaked


def course_of(readings: Readings, taking: Taking) -> Course:
    """Lay the drops of a file out in time.

    The first drop of a set comes out of the water; the later ones too where the ball was
    reheated. Raises Refused where the elapsed times run backwards within a set.
    """
    frame, rows = _in_time(readings.frame)
    begins = _changed(frame, ["student"])
    first = _changed(frame, ["student", "reheated", "temperature_k"])
    reheated = frame["reheated"].to_numpy() if "reheated" in frame else taking.reheated
    soaked = first | reheated
    since_s = _since_s(frame, readings.source, first)
    if since_s is None:
        air_s, idle_s = _usual_times_s(frame, taking, soaked, first)
    else:
        away_s = since_s - taking.soak_s - taking.drying_s - taking.handling_s
        air_s = np.where(soaked, taking.handling_s, since_s)
        idle_s = np.where(soaked, np.maximum(away_s, 0.0), 0.0)
    drop_m = frame["drop_height_m"].to_numpy() if "drop_height_m" in frame else None
    return Course(
        water_k=frame["temperature_k"].to_numpy(dtype=float),
        drop_height_m=np.full(len(frame), DEFAULT_DROP_HEIGHT_M) if drop_m is None else drop_m,
        begins=begins,
        soaked=soaked,
        air_s=air_s,
        idle_s=idle_s,
        soak=np.cumsum(soaked) - 1,
        row=np.cumsum(first) - 1,
        rows=rows,
        timed=since_s is not None,
    )


def _in_time(frame: pd.DataFrame) -> tuple[pd.DataFrame, NDArray[np.int64]]:
    """The frame in order of time, student by student, and where its rows stood."""
    rows = np.arange(len(frame))
    if "elapsed_time_s" not in frame or frame["elapsed_time_s"].isna().any():
        return frame.drop(columns="elapsed_time_s", errors="ignore"), rows
    keys = [frame["elapsed_time_s"].to_numpy()]
    apart = [name for name in ("reheated", "student") if name in frame]
    keys += [frame.groupby(name, sort=False).ngroup().to_numpy() for name in apart]
    rows = np.lexsort(keys)
    return frame.iloc[rows], rows


def _changed(frame: pd.DataFrame, names: list[str]) -> Flags:
    """Where any of the columns differs from the row before; the first row does."""
    changed = np.zeros(len(frame), dtype=bool)
    changed[0] = True
    for name in names:
        if name in frame:
            values = frame[name].to_numpy()
            changed[1:] |= values[1:] != values[:-1]
    return changed


def _since_s(frame: pd.DataFrame, source: str, first: Flags) -> FloatArray | None:
    """Time since the release before, from the elapsed times; None without them."""
    if "elapsed_time_s" not in frame:
        return None
    since_s = np.diff(frame["elapsed_time_s"].to_numpy(dtype=float), prepend=0.0)
    if (since_s[~first] <= 0.0).any():
        raise Refused(
            f"{source} has two drops of one set at the same elapsed time: write the time of "
            "each release, or delete that column."
        )
    return since_s


def _usual_times_s(
    frame: pd.DataFrame, taking: Taking, soaked: Flags, first: Flags
) -> tuple[FloatArray, FloatArray]:
    """Time in air before each release, and before each soak, where the file has no times."""
    # A repeat that is missing was dropped, too: only its reading was lost.
    missed = np.diff(frame["repeat"].to_numpy(dtype=float), prepend=0.0)
    since_s = taking.between_s * np.maximum(missed, 1.0)
    away_s = np.full(len(frame), taking.between_s)
    if taking.bath == "kept":  # the ball lies about while the bath goes to its next temperature
        water_k = frame["temperature_k"].to_numpy(dtype=float)
        waited_s = change_time_s(np.roll(water_k, 1), water_k) + SETTLE_S
        away_s += np.where(first, waited_s, 0.0)
    return np.where(soaked, taking.handling_s, since_s), np.where(soaked, away_s, 0.0)


class Parameter(NamedTuple):
    """One of the three that are fitted."""

    name: str
    """As ball files have it."""
    ends: tuple[float, float]
    """Between which it is tried."""
    step: float
    """Of a finite difference."""
    scale: float
    """A change that is small and can be seen: what a search measures its steps by."""


PARAMETERS = (
    Parameter(
        "ln loss_ratio_40",
        (float(np.log(LEAST_LOSS_RATIO)), float(np.log(MOST_LOSS_RATIO))),
        1e-4,
        0.01,
    ),
    # Cooling factors of 0.055 to 18, all that a ball may have.
    Parameter("ln cooling_factor", (-2.9, 2.9), 1e-4, 0.1),
    # All round the slopes of the published tables, 1/K.
    Parameter("loss_slope_per_k", (0.005, 0.04), 1e-6, LOSS_SLOPE_SD_PER_K),
)
"""A point, here and elsewhere, is these three in their order."""
LOSS, FACTOR, SLOPE = range(3)
ENDS = np.array([each.ends for each in PARAMETERS]).T
STEPS = np.array([each.step for each in PARAMETERS])
NODES = 59
"""Cooling factors worked out; between them their polynomial is right to 1e-4 K (tests)."""
STEP = 1e-4
"""Of a finite difference in the height of release, relative."""
SHIFT_K = 0.01
"""By which the water is shifted to see what a thermometer's error does."""


@dataclass(frozen=True)
class Model:
    """What is predicted for one course of drops.

    `ball` carries everything that is not fitted. The terms, (NODES, drops), are Chebyshev's for
    the ball's temperature at each release, and for how it moves with the thermometer.
    """

    course: Course
    taking: Taking
    ball: Ball
    terms_k: FloatArray
    terms_per_kelvin: FloatArray

    def at(self, ln_factor: FloatArray) -> FloatArray:
        """The ball's temperatures at the releases, (..., drops), for ln cooling factors, (...)."""
        return _along(self.terms_k, ln_factor)

    def apex_m(self, points: FloatArray) -> FloatArray:
        """True rebound heights, (..., drops), for points of shape (..., 3)."""
        return self.apex_at_m(points, self.at(points[..., FACTOR]))

    def apex_at_m(self, points: FloatArray, ball_k: FloatArray) -> FloatArray:
        """True rebound heights for ball temperatures that are given, (..., drops)."""
        ball = replace(
            self.ball,
            loss_ratio_40=np.exp(points[..., :1]),
            # One number everywhere else; the formula takes any shape.
            loss_slope_per_k=cast("float", points[..., 2:]),
        )
        apex = bounce(ball, self.taking.room_k, ball_k, self.course.drop_height_m).apex_m
        return np.asarray(apex)

    def gradients_m(self, point: FloatArray) -> FloatArray:
        """Heights' derivatives by the three of a point, (drops, 3)."""
        steps = np.concatenate([-np.diag(STEPS), np.diag(STEPS)])
        below, above = self.apex_m(point + steps).reshape(2, 3, -1)
        gradients: FloatArray = ((above - below) / (2.0 * STEPS[:, None])).T
        return gradients

    def temperature_slope_m_k(self, point: FloatArray) -> FloatArray:
        """How heights move with the thermometer's reading, m/K, (drops,)."""
        ball_k = self.at(point[FACTOR])
        moved_k = ball_k + SHIFT_K * _inwards(ball_k)
        there = self.apex_at_m(point, moved_k) - self.apex_at_m(point, ball_k)
        per_kelvin = _along(self.terms_per_kelvin, point[FACTOR])
        slope: FloatArray = there / (moved_k - ball_k) * per_kelvin
        return slope

    def height_slope(self, point: FloatArray) -> FloatArray:
        """How rebound heights move with the height of release, dimensionless, (drops,)."""
        course = self.course
        higher = replace(course, drop_height_m=course.drop_height_m * (1.0 + STEP))
        rise = replace(self, course=higher).apex_m(point) - self.apex_m(point)
        return rise / (course.drop_height_m * STEP)


def model_of(course: Course, taking: Taking, ball: Ball) -> Model:
    """The model for one course of drops.

    Raises:
        OutOfRange: for a room, a time or a temperature that the physics does not hold for.

    """
    nodes = chebyshev.chebpts1(NODES)
    factors = np.exp(mapdomain(nodes, chebyshev.chebdomain, PARAMETERS[FACTOR].ends))
    ball_k = temperatures_k(course, taking, ball, factors)
    shift_k = SHIFT_K * _inwards(course.water_k)
    moved = replace(course, water_k=course.water_k + shift_k)
    moved_k = temperatures_k(moved, taking, ball, factors)
    return Model(
        course,
        taking,
        ball,
        np.asarray(chebyshev.chebfit(nodes, ball_k, NODES - 1), dtype=float),
        np.asarray(chebyshev.chebfit(nodes, (moved_k - ball_k) / shift_k, NODES - 1), dtype=float),
    )


def _along(terms: FloatArray, ln_factor: FloatArray) -> FloatArray:
    """The sum of Chebyshev's terms, (NODES, drops), at ln cooling factors, (...): (..., drops)."""
    across = mapdomain(ln_factor, PARAMETERS[FACTOR].ends, chebyshev.chebdomain)
    values: FloatArray = np.moveaxis(np.asarray(chebyshev.chebval(across, terms)), 0, -1)
    return values


def eye_m(model: Model, heights_m: FloatArray) -> FloatArray:
    """Height of the eye at each drop: where it was fixed, or at the reading before."""
    fixed_m = model.taking.eye_height_m
    if fixed_m is not None:
        return np.full(heights_m.shape, fixed_m)
    before_m = np.concatenate([[FIRST_GUESS_M], heights_m[:-1]])
    return np.where(model.course.begins, FIRST_GUESS_M, before_m)


def seen_m(apex_m: FloatArray, eye_height_m: FloatArray) -> FloatArray:
    """Where on the rule apexes are seen: the parallax of the model's own bench."""
    view = View(eye_height_m)
    seen = seen_height_m(apex_m, eye_height_m, view.eye_distance_m, view.standoff_m)
    return np.asarray(seen)


def parallax_gain() -> float:
    """How much a height difference before the rule is drawn out on it: 1.05."""
    view = View(0.0)
    return float(seen_height_m(1.0, 0.0, view.eye_distance_m, view.standoff_m))


def temperatures_k(course: Course, taking: Taking, ball: Ball, factors: FloatArray) -> FloatArray:
    """The ball's temperature at each release, (factors, drops).

    Goes through the drops in order: idle, soak, drying, handling, flight, with the laws of
    `physics.heat` and `physics.bath`. Profiles have the shape (factors, NODES, 1).
    """
    room_k = taking.room_k
    # One number everywhere else; the formulas take a factor for each profile as well.
    balls = replace(ball, cooling_factor=cast("float", factors[:, None, None]))
    even: FloatArray = np.repeat(even_k(room_k)[None], factors.size, axis=0)
    warmth, out = Warmth(even, 0.0), np.empty((factors.size, course.water_k.size))
    for drop in range(course.water_k.size):
        left_s = float(course.air_s[drop])
        if course.begins[drop]:
            warmth = Warmth(even, 0.0)
        else:
            warmth = Warmth(in_flight(balls, room_k, warmth.profile_k, MOVING_S), 0.0)
        if course.soaked[drop]:
            idle_s = max(float(course.idle_s[drop]) - MOVING_S, 0.0)
            profile_k = in_air(balls, room_k, warmth, idle_s).profile_k
            profile_k = _out_of_the_water(course.water_k[drop], profile_k, balls, taking)
            warmth, left_s = _dried(profile_k, balls, taking, left_s)
        else:
            left_s = max(left_s - MOVING_S, 0.0)
        warmth = in_air(balls, room_k, warmth, left_s)
        out[:, drop] = bounce_k(balls, warmth.profile_k)[:, 0]
    return out


def _out_of_the_water(
    water_k: float, profile_k: FloatArray, balls: Ball, taking: Taking
) -> FloatArray:
    """The balls after a soak in a bath that is kept or water that stood a little and cools on."""
    kept, water_kg = taking.bath == "kept", taking.water_kg
    water = standing(taking.room_k, water_kg, water_k, water_k, taking.before_soak_s, kept=kept)
    before = Temperatures(profile_k, water.water_k, water.thermometer_k)
    return soaked(balls, taking.room_k, water_kg, before, taking.soak_s, kept=kept).profile_k


def _dried(
    profile_k: FloatArray, balls: Ball, taking: Taking, handling_s: float
) -> tuple[Warmth, float]:
    """The balls as they come out of the towel, or wet as they are, and what time is left."""
    wet = Warmth(profile_k, FILM_KG)
    if not taking.towel:
        return wet, taking.drying_s + handling_s
    towel_s = min(taking.drying_s, Towel.handling_time_s)
    lifted_k = in_air(balls, taking.room_k, wet, taking.drying_s - towel_s).profile_k
    return Warmth(towelled(balls, taking.room_k, lifted_k, towel_s), 0.0), handling_s


def _inwards(temperature_k: FloatArray) -> FloatArray:
    """The sign of a step that stays within 0 °C to 100 °C."""
    return np.where(temperature_k > kelvin(50.0), -1.0, 1.0)
