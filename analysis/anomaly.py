"""Anomalies among repeats: Grubbs' two-sided test at 5 %. Reported, never removed.

G is the largest distance of a reading from the mean of its set, in standard deviations. A reading
is suspected where G exceeds the critical value
    (n - 1)/sqrt(n) * sqrt(t^2 / (n - 2 + t^2)),  t the upper 0.05/(2n) point of Student's t, n - 2
(Grubbs 1969, as in the NIST/SEMATECH e-handbook, section 1.3.5.17.1, from memory).

Readings to the nearest graduation need care: of 17, 17 and 18 cm the plain test flags the 18, since
two equal readings look like certainty. So the variance of rounding, resolution^2/12, is added to
that of the readings; then one graduation's difference is never an anomaly. The price is power, and
with three readings there is next to none: beside two that agree, the third has to lie 20
graduations out.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from analysis.gaps import BoolArray, FloatArray, IntArray, ratio
from analysis.significance import LEVEL


@dataclass(frozen=True)
class Anomalies:
    """At most one suspected reading a set. `flagged` has the shape of the heights, the rest a set.

    `statistic` is NaN where no distance can be measured (one reading, or all agree and no
    resolution is known); `critical` is NaN below three readings.
    """

    flagged: BoolArray  # True at the suspected reading
    statistic: FloatArray  # G
    critical: FloatArray  # G beyond which a reading is flagged
    mean_without_m: FloatArray  # mean of the others where one is flagged, else the plain mean


def critical_value(n: IntArray) -> FloatArray:
    """Grubbs' two-sided critical value at 5 % for sets of n readings; NaN below three."""
    # Few sizes occur, so each is worked out once.
    sizes, where = np.unique(np.asarray(n), return_inverse=True)
    count = np.maximum(sizes, 3).astype(np.float64)
    t_squared = stdtrit(count - 2.0, 1.0 - LEVEL / (2.0 * count)) ** 2
    value = (count - 1.0) / np.sqrt(count) * np.sqrt(t_squared / (count - 2.0 + t_squared))
    return np.where(sizes >= 3, value, np.nan)[where].reshape(np.shape(n))


def find_anomalies(
    heights_m: FloatArray, mean_m: FloatArray, standard_deviation_m: FloatArray, resolution_m: float
) -> Anomalies:
    """Test the reading farthest from the mean in each set of heights (..., repeats)."""
    n = np.sum(~np.isnan(heights_m), axis=-1)
    distance = np.abs(heights_m - mean_m[..., None])
    distance = np.where(np.isnan(distance), -1.0, distance)
    place = np.argmax(distance, axis=-1)[..., None]
    farthest = np.take_along_axis(distance, place, axis=-1)[..., 0]
    statistic = ratio(farthest, np.sqrt(standard_deviation_m**2 + resolution_m**2 / 12.0))
    critical = critical_value(n)
    suspected = statistic > critical
    flagged = np.zeros(heights_m.shape, dtype=np.bool_)
    np.put_along_axis(flagged, place, suspected[..., None], axis=-1)
    suspect = np.take_along_axis(heights_m, place, axis=-1)[..., 0]
    others = ratio(mean_m * n - suspect, n - 1)
    return Anomalies(flagged, statistic, critical, np.where(suspected, others, mean_m))
