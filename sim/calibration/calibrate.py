"""A school's readings in, our own ball out: what the readings decide, and what they do not."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from analysis.quantity.units import FloatArray, centimetres, metres
from analysis.refusal import Refused
from analysis.statistics.spread import f_p, t_multiplier
from physics.ball import USUAL_BALL, Ball
from physics.heat import air_time_constant_s
from physics.ranges import OutOfRange
from sim.calibration.ball_file import Estimate
from sim.calibration.fit import (
    Doubt,
    Fit,
    Task,
    doubt_of,
    factor_ends,
    fitted,
    from_logarithm,
    loss_ends,
    spread_of,
    variance_factors,
)
from sim.calibration.model import FACTOR, LOSS, SLOPE, Course, Model, course_of, model_of
from sim.calibration.taking import Taking

if TYPE_CHECKING:
    from collections.abc import Mapping

    from analysis.readings.readings import Readings

FEWEST_READINGS = 5
"""With fewer, a spread cannot be told at all."""
WARM_K = 5.0
"""A ball no farther than this from the room's temperature shows no cooling."""
LEAST_PRECISE = 0.35
"""A cooling factor is told if readings like these would give the handbook's cooling to this
relative standard uncertainty or better. To go by the uncertainty of the fitted value instead
would tell just the ones that chance made large."""
EXCESS_K = 30.0
"""Excess over the room at which the time constant is stated."""
MISFIT_LEVEL = 0.01
OWN = "our own"


@dataclass(frozen=True)
class Misfit:
    """Whether the model misses whole sets by more than the scatter within them allows.

    `p` is NaN where it cannot be tested; `worst_row` is the set that is missed most, by
    `worst_m` (reading less model, mean of the set).
    """

    p: float
    between: float
    sets: int
    worst_row: int
    worst_m: float

    @property
    def found(self) -> bool:
        """Whether the model misses."""
        return self.p < MISFIT_LEVEL


@dataclass(frozen=True)
class Calibration:
    """What a fit came to. `refused` says of an estimate that is None why, by its name."""

    source: str
    ball: Ball
    fit: Fit
    doubt: Doubt
    misfit: Misfit
    loss_ratio_40: Estimate
    cooling_factor: Estimate | None
    spread_m: Estimate | None
    refused: Mapping[str, str]

    @property
    def course(self) -> Course:
        """The drops in order."""
        return self.fit.task.model.course

    @property
    def taking(self) -> Taking:
        """How the readings were taken."""
        return self.fit.task.model.taking

    @property
    def estimates(self) -> dict[str, Estimate]:
        """What was told, by the names of ball files."""
        named = {
            "loss_ratio_40": self.loss_ratio_40,
            "cooling_factor": self.cooling_factor,
            "air_time_constant_s": self.time_constant_s,
            "loss_slope_per_k": self.loss_slope_per_k,
            "reader_spread_m": self.spread_m,
        }
        return {name: each for name, each in named.items() if each is not None}

    @property
    def loss_ratio_0(self) -> Estimate:
        """Loss ratio at 0 °C: that at 40 °C taken along the slope, with the slope's doubt."""
        ln_value, error, half = self._along(np.array([1.0, 0.0, 40.0]))
        return from_logarithm(ln_value, error, (ln_value - half, ln_value + half))

    @property
    def loss_slope_per_k(self) -> Estimate:
        """Slope of the loss ratio's logarithm: what is stated, mended by the readings."""
        value, error, half = self._along(np.eye(3)[SLOPE])
        return Estimate(value, error, value - half, value + half)

    def _along(self, way: FloatArray) -> tuple[float, float, float]:
        """A sum over the point: value, standard uncertainty, half of its 95 % interval."""
        error = float(np.sqrt(way @ self.doubt.covariance @ way))
        return float(way @ self.fit.point), error, float(t_multiplier(self.doubt.degrees)) * error

    @property
    def time_constant_s(self) -> Estimate | None:
        """Time constant of the dry ball in still air, EXCESS_K above the room; None if refused."""
        factor = self.cooling_factor
        if factor is None:
            return None
        value, slow, fast, beside = (
            self.air_time_constant_s(each)
            for each in (factor.value, factor.low, factor.high, factor.value * 1.001)
        )
        slope = abs(beside - value) / (0.001 * factor.value)
        return Estimate(value, slope * factor.standard_uncertainty, fast, slow)

    def air_time_constant_s(self, factor: float) -> float:
        """The time constant that goes with a cooling factor, s."""
        ball = replace(self.ball, cooling_factor=factor)
        return air_time_constant_s(ball, self.taking.room_k, EXCESS_K)


def calibrate(readings: Readings, taking: Taking, ball: Ball | None = None) -> Calibration:
    """Fit the model to readings; `ball` holds what is not fitted (None: the standard ball).

    Raises:
        Refused: the readings are too few, or the model holds for no such readings; one
            sentence.

    """
    count = len(readings.frame)
    if count < FEWEST_READINGS:
        raise Refused(
            f"{readings.source} has {count} readings: a fit needs at least {FEWEST_READINGS}."
        )
    course = course_of(readings, taking)
    heights_m = readings.frame["rebound_height_m"].to_numpy(dtype=float)[course.rows]
    try:
        model = model_of(course, taking, ball or replace(USUAL_BALL, name=OWN))
        return judged(readings.source, model, heights_m, metres(10.0**-readings.decimal_places))
    except OutOfRange as error:
        raise Refused(f"{readings.source} cannot be fitted: {error}.") from error


def judged(source: str, model: Model, heights_m: FloatArray, step_m: float) -> Calibration:
    """Fit a model to the readings of its course, and say what they decide.

    The inner half of `calibrate`, for many sets of readings of one plan.
    """
    reason = _no_cooling_seen(model)
    found = None if reason else _with_cooling(Task(model, heights_m, step_m, with_cooling=True))
    if isinstance(found, str):
        reason, found = found, None
    if found is None:
        fit = fitted(Task(model, heights_m, step_m, with_cooling=False))
        misfit, doubt = _doubted(fit)
        factor = None
    else:
        fit, misfit, doubt, factor = found
    if fit.impossible:
        raise Refused(
            f"{source} cannot be fitted: no ball rebounds like this, so check the units and "
            "the drop height."
        )
    loss = from_logarithm(float(fit.point[LOSS]), doubt.standard(LOSS), loss_ends(fit, doubt))
    spread, spread_reason = _spread(fit, misfit)
    reasons = {"cooling_factor": reason, "reader_spread_m": spread_reason}
    return Calibration(
        source=source,
        ball=replace(
            model.ball,
            loss_ratio_40=loss.value,
            loss_slope_per_k=float(fit.point[SLOPE]),
            cooling_factor=1.0 if factor is None else factor.value,
        ),
        fit=fit,
        doubt=doubt,
        misfit=misfit,
        loss_ratio_40=loss,
        cooling_factor=factor,
        spread_m=spread,
        refused={name: why for name, why in reasons.items() if why},
    )


def _no_cooling_seen(model: Model) -> str:
    """Why the readings cannot show the ball cooling at all; empty if they may."""
    course = model.course
    if not course.cooling.any():
        if course.row[-1] + 1 == course.row.size:
            return "there is one drop at each temperature, and cooling shows from drop to drop"
        return "the ball was put back before every drop, and so never seen to cool"
    away_k = np.abs(course.water_k[course.cooling] - model.taking.room_k)
    if away_k.max() < WARM_K:
        return (
            f"the ball left to cool was never {WARM_K:g} °C from the room's temperature, "
            "and had nothing to lose"
        )
    return ""


def _with_cooling(task: Task) -> tuple[Fit, Misfit, Doubt, Estimate] | str:
    """The fit with a cooling factor of its own, or the reason why the readings give none."""
    fit = fitted(task)
    misfit, doubt = _doubted(fit)
    usual = replace(fit, point=fit.point * np.array([1.0, 0.0, 1.0]))
    precision = doubt_of(usual, doubt.stretch, doubt.degrees).standard(FACTOR)
    if precision > LEAST_PRECISE:
        return (
            "the readings scatter too much: a cooling like the handbook's would be uncertain by "
            f"{precision:.0%}"
        )
    ends = factor_ends(fit, doubt)
    if not np.isfinite(ends).all():
        return "the readings scatter too much: they would do with hardly any cooling at all"
    factor = from_logarithm(float(fit.point[FACTOR]), doubt.standard(FACTOR), ends)
    return fit, misfit, doubt, factor


def _doubted(fit: Fit) -> tuple[Misfit, Doubt]:
    """The misfit, and the covariances, stretched where the model misses whole sets.

    Then the readings of a set are wrong together, and only the sets count as independent.
    """
    misfit = _misfit(fit)
    if not misfit.found:
        return misfit, doubt_of(fit, 1.0, fit.degrees)
    stretch = max(1.0, float(np.sqrt(misfit.between)))
    return misfit, doubt_of(fit, stretch, misfit.sets - fit.task.spent)


def _misfit(fit: Fit) -> Misfit:
    """Lack of fit: means of the sets against the scatter within them, Fisher's F."""
    row, off = fit.task.model.course.row, fit.standardised
    count = np.bincount(row)
    means = np.bincount(row, off) / count
    sets = count.size
    free_between, free_within = sets - fit.task.spent, off.size - sets
    worst = int(np.argmax(np.abs(means) * np.sqrt(count)))
    worst_m = float(np.mean(fit.residuals_m[row == worst]))
    if free_between < 1 or free_within < 1:
        return Misfit(np.nan, np.nan, sets, worst, worst_m)
    between = float(np.sum(count * means**2)) / free_between
    within = float(np.sum((off - means[row]) ** 2)) / free_within
    p = float(f_p(between, within, free_between, free_within))
    return Misfit(p, between, sets, worst, worst_m)


def _spread(fit: Fit, misfit: Misfit) -> tuple[Estimate | None, str]:
    """The reader's spread, or why it cannot be told.

    Where the model misses whole sets, only the scatter within the sets counts.
    """
    residuals_m, spent = fit.residuals_m, fit.task.spent
    if misfit.found:
        row = fit.task.model.course.row
        residuals_m = residuals_m - (np.bincount(row, residuals_m) / np.bincount(row))[row]
        spent = misfit.sets
    degrees = residuals_m.size - spent
    spread_m = spread_of(residuals_m, fit.hand_m, degrees)
    if spread_m < fit.task.step_m / np.sqrt(12.0):
        return None, (
            f"the readings scatter by no more than their graduation of "
            f"{centimetres(fit.task.step_m):g} cm and the hand's error explain"
        )
    total_m = np.hypot(spread_m, fit.hand_m)
    eye_share = (spread_m**2 - fit.task.step_m**2 / 12.0) / float(np.mean(total_m**2))
    error, *factors = variance_factors(residuals_m / total_m, spent, eye_share)
    low, high = (
        spread_of(residuals_m * np.sqrt(factor), fit.hand_m, degrees) for factor in factors
    )
    return Estimate(spread_m, spread_m * error / 2.0, low, high), ""
