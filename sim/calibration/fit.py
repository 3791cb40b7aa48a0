"""The fit: loss ratio, cooling factor and reader's spread from a school's readings, and how sure.

Least squares in the logarithms of loss ratio and cooling factor, each drop weighted by the
inverse of its variance: the reader's, which is fitted, and the hand's, which is stated. The
slope of the loss ratio with temperature is one more observation: stated, give or take its
stated uncertainty.

How sure it is comes from the scatter of the readings and from what is stated and not fitted, by
the law of propagation of uncertainty (JCGM 100:2008, 5.2); the two that are not quite normal, the
cooling factor and the reader's spread, have intervals of their own.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from scipy.optimize import brentq, least_squares

from analysis.statistics.spread import t_multiplier
from physics.ball import LOSS_SLOPE_SD_PER_K
from physics.bath import THERMOMETER_STEP_K
from physics.drop import HAND_SD_M
from physics.number import FloatArray
from sim.calibration.ball_file import Estimate
from sim.calibration.model import (
    ENDS,
    FACTOR,
    LOSS,
    PARAMETERS,
    SLOPE,
    Model,
    eye_m,
    parallax_gain,
    seen_m,
)

PASSES = 3
"""Fits until weights and under-reading have settled: the third moves nothing by a tenth of
its uncertainty (tests)."""
INSIDE = 1e-3
"""How far inside the ends of what is tried a fit begins, as a share of their distance."""
START_SD_M = 0.002
"""The least scatter that a fit begins with."""
_OWN_OBSERVATION = np.array([[0.0, 1.0 / LOSS_SLOPE_SD_PER_K]])


class Least(NamedTuple):
    """A point of least squares, and the squares there."""

    point: FloatArray
    squares: float


@dataclass(frozen=True)
class Task:
    """One fit to be made.

    Attributes:
        model: predicts the drops.
        heights_m: the readings in the order of the model's course, (drops,).
        step_m: the graduation that the readings are written to.
        with_cooling: whether the cooling factor is fitted; otherwise it stays 1.

    """

    model: Model
    heights_m: FloatArray
    step_m: float
    with_cooling: bool

    @property
    def free(self) -> list[int]:
        """Which of a point are moved."""
        return [LOSS, FACTOR, SLOPE] if self.with_cooling else [LOSS, SLOPE]

    @property
    def spent(self) -> int:
        """Degrees of freedom that the fit spends; the slope brings its own observation."""
        return len(self.free) - 1

    def residuals_m(self, point: FloatArray, under_m: float) -> FloatArray:
        """Reading less prediction, for a mean under-reading, (drops,)."""
        apex_m = self.model.apex_m(point) - under_m
        return self.heights_m - seen_m(apex_m, eye_m(self.model, self.heights_m))

    def slopes(self, point: FloatArray) -> FloatArray:
        """How the predicted readings move with the three of a point, (drops, 3)."""
        return parallax_gain() * self.model.gradients_m(point)

    def slope_off(self, point: FloatArray) -> float:
        """How far the slope is from what is stated, in standard uncertainties."""
        return float(point[SLOPE] - self.model.ball.loss_slope_per_k) / LOSS_SLOPE_SD_PER_K


@dataclass(frozen=True)
class Fit:
    """The best point, and what lies about it.

    Attributes:
        task: what was fitted.
        point: the three of `PARAMETERS`.
        residuals_m: reading less prediction, (drops,).
        spread_m: the reader's standard deviation, rounding included; 0 where the hand alone
            explains the scatter.
        hand_m: what the hand's error of release adds at each drop, standard deviation.
        under_m: the mean under-reading that was allowed for.

    """

    task: Task
    point: FloatArray
    residuals_m: FloatArray
    spread_m: float
    hand_m: FloatArray
    under_m: float

    @property
    def degrees(self) -> int:
        """Degrees of freedom of the scatter."""
        return self.residuals_m.size - self.task.spent

    @property
    def total_m(self) -> FloatArray:
        """Standard deviation of each reading: the reader's and the hand's, (drops,)."""
        return _total_m(self.spread_m, self.task.step_m, self.hand_m)

    @property
    def standardised(self) -> FloatArray:
        """Residuals in their own standard deviations, (drops,)."""
        return self.residuals_m / self.total_m

    @property
    def impossible(self) -> bool:
        """Whether loss ratio or slope was stopped at the end of what a ball can have."""
        away = np.minimum(self.point - ENDS[0], ENDS[1] - self.point) / (ENDS[1] - ENDS[0])
        return bool(away[[LOSS, SLOPE]].min() < INSIDE)


def fitted(task: Task) -> Fit:
    """Fit; the task has more readings than parameters."""
    degrees = task.heights_m.size - task.spent
    point, under_m = _start(task), 0.0
    scatter_m = float(np.sqrt(np.mean(task.residuals_m(point, 0.0) ** 2)))
    sd_m = np.full(task.heights_m.size, max(scatter_m, START_SD_M))
    for _ in range(PASSES):
        point = _least_squares(task, point, sd_m, under_m)
        residuals_m = task.residuals_m(point, under_m)
        hand_m = HAND_SD_M * parallax_gain() * task.model.height_slope(point)
        spread_m = spread_of(residuals_m, hand_m, degrees)
        sd_m = _total_m(spread_m, task.step_m, hand_m)
        taken_m, under_m = under_m, most_under_m(spread_m, task.step_m) / 2.0
    return Fit(task, point, residuals_m, spread_m, hand_m, taken_m)


def spread_of(residuals_m: FloatArray, hand_m: FloatArray, degrees: float) -> float:
    """The reader's standard deviation: what makes Σ r² / (σ² + hand²) the degrees of freedom.

    0 where the hand alone explains the scatter.
    """
    squares = residuals_m**2

    def excess(variance: float) -> float:
        return float(np.sum(squares / (variance + hand_m**2))) - degrees

    most = float(np.sum(squares)) / degrees
    least = 1e-12
    if most <= least or excess(least) <= 0.0:
        return 0.0
    return float(np.sqrt(brentq(excess, least, most * (1.0 + 1e-9), xtol=1e-14)))


def most_under_m(spread_m: float, step_m: float) -> float:
    """The most that an eye of this spread can under-read by in the mean, m.

    Looking δt beside the apex lowers a reading by ½ g δt². For normal δt of standard
    deviation s that is ½ g s² in the mean and √2 times as much in standard deviation. So
    the mean is no more than the spread (without rounding) divided by √2; it is less where
    the spread has other causes too.
    """
    eye = np.sqrt(max(spread_m**2 - step_m**2 / 12.0, 0.0)) / parallax_gain()
    return float(eye / np.sqrt(2.0))


def profile(fit: Fit, start: FloatArray, scale: float) -> Least:
    """Least squares over loss ratio and slope, at the cooling factor of the start.

    The squares are Σ (r / σ)² / scale² and that of the slope's own observation.
    """
    task, total_m = fit.task, fit.total_m * scale
    free = [LOSS, SLOPE]
    point, best = start.copy(), Least(start, np.inf)
    for _ in range(8):
        point[free] = np.clip(point[free], ENDS[0, free], ENDS[1, free])
        off = np.append(task.residuals_m(point, fit.under_m) / total_m, -task.slope_off(point))
        squares = float(off @ off)
        settled = best.squares - squares < 1e-6 * squares
        if squares < best.squares:
            best = Least(point.copy(), squares)
        if settled:
            break
        slopes = np.vstack([task.slopes(point)[:, free] / total_m[:, None], _OWN_OBSERVATION])
        point[free] += np.linalg.solve(slopes.T @ slopes, slopes.T @ off)
    return best


def _total_m(spread_m: float, step_m: float, hand_m: FloatArray) -> FloatArray:
    """Readings that all agree are still rounded: the spread counts as that at least."""
    total: FloatArray = np.hypot(max(spread_m, step_m / np.sqrt(12.0)), hand_m)
    return total


def _start(task: Task) -> FloatArray:
    """The best of a row of loss ratios, with the handbook's cooling and the stated slope."""
    points = np.zeros((29, 3))
    points[:, LOSS] = np.linspace(*PARAMETERS[LOSS].ends, 31)[1:-1]
    points[:, SLOPE] = task.model.ball.loss_slope_per_k
    off_m = task.heights_m - seen_m(task.model.apex_m(points), eye_m(task.model, task.heights_m))
    best: FloatArray = points[np.argmin(np.sum(off_m**2, axis=-1))]
    return best


def _least_squares(task: Task, start: FloatArray, sd_m: FloatArray, under_m: float) -> FloatArray:
    free = task.free

    def whole(values: FloatArray) -> FloatArray:
        point = start.copy()
        point[free] = values
        return point

    def off(values: FloatArray) -> FloatArray:
        point = whole(values)
        return np.append(task.residuals_m(point, under_m) / sd_m, task.slope_off(point))

    def jacobian(values: FloatArray) -> FloatArray:
        slopes = -task.slopes(whole(values))[:, free] / sd_m[:, None]
        own = np.zeros(len(free))
        own[-1] = 1.0 / LOSS_SLOPE_SD_PER_K
        return np.vstack([slopes, own])

    ends = ENDS[:, free]
    room = INSIDE * (ends[1] - ends[0])
    begin = np.clip(start[free], ends[0] + room, ends[1] - room)
    scale = [PARAMETERS[each].scale for each in free]
    found = least_squares(
        off, begin, jac=jacobian, bounds=(ends[0], ends[1]), x_scale=scale, xtol=1e-7
    )
    return whole(found.x)


NORMAL_95 = 1.959963984540054
"""Half-width of a 95 % interval in standard deviations, normal distribution."""


EYES_EXCESS_KURTOSIS = 12.0 / 5.0
"""Kurtosis of an eye's errors, less the 3 of normal ones, before any are seen. If a share w
of their standard deviation comes from the judged instant (½ g δt², excess 12), it is 12 w⁴;
any share from none to all is as likely, and the mean of w⁴ is a fifth."""
WORTH_READINGS = 25.0
"""How many readings that is worth beside the readings' own kurtosis, which small samples
put too low. Chosen so that the intervals hold what they promise (tests)."""


def from_logarithm(ln_value: float, uncertainty: float, ends: tuple[float, float]) -> Estimate:
    """An estimate whose logarithm was fitted: the interval keeps its ends, unsymmetrical."""
    value = float(np.exp(ln_value))
    low, high = (float(np.exp(end)) for end in ends)
    return Estimate(value, value * uncertainty, low, high)


def variance_factors(
    standardised: FloatArray, fitted: int, eye_share: float
) -> tuple[float, float, float]:
    """How far a variance may truly be from its estimate.

    Residuals in their own standard deviations, the number of parameters fitted, and the
    eye's share of the variance (the rest is rounding and hand, taken as normal). An eye
    errs to one side, so the chi-square interval of normal errors is too narrow (it held 91 %
    where it promised 95 %). This is the interval for the logarithm of a variance that goes
    by the kurtosis of the residuals, about their trimmed mean, averaged with one known
    beforehand.

    Source: D. Bonett, "Approximate confidence interval for standard deviation of nonnormal
    distributions", Computational Statistics and Data Analysis 50 (2006) 775 (from memory).

    Returns:
        the relative standard uncertainty of the variance, and the factors that take the
        estimate to the ends of its 95 % interval.

    """
    count = standardised.size
    centred = standardised - _trimmed_mean(standardised)
    squares = float(np.sum((standardised - standardised.mean()) ** 2))
    seen = count * float(np.sum(centred**4)) / squares**2
    known = 3.0 + EYES_EXCESS_KURTOSIS * eye_share**2
    kurtosis = (count * seen + WORTH_READINGS * known) / (count + WORTH_READINGS)
    # Bonett's own for a plain sample; a fit has spent more than the mean.
    spent = count - fitted
    small = count / (count - NORMAL_95)
    error = small * np.sqrt((kurtosis - (count - 3.0) / count) / spent)
    middle = np.log(small)
    low, high = np.exp(middle + np.array([-1.0, 1.0]) * NORMAL_95 * error)
    return float(error), float(low), float(high)


def _trimmed_mean(values: FloatArray) -> float:
    """The mean without the outermost values on either side, 1 / (2 √(n − 4)) of them each."""
    share = 1.0 / (2.0 * np.sqrt(max(values.size - 4.0, 1.0)))
    cut = int(share * values.size)
    return float(np.mean(np.sort(values)[cut : values.size - cut]))


HANDBOOK_SD = 0.25
"""Standard uncertainty of ln cooling factor where it is not fitted: correlations for a small
body, in a room that is never quite still, are good to some ±30 %. Stated assumption."""


@dataclass(frozen=True)
class Doubt:
    """Covariances of a point, each (3, 3).

    Attributes:
        random: from the scatter of the readings; `degrees` of freedom belong to it.
        slope: from the slope's own uncertainty.
        stated: from thermometer, under-reading and, where it is not fitted, cooling.
        degrees: degrees of freedom of the scatter.
        stretch: by which the scatter's standard deviations were multiplied because the
            model misses whole sets; 1 where it does not.

    """

    random: FloatArray
    slope: FloatArray
    stated: FloatArray
    degrees: float
    stretch: float

    @property
    def covariance(self) -> FloatArray:
        """All together."""
        return self.random + self.slope + self.stated

    def standard(self, which: int) -> float:
        """Standard uncertainty of one of the three."""
        return float(np.sqrt(self.covariance[which, which]))

    @property
    def correlation(self) -> FloatArray:
        """Correlation matrix, (3, 3)."""
        sd = np.sqrt(np.diag(self.covariance))
        matrix: FloatArray = self.covariance / np.outer(sd, sd)
        return matrix


def doubt_of(fit: Fit, stretch: float, degrees: float) -> Doubt:
    """The covariances of a fit."""
    pull, slope = _pulls(fit, stretch)
    random = (pull * (stretch * fit.total_m) ** 2) @ pull.T
    moved = np.array([pull @ error for error in _stated_errors_m(fit)])
    stated = moved.T @ moved
    if not fit.task.with_cooling:
        unfitted = -HANDBOOK_SD * (pull @ fit.task.slopes(fit.point)[:, FACTOR])
        unfitted[FACTOR] = HANDBOOK_SD
        stated = stated + np.outer(unfitted, unfitted)
    return Doubt(random, np.outer(slope, slope) * LOSS_SLOPE_SD_PER_K**2, stated, degrees, stretch)


def loss_ends(fit: Fit, doubt: Doubt) -> tuple[float, float]:
    """Ends of the 95 % interval of ln loss ratio.

    In this logarithm readings go very nearly straight, so Student's t on the standard
    uncertainty serves; what is stated is added in quadrature.
    """
    random = float(t_multiplier(doubt.degrees)) * np.sqrt(doubt.random[LOSS, LOSS])
    known = NORMAL_95 * np.sqrt(doubt.stated[LOSS, LOSS] + doubt.slope[LOSS, LOSS])
    half = float(np.hypot(random, known))
    return float(fit.point[LOSS]) - half, float(fit.point[LOSS]) + half


def factor_ends(fit: Fit, doubt: Doubt) -> tuple[float, float]:
    """Ends of the 95 % interval of ln cooling factor, by the profile of the squares.

    They are where the weighted sum of squares, least over loss ratio and slope, has risen by
    t² times its mean (and the stretch squared). A slow cooling is told from none far less
    well than from a fast one, so the two arms differ. An end that is never reached is
    infinite. The stated part is added in quadrature.
    """
    best = float(fit.point[FACTOR])
    within = doubt.random + doubt.slope
    along = within[FACTOR] / within[FACTOR, FACTOR]
    scale = doubt.stretch * float(np.sqrt(fit.standardised @ fit.standardised / fit.degrees))
    least = profile(fit, fit.point, scale).squares
    rise = float(t_multiplier(doubt.degrees)) ** 2

    def above(ln_factor: float) -> float:
        start = fit.point + along * (ln_factor - best)
        return profile(fit, start, scale).squares - least - rise

    ends = [-np.inf, np.inf]
    for side, last in enumerate(PARAMETERS[FACTOR].ends):
        if above(last) > 0.0:
            arm = float(brentq(above, best, last, xtol=1e-3)) - best
            half = np.hypot(arm, NORMAL_95 * np.sqrt(doubt.stated[FACTOR, FACTOR]))
            ends[side] = best + float(np.copysign(half, last))
    return ends[0], ends[1]


def _pulls(fit: Fit, stretch: float) -> tuple[FloatArray, FloatArray]:
    """How the point moves with each reading, (3, drops), and with the stated slope, (3,)."""
    free = fit.task.free
    slopes = fit.task.slopes(fit.point)[:, free]
    weighted = slopes / (stretch * fit.total_m[:, None]) ** 2
    own = np.zeros(len(free))
    own[-1] = LOSS_SLOPE_SD_PER_K**-2
    inverse = np.linalg.inv(slopes.T @ weighted + np.diag(own))
    pull, slope = np.zeros((3, fit.residuals_m.size)), np.zeros(3)
    pull[free] = inverse @ weighted.T
    slope[free] = inverse @ own
    return pull, slope


def _stated_errors_m(fit: Fit) -> list[FloatArray]:
    """One standard uncertainty's worth of each stated thing, as the readings would show it."""
    model = fit.task.model
    per_kelvin = parallax_gain() * model.temperature_slope_m_k(fit.point)
    # A reading of the thermometer is rounded afresh for each soak.
    step_k = THERMOMETER_STEP_K / np.sqrt(12.0)
    soaks = model.course.soak[:, None] == np.unique(model.course.soak)
    # Anywhere between nothing and the most, as likely here as there.
    under_sd_m = most_under_m(fit.spread_m, fit.task.step_m) / np.sqrt(12.0)
    return [
        model.taking.thermometer_sd_k * per_kelvin,
        *(step_k * per_kelvin[:, None] * soaks).T,
        np.full(per_kelvin.shape, parallax_gain() * under_sd_m),
    ]
