"""How much the repeats of a reading spread: school's half-range and the metrologist's measures.

Anomalies are told in anomaly.py, drift over the repeats in drift.py, whether the readings are
repeatable in repeatability.py, sentences in wording.py.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from analysis.anomaly import Anomalies, find_anomalies
from analysis.drift import Drift, drifts
from analysis.gaps import FloatArray, IntArray, ratio
from analysis.refusal import Refused


@dataclass(frozen=True)
class Spread:
    """The spread of the repeats, one value a set (a set: the repeats at one temperature).

    Every array has the shape of the heights without their last axis; metres throughout.
    NaN where it cannot be said: everything but n, mean, smallest, largest and range needs two
    repeats. `wording.spread_reason` gives the reason as a sentence.
    """

    n: IntArray  # readings present
    mean_m: FloatArray
    smallest_m: FloatArray
    largest_m: FloatArray
    range_m: FloatArray
    half_range_m: FloatArray  # half the range; NaN for one repeat, 0 when all agree
    uncertainty_m: FloatArray  # the half-range, never less than half a graduation
    percentage: FloatArray  # 100 x uncertainty / mean
    standard_deviation_m: FloatArray  # sample, divisor n - 1
    standard_uncertainty_m: FloatArray  # of the mean: standard deviation / sqrt(n)
    anomalies: Anomalies  # found and reported, still in every figure above
    drift: Drift  # over the repeats of each set
    pooled_drift: Drift  # one slope for all sets of a table; shape without the sets' axis
    resolution_m: float  # graduation the readings were rounded to; 0 when they were not


def spread(heights_m: ArrayLike, resolution_m: float = 0.0) -> Spread:
    """Spread of heights of shape (..., sets, repeats) in one call, however many leading axes.

    NaN marks a missing repeat; the place along the last axis is the repeat's number. A
    one-dimensional array counts as one set: pooled_drift then equals drift. `resolution_m` is the
    graduation that the readings were rounded to (0.01 for whole centimetres); 0 means unrounded.
    Raises Refused when there is no reading at all or one is infinite.
    Source of standard deviation and standard uncertainty: JCGM 100:2008, clause 4.2 (from
    memory); of the half-range: usual school practice, as in NPL's "Temperature bounce".
    """
    heights = _checked(heights_m)
    present = ~np.isnan(heights)
    n = np.sum(present, axis=-1)
    mean = _mean(heights, n)
    smallest = np.min(heights, axis=-1, initial=np.inf, where=present)
    largest = np.max(heights, axis=-1, initial=-np.inf, where=present)
    smallest, largest = (np.where(n > 0, each, np.nan) for each in (smallest, largest))
    half_range = np.where(n > 1, (largest - smallest) / 2.0, np.nan)
    uncertainty = np.maximum(half_range, resolution_m / 2.0)
    deviation = _standard_deviation(heights, mean, n)
    drift, pooled = drifts(heights, resolution_m)
    return Spread(
        n=n,
        mean_m=mean,
        smallest_m=smallest,
        largest_m=largest,
        range_m=largest - smallest,
        half_range_m=half_range,
        uncertainty_m=uncertainty,
        percentage=100.0 * ratio(uncertainty, mean),
        standard_deviation_m=deviation,
        standard_uncertainty_m=ratio(deviation, np.sqrt(n)),
        anomalies=find_anomalies(heights, mean, deviation, resolution_m),
        drift=drift,
        pooled_drift=pooled,
        resolution_m=resolution_m,
    )


def _checked(heights_m: ArrayLike) -> FloatArray:
    heights = np.atleast_1d(np.asarray(heights_m, dtype=np.float64))
    if np.isinf(heights).any():
        raise Refused("A rebound height is infinite; every reading must be an ordinary number.")
    if heights.size == 0 or np.isnan(heights).all():
        raise Refused("There is no rebound height to judge; give at least one reading.")
    return heights


def _mean(heights: FloatArray, n: IntArray) -> FloatArray:
    first = ratio(np.nansum(heights, axis=-1), n)
    # A second pass takes back what rounding lost when readings are large beside their spread.
    return first + ratio(np.nansum(heights - first[..., None], axis=-1), n)


def _standard_deviation(heights: FloatArray, mean: FloatArray, n: IntArray) -> FloatArray:
    from_mean = np.where(np.isnan(heights), 0.0, heights - mean[..., None])
    squares = np.sum(from_mean * from_mean, axis=-1)
    return np.sqrt(ratio(squares, np.where(n > 1, n - 1, np.nan)))
