"""What the model says that a school should have read, for any loss ratio and cooling factor.

The ball's temperatures do not depend on its loss ratio, so they are worked out once, for a
row of cooling factors, and interpolated between. A thousand fits of one plan share them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple, cast

import numpy as np
from scipy.interpolate import CubicSpline

from analysis.quantity.units import kelvin
from physics.ball import Ball
from physics.bath import Temperatures, soaked, standing
from physics.drop import bounce
from physics.heat import (
    FILM_LASTS_S,
    FLIGHT_SPEED_M_S,
    Rate,
    cooled_k,
    dry_rate,
    moving_rate,
    wet_rate,
    wet_rest_k,
)
from physics.number import FloatArray, Number
from physics.reading import View, seen_height_m
from sim.calibration.ball_file import LEAST_LOSS_RATIO, MOST_LOSS_RATIO
from sim.calibration.course import Course
from sim.calibration.taking import Taking
from sim.dropping import MOVING_S
from sim.procedure import FIRST_GUESS_M


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


SLOPE_SD_PER_K = 0.0014
"""Standard uncertainty of the slope: half of what the slopes of two published student tables
differ by, 0.0199 and 0.0171 1/K (tests/published)."""
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
    Parameter("loss_slope_per_k", (0.005, 0.04), 1e-6, SLOPE_SD_PER_K),
)
"""A point, here and elsewhere, is these three in their order."""
LOSS, FACTOR, SLOPE = range(3)
ENDS = np.array([each.ends for each in PARAMETERS]).T
STEPS = np.array([each.step for each in PARAMETERS])
NODES = 59
"""Cooling factors worked out; between them a cubic is right to 1e-4 K (tests)."""
STEP = 1e-4
"""Of a finite difference in the height of release, relative."""
SHIFT_K = 0.01
"""By which the water is shifted to see what a thermometer's error does."""


@dataclass(frozen=True)
class Model:
    """What is predicted for one course of drops.

    `ball` carries everything that is not fitted. `at` gives the ball's temperatures at the
    releases for a ln cooling factor; `per_kelvin` how they move with the thermometer.
    """

    course: Course
    taking: Taking
    ball: Ball
    at: CubicSpline
    per_kelvin: CubicSpline

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
        slope: FloatArray = there / (moved_k - ball_k) * self.per_kelvin(point[FACTOR])
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
    ln_factor = np.linspace(*PARAMETERS[FACTOR].ends, NODES)
    ball_k = temperatures_k(course, taking, ball, np.exp(ln_factor))
    shift_k = SHIFT_K * _inwards(course.water_k)
    moved = replace(course, water_k=course.water_k + shift_k)
    moved_k = temperatures_k(moved, taking, ball, np.exp(ln_factor))
    return Model(
        course,
        taking,
        ball,
        CubicSpline(ln_factor, ball_k),
        CubicSpline(ln_factor, (moved_k - ball_k) / shift_k),
    )


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
    `physics.heat` and `physics.bath`.
    """
    rates = _rates(taking, ball, factors)
    ball_k: Number = np.full(factors.shape, taking.room_k)
    out = np.empty((factors.size, course.water_k.size))
    for drop in range(course.water_k.size):
        if course.begins[drop]:
            ball_k = np.full(factors.shape, taking.room_k)
        else:
            ball_k = cooled_k(ball_k, taking.room_k, rates.moving, MOVING_S)
        if course.soaked[drop]:
            idle_s = max(float(course.idle_s[drop]) - MOVING_S, 0.0)
            ball_k = cooled_k(ball_k, taking.room_k, rates.dry, idle_s)
            ball_k = _out_of_the_water(course.water_k[drop], ball_k, ball, taking)
            wet_s = _wet_s(taking, float(course.air_s[drop]))
            ball_k = cooled_k(ball_k, rates.wet_rest_k, rates.wet, wet_s)
            left_s = taking.drying_s + float(course.air_s[drop]) - wet_s
        else:
            left_s = max(float(course.air_s[drop]) - MOVING_S, 0.0)
        ball_k = cooled_k(ball_k, taking.room_k, rates.dry, left_s)
        out[:, drop] = ball_k
    return out


@dataclass(frozen=True)
class _Rates:
    """Rates of cooling, arrays over the cooling factors."""

    dry: Rate
    wet: Rate
    moving: Rate
    wet_rest_k: float


def _rates(taking: Taking, ball: Ball, factors: FloatArray) -> _Rates:
    balls = [replace(ball, cooling_factor=float(factor)) for factor in factors]
    room_k = taking.room_k
    return _Rates(
        _stacked([dry_rate(each, room_k) for each in balls]),
        _stacked([wet_rate(each, room_k) for each in balls]),
        _stacked([moving_rate(each, room_k, FLIGHT_SPEED_M_S) for each in balls]),
        # The same for every factor: it multiplies what comes in and what goes out alike.
        wet_rest_k(ball, room_k),
    )


def _stacked(rates: list[Rate]) -> Rate:
    """Many rates as one whose numbers are arrays, which Newton's law takes as well."""
    zero, slope = np.array(rates).T
    return Rate(cast("float", zero), cast("float", slope))


def _out_of_the_water(water_k: float, ball_k: Number, ball: Ball, taking: Taking) -> Number:
    """The ball after its soak, in water that stood a little and cools on."""
    water = standing(taking.room_k, taking.water_kg, water_k, water_k, taking.before_soak_s)
    before = Temperatures(ball_k, water.water_k, water.thermometer_k)
    return soaked(ball, taking.room_k, taking.water_kg, before, taking.soak_s).ball_k


def _wet_s(taking: Taking, handling_s: float) -> float:
    """How long the ball is wet: until it is dried, or until the film is gone."""
    if taking.towel:
        return taking.drying_s
    return min(taking.drying_s + handling_s, FILM_LASTS_S)


def _inwards(temperature_k: FloatArray) -> FloatArray:
    """The sign of a step that stays within 0 °C to 100 °C."""
    return np.where(temperature_k > kelvin(50.0), -1.0, 1.0)
