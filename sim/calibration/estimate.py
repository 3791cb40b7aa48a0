"""An estimate with its uncertainty, and intervals for a spread that is not quite normal."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from physics.number import FloatArray

NORMAL_95 = 1.959963984540054
"""Half-width of a 95 % interval in standard deviations, normal distribution."""


@dataclass(frozen=True)
class Estimate:
    """A value, its standard uncertainty and its 95 % interval."""

    value: float
    standard_uncertainty: float
    low: float
    high: float

    def scaled(self, factor: float) -> Estimate:
        """The same in another unit."""
        return Estimate(
            self.value * factor,
            self.standard_uncertainty * factor,
            self.low * factor,
            self.high * factor,
        )


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
