"""How sure a fit is: from the scatter of the readings, and from what is stated and not fitted.

The law of propagation of uncertainty (JCGM 100:2008, 5.2), and intervals for the two that are not
quite normal: the cooling factor and the reader's spread.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq

from analysis.statistics.spread import t_multiplier
from physics.bath import THERMOMETER_STEP_K
from physics.number import FloatArray
from sim.calibration.ball_file import Estimate
from sim.calibration.fit import Fit, most_under_m, profile
from sim.calibration.model import FACTOR, LOSS, PARAMETERS, SLOPE_SD_PER_K, parallax_gain

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
    return Doubt(random, np.outer(slope, slope) * SLOPE_SD_PER_K**2, stated, degrees, stretch)


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
    own[-1] = SLOPE_SD_PER_K**-2
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
