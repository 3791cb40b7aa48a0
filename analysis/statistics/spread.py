"""How much the repeats of a reading spread: school's half-range and the metrologist's measures.

Probabilities behind the judgements are Student's t and Fisher's F, NaN where nothing can be said
(`scipy.special` serves, since `scipy.stats` takes long to import). Marking asks for none of them:
`set_spread` has the measures alone.

Anomalies among repeats: Grubbs' two-sided test at 5 %. Reported, never removed. G is the largest
distance of a reading from the mean of its set, in standard deviations. A reading is suspected where
G exceeds the critical value
    (n - 1)/sqrt(n) * sqrt(t^2 / (n - 2 + t^2)),  t the upper 0.05/(2n) point of Student's t, n - 2
(Grubbs 1969, as in the NIST/SEMATECH e-handbook, section 1.3.5.17.1, from memory). Readings to the
nearest graduation need care: of 17, 17 and 18 cm the plain test flags the 18, since two equal
readings look like certainty. So the variance of rounding, resolution^2/12, is added to that of the
readings; then one graduation's difference is never an anomaly. The price is power, and with three
readings there is next to none: beside two that agree, the third has to lie 20 graduations out.

Drift over the repeats: whether the readings of a set fall or rise from first to last. A ball that
is not put back in the water cools from drop to drop, and its later readings come lower. So height
is fitted against the repeat's number by least squares: a set by itself, which with three or five
repeats seldom tells anything, and all sets of a table together with one common slope, each set
keeping its own mean. A slope that differs from set to set adds to the uncertainty of the common
one. A set no warmer than a room cannot cool and is left out of the common slope (`can_cool`).
"""

from dataclasses import dataclass
from types import ModuleType
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from analysis.quantity.units import BoolArray, FloatArray, IntArray, kelvin, percent, ratio
from analysis.refusal import Refused

LEVEL = 0.05
"""The level of every judgement: 5 %, the usual choice."""

WARMEST_ROOM_C = 25.0
"""A ball no warmer than this is as warm as the room, give or take what cannot be seen in its
bounce. Common practice, no source: classrooms stand between 18 °C and 25 °C."""


def _distributions() -> ModuleType:
    # Neither marking nor a page of the bench asks for a probability: there it is not waited for,
    # and the page in a browser has none.
    import scipy.special

    return scipy.special


def two_sided_p(estimate: ArrayLike, uncertainty: ArrayLike, degrees: ArrayLike) -> FloatArray:
    """Chance of an estimate as far from zero by luck, Student's t; NaN below one degree of freedom.

    An estimate of exactly zero gives 1. An uncertainty of exactly zero gives the limit, 0: so
    rounded readings need their rounding in `uncertainty`.
    """
    value, error, freedom = np.broadcast_arrays(
        np.abs(np.asarray(estimate, dtype=np.float64)),
        np.asarray(uncertainty, dtype=np.float64),
        np.asarray(degrees, dtype=np.float64),
    )
    t = np.where(error == 0.0, np.inf, ratio(value, error))
    t = np.where(value == 0.0, 0.0, t)
    told = np.isfinite(value) & np.isfinite(error) & (freedom >= 1.0)
    return np.where(told, 2.0 * _distributions().stdtr(np.where(told, freedom, 1.0), -t), np.nan)


def f_p(
    between: ArrayLike, within: ArrayLike, degrees_between: ArrayLike, degrees_within: ArrayLike
) -> FloatArray:
    """Chance of a mean square `between` as large against `within` by luck; the same conventions."""
    above, below, first, second = np.broadcast_arrays(
        *(
            np.asarray(each, dtype=np.float64)
            for each in (between, within, degrees_between, degrees_within)
        )
    )
    f = np.where(below == 0.0, np.inf, ratio(above, below))
    f = np.where(above == 0.0, 0.0, f)
    told = np.isfinite(above) & np.isfinite(below) & (first >= 1.0) & (second >= 1.0)
    p = _distributions().fdtrc(
        np.where(told, first, 1.0), np.where(told, second, 1.0), np.where(told, f, 0.0)
    )
    return np.where(told, p, np.nan)


def t_multiplier(degrees: ArrayLike) -> FloatArray:
    """Half-width of a 95 % interval in standard uncertainties; NaN below one degree of freedom."""
    freedom = np.asarray(degrees, dtype=np.float64)
    told = freedom >= 1.0
    return np.where(
        told, _distributions().stdtrit(np.where(told, freedom, 1.0), 1.0 - LEVEL / 2.0), np.nan
    )


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

    @property
    def count(self) -> IntArray:
        """How many readings of a set are flagged."""
        count: IntArray = np.sum(self.flagged, axis=-1)
        return count


def critical_value(n: IntArray) -> FloatArray:
    """Grubbs' two-sided critical value at 5 % for sets of n readings; NaN below three."""
    # Few sizes occur, so each is worked out once.
    sizes, where = np.unique(np.asarray(n), return_inverse=True)
    count = np.maximum(sizes, 3).astype(np.float64)
    t_squared = _distributions().stdtrit(count - 2.0, 1.0 - LEVEL / (2.0 * count)) ** 2
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
    flagged = (np.arange(heights_m.shape[-1]) == place) & suspected[..., None]
    suspect = np.take_along_axis(heights_m, place, axis=-1)[..., 0]
    others = ratio(mean_m * n - suspect, n - 1)
    return Anomalies(flagged, statistic, critical, np.where(suspected, others, mean_m))


Suggestion = Literal["cooling", "rising", "nothing", "cannot be told"]


@dataclass(frozen=True)
class Drift:
    """Least-squares slope of height against repeat number, with its standard uncertainty.

    Arrays of one shape. The slope needs two readings, the rest one degree of freedom; else NaN.
    """

    slope_m_per_repeat: FloatArray
    uncertainty_m_per_repeat: FloatArray
    degrees_of_freedom: FloatArray
    p: FloatArray  # two-sided, Student's t


def can_cool(temperatures_k: ArrayLike) -> BoolArray:
    """Which sets are warmer than any room, so that a ball that is left alone cools."""
    warm: BoolArray = np.asarray(temperatures_k) > kelvin(WARMEST_ROOM_C) + 1e-6
    return warm


def drifts(
    heights_m: FloatArray, resolution_m: float, pooled: ArrayLike = True
) -> tuple[Drift, Drift]:
    """Drift of each set of heights (..., sets, repeats), and the pooled drift of each table.

    `pooled` says of which sets (sets,) the pooled drift is taken. NaN is a missing repeat; the
    place along the last axis is the repeat's number. The residual variance is never taken smaller
    than that of rounding, resolution_m^2/12: three rounded readings fall on a line by luck too
    often to trust their residuals.
    """
    present = ~np.isnan(heights_m)
    n = np.sum(present, axis=-1)
    repeat = _centred(np.where(present, np.arange(heights_m.shape[-1]), np.nan), n)
    height = _centred(heights_m, n)
    run = np.sum(repeat * repeat, axis=-1)
    rise = np.sum(repeat * height, axis=-1)
    each = _drift(ratio(rise, run), run, (repeat, height), (n - 2.0, resolution_m))
    if heights_m.ndim == 1:
        return each, each
    taken = np.broadcast_to(np.asarray(pooled, dtype=np.float64), heights_m.shape[-2:-1])
    table_run = np.sum(taken * run, axis=-1)
    freedom = np.sum(taken * np.maximum(n - 1, 0), axis=-1) - 1.0
    flat = (*heights_m.shape[:-2], -1)
    readings = tuple((taken[:, None] * each).reshape(flat) for each in (repeat, height))
    slope = ratio(np.sum(taken * rise, axis=-1), table_run)
    return each, _drift(slope, table_run, readings, (freedom, resolution_m))


def suggests(drift: Drift) -> Suggestion:
    """Say what one drift (scalar fields) suggests at the 5 % level."""
    if np.isnan(drift.p):
        return "cannot be told"
    if drift.p >= LEVEL:
        return "nothing"
    return "cooling" if drift.slope_m_per_repeat < 0 else "rising"


def _centred(values: FloatArray, n: FloatArray) -> FloatArray:
    """Values less their set's mean, 0 at the gaps."""
    mean = ratio(np.nansum(values, axis=-1), n)[..., None]
    return np.where(np.isnan(values), 0.0, values - mean)


def _drift(
    slope: FloatArray,
    run: FloatArray,
    readings: tuple[FloatArray, ...],
    freedom_and_resolution: tuple[FloatArray, float],
) -> Drift:
    repeat, height = readings
    freedom, resolution_m = freedom_and_resolution
    residual = height - slope[..., None] * repeat
    squares = np.sum(residual * residual, axis=-1)
    variance = np.maximum(
        ratio(squares, np.where(freedom >= 1, freedom, np.nan)), resolution_m**2 / 12.0
    )
    uncertainty = np.sqrt(ratio(variance, run))
    return Drift(slope, uncertainty, freedom, two_sided_p(slope, uncertainty, freedom))


@dataclass(frozen=True, kw_only=True)
class SetSpread:
    """The spread of the repeats, one value a set (a set: the repeats at one temperature).

    Every array has the shape of the heights without their last axis; metres throughout.
    NaN where it cannot be said: everything but n, mean, smallest, largest and range needs two
    repeats. `analysis.report.sentences.spread_reason` gives the reason.
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
    resolution_m: float  # graduation the readings were rounded to; 0 when they were not


@dataclass(frozen=True, kw_only=True)
class Spread(SetSpread):
    """The spread, and what is judged of the readings by chance."""

    anomalies: Anomalies  # found and reported, still in every figure of the spread
    drift: Drift  # over the repeats of each set
    pooled_drift: Drift  # one slope for the sets that can cool; shape without the sets' axis


def spread(heights_m: ArrayLike, resolution_m: float = 0.0, pooled: ArrayLike = True) -> Spread:
    """Spread, anomalies and drift of heights (..., sets, repeats), as `set_spread` takes them.

    The place along the last axis is the repeat's number. A one-dimensional array counts as one set:
    pooled_drift then equals drift. `pooled` says of which sets (sets,) the pooled drift is taken:
    those that can cool.
    """
    heights = _checked(heights_m)
    plain = set_spread(heights, resolution_m)
    drift, common = drifts(heights, resolution_m, pooled)
    return Spread(
        **vars(plain),
        anomalies=find_anomalies(heights, plain.mean_m, plain.standard_deviation_m, resolution_m),
        drift=drift,
        pooled_drift=common,
    )


def set_spread(heights_m: ArrayLike, resolution_m: float = 0.0) -> SetSpread:
    """Spread of heights of shape (..., sets, repeats) in one call, however many leading axes.

    NaN marks a missing repeat. A one-dimensional array counts as one set. `resolution_m` is the
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
    return SetSpread(
        n=n,
        mean_m=mean,
        smallest_m=smallest,
        largest_m=largest,
        range_m=largest - smallest,
        half_range_m=half_range,
        uncertainty_m=uncertainty,
        percentage=percent(ratio(uncertainty, mean)),
        standard_deviation_m=deviation,
        standard_uncertainty_m=ratio(deviation, np.sqrt(n)),
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
