"""Two procedures side by side, such as not reheated between drops (A) and reheated (B).

The tables are brought to the temperatures they share; their drifts and gradients are compared by
Student's t, their spreads by a ratio with an interval and a test that suit small groups.

Whether B's repeats agree better is judged in one place, `steadier`, for every table and screen. Two
questions are asked: of the drift over the repeats, in the sets that can cool, and of the spread.
Each is asked at half the level, so that both together find something by luck in 5 of 100 at most
(Bonferroni). The readings of a ball that cools fall from drop to drop, so the drift decides where
it is told; where it is not, the spread does.

The spread of a procedure is its pooled standard deviation: the sets' variances averaged by their
degrees of freedom (readings less one). A handful of readings at each of a few temperatures gives
each procedure some ten to twenty degrees of freedom. What spreads is the repeats as they came: a
drift over the repeats is part of it.

- `normal_interval` is the F interval for two pooled variances, exact for normal readings with one
  standard deviation per procedure. It is led astray by other readings: in simulations it covered
  the true ratio in 80 of 100 experiments with heavy tails (Student's t, 4 degrees of freedom) and
  in 91 of 100 where the spread grew threefold from the coldest to the hottest set.
- So test and `interval` come from permutations: of the distances of the readings
  from the median of their set, the robust distances of Brown and Forsythe. Asked is what share of
  all ways of dealing the distances of a set out to the two procedures gives a total as lopsided as
  the one found; the interval holds the ratios by which B can be divided without the total becoming
  lopsided. In the same simulations it covered 96 to 98 of 100 throughout; it was a fifth to two
  fifths wider (ends compared in logarithms), twice as wide for three readings a set rounded to a
  graduation larger than their spread.

In a set of n readings one distance follows from the others and is left out, the smallest; the rest
are scaled so that sets of different n are alike when the spreads are (by the mean for normal
readings). Where the repeats of one procedure all agree, the distances have no ratio, and the
interval is the normal one with the rounding for that procedure's spread.

The dealing is counted out, so no random numbers are needed. `a` and `b` list the distances of
procedures A and B set by set. Under equal spreads every way of dealing a set's distances out to the
two is as likely as the one found; the question is how lopsided B's total is among all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import binom, fdtri, ndtr, ndtri

from analysis.quantity.units import BoolArray, FloatArray, ratio
from analysis.readings.sets import RepeatTable
from analysis.refusal import Refused
from analysis.statistics.line import fit_line
from analysis.statistics.spread import (
    LEVEL,
    Drift,
    Spread,
    can_cool,
    drifts,
    spread,
    two_sided_p,
)

_SAME_K = 0.05
"""Temperatures closer than this are the same setting of the bath."""

EACH_LEVEL = LEVEL / 2.0
"""The level of each of the two questions."""

Answer = Literal["b", "a", "not settled", "cannot be told"]
"""Which procedure's repeats agree better, by one question or by both."""


@dataclass(frozen=True)
class Difference:
    """B minus A of one figure, with standard uncertainty and two-sided p value (Student's t)."""

    a: float
    b: float
    difference: float
    uncertainty: float
    degrees_of_freedom: float
    p: float

    @property
    def nearer_nought(self) -> Answer:
        """Whose figure is the smaller one, whatever its sign."""
        if np.isnan(self.p):
            return "cannot be told"
        if self.p >= EACH_LEVEL:
            return "not settled"
        return "b" if abs(self.b) < abs(self.a) else "a"


@dataclass(frozen=True)
class Contrast:
    """Procedure B held against procedure A at the temperatures they share."""

    temperatures_k: FloatArray  # shared, in order
    spread_a: Spread  # per temperature: half_range_m, standard_deviation_m, ...
    spread_b: Spread
    spreads: SpreadRatio  # pooled standard deviation of B over that of A
    drift_m_per_repeat: Difference  # pooled drifts of the sets that can cool, Welch's t
    gradient_m_per_k: Difference  # from the differences of the means, temperature by temperature


def contrast(a: RepeatTable, b: RepeatTable, resolution_m: float = 0.0) -> Contrast:
    """Hold B against A at the temperatures (to 0.05 K) they share.

    `resolution_m` is the graduation the readings were rounded to. The difference of the gradients
    is the gradient of the differences, so that a curve which both share does not blur it.
    Deterministic. Raises Refused when the tables share no temperature.
    """
    rows_a, rows_b = _matched(a.temperatures_k, b.temperatures_k)
    temperatures = a.temperatures_k[rows_a]
    heights_a, heights_b = a.heights_m[rows_a], b.heights_m[rows_b]
    warm = can_cool(temperatures)
    spread_a, spread_b = (
        spread(heights_m, resolution_m, warm) for heights_m in (heights_a, heights_b)
    )
    return Contrast(
        temperatures_k=temperatures,
        spread_a=spread_a,
        spread_b=spread_b,
        spreads=spread_ratio(heights_a, heights_b, resolution_m),
        drift_m_per_repeat=_drift_difference(spread_a.pooled_drift, spread_b.pooled_drift),
        gradient_m_per_k=_gradient_difference(temperatures, spread_a, spread_b),
    )


def steadier(found: Contrast) -> Answer:
    """Whose repeats agree better: the one judgement of the two questions together."""
    drift, by_spread = found.drift_m_per_repeat.nearer_nought, found.spreads.narrower
    return drift if drift in ("a", "b") or by_spread == "cannot be told" else by_spread


def b_steadier(
    a_m: FloatArray, b_m: FloatArray, temperatures_k: FloatArray, resolution_m: float
) -> BoolArray:
    """Whether `steadier` says "b" of each of many tables, shape (tables, sets, repeats)."""
    warm = can_cool(temperatures_k)
    (_, drift_a), (_, drift_b) = (drifts(each, resolution_m, warm) for each in (a_m, b_m))
    slope_a, slope_b = drift_a.slope_m_per_repeat, drift_b.slope_m_per_repeat
    told = _welch(drift_a, drift_b)[2] < EACH_LEVEL
    return np.array(
        [
            abs(slope_b[table]) < abs(slope_a[table])
            if told[table]
            else spread_ratio(a_m[table], b_m[table], resolution_m).narrower == "b"
            for table in range(len(a_m))
        ]
    )


def _matched(a_k: FloatArray, b_k: FloatArray) -> tuple[np.ndarray, np.ndarray]:
    """Rows of A and of B at shared temperatures, in order."""
    same = np.abs(a_k[:, None] - b_k[None, :]) < _SAME_K
    rows_a, rows_b = np.nonzero(same)
    if rows_a.size == 0:
        raise Refused(
            "The two procedures share no temperature; take readings at the same temperatures."
        )
    order = np.argsort(a_k[rows_a], kind="stable")
    return rows_a[order], rows_b[order]


def _difference(values: tuple[float, float], estimate: tuple[float, float, float]) -> Difference:
    difference, uncertainty, degrees = (float(each) for each in estimate)
    return Difference(
        a=float(values[0]),
        b=float(values[1]),
        difference=difference,
        uncertainty=uncertainty,
        degrees_of_freedom=degrees,
        p=float(two_sided_p(difference, uncertainty, degrees)),
    )


def _drift_difference(a: Drift, b: Drift) -> Difference:
    slopes = (float(a.slope_m_per_repeat), float(b.slope_m_per_repeat))
    uncertainty, degrees, _ = (float(each) for each in _welch(a, b))
    return _difference(slopes, (slopes[1] - slopes[0], uncertainty, degrees))


def _welch(a: Drift, b: Drift) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Uncertainty, degrees of freedom and p of the difference of two drifts, any shape."""
    variance_a, variance_b = (each.uncertainty_m_per_repeat**2 for each in (a, b))
    both = variance_a + variance_b
    # Welch and Satterthwaite: the degrees of freedom of a sum of two variances.
    shares = ratio(variance_a**2, a.degrees_of_freedom) + ratio(variance_b**2, b.degrees_of_freedom)
    degrees, uncertainty = ratio(both**2, shares), np.sqrt(both)
    difference = b.slope_m_per_repeat - a.slope_m_per_repeat
    return uncertainty, degrees, two_sided_p(difference, uncertainty, degrees)


def _gradient_difference(temperatures_k: FloatArray, a: Spread, b: Spread) -> Difference:
    both = np.where(np.isnan(a.mean_m + b.mean_m), np.nan, temperatures_k)
    line = fit_line(both, b.mean_m - a.mean_m)
    gradients = (fit_line(both, a.mean_m).gradient, fit_line(both, b.mean_m).gradient)
    return _difference(
        (float(gradients[0]), float(gradients[1])),
        (float(line.gradient), float(line.gradient_uncertainty), float(line.degrees_of_freedom)),
    )


@dataclass(frozen=True)
class SpreadRatio:
    """Pooled standard deviation of B over that of A; NaN where it cannot be told."""

    pooled_a_m: float
    pooled_b_m: float
    degrees_a: float
    degrees_b: float
    ratio: float
    interval: tuple[float, float]  # 95 %, by permutation; 0 or infinite where it has no end
    normal_interval: tuple[float, float]  # 95 %, normal theory
    p: float  # two-sided, by permutation

    @property
    def narrower(self) -> Answer:
        """Whose spread is smaller, where test and interval both say so."""
        if np.isnan(self.p) or np.isnan(self.interval).any():
            return "cannot be told"
        low, high = self.interval
        if self.p >= EACH_LEVEL or low <= 1.0 <= high:
            return "not settled"
        return "b" if self.ratio < 1.0 else "a"


def spread_ratio(a_m: FloatArray, b_m: FloatArray, resolution_m: float = 0.0) -> SpreadRatio:
    """Compare heights (T, R) of A and (T, S) of B, whose rows are at the same temperatures.

    NaN marks a missing reading. A pooled variance is never taken smaller than that of rounding,
    resolution_m^2/12.
    """
    pooled_a, degrees_a = _pooled(a_m, resolution_m)
    pooled_b, degrees_b = _pooled(b_m, resolution_m)
    found = ratio(pooled_b, pooled_a)
    ends = variance_interval(found**2, degrees_b, degrees_a)
    normal = (float(np.sqrt(ends[0])), float(np.sqrt(ends[1])))
    distances_a, distances_b = distances(a_m), distances(b_m)
    return SpreadRatio(
        pooled_a_m=float(pooled_a),
        pooled_b_m=float(pooled_b),
        degrees_a=degrees_a,
        degrees_b=degrees_b,
        ratio=float(found),
        interval=permutation_interval(distances_a, distances_b) or normal,
        normal_interval=normal,
        p=permutation_p(distances_a, distances_b),
    )


def variance_interval(
    variance_ratio: ArrayLike, degrees_above: ArrayLike, degrees_below: ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """95 % F interval for a ratio of variances, any shape; NaN below one degree of freedom."""
    found, above, below = np.broadcast_arrays(
        *(np.asarray(x, dtype=np.float64) for x in (variance_ratio, degrees_above, degrees_below))
    )
    told = (above >= 1.0) & (below >= 1.0) & np.isfinite(found)
    first, second = np.where(told, above, 1.0), np.where(told, below, 1.0)
    low = found / fdtri(first, second, 1.0 - LEVEL / 2.0)
    high = found / fdtri(first, second, LEVEL / 2.0)
    return np.where(told, low, np.nan), np.where(told, high, np.nan)


def _pooled(heights_m: FloatArray, resolution_m: float) -> tuple[FloatArray, float]:
    """Pooled standard deviation and its degrees of freedom; NaN without a repeated reading."""
    present = ~np.isnan(heights_m)
    n = present.sum(axis=-1)
    mean = ratio(np.nansum(heights_m, axis=-1), n)
    from_mean = np.where(present, heights_m - mean[:, None], 0.0)
    degrees = float(np.maximum(n - 1, 0).sum())
    variance = ratio((from_mean**2).sum(), degrees)
    return np.sqrt(np.maximum(variance, resolution_m**2 / 12.0)), degrees


def distances(heights_m: FloatArray) -> list[FloatArray]:
    """Scaled distances from each set's median, the smallest left out; none below two readings."""
    answer = []
    for row in heights_m:
        readings = row[~np.isnan(row)]
        if readings.size < 2:
            answer.append(np.empty(0))
            continue
        distance = np.sort(np.abs(readings - np.median(readings)))[1:]
        answer.append(distance / normal_distance(readings.size))
    return answer


@lru_cache(maxsize=64)
def normal_distance(n: int) -> float:
    """Mean of the n - 1 larger distances from the median of n standard normal readings.

    From the expected order statistics, integrated numerically. Beyond 100 readings the limit,
    sqrt(2/pi), serves; it is within 1 %.
    """
    if n > 100:
        return float(np.sqrt(2.0 / np.pi))
    z = np.linspace(-9.0, 9.0, 3601)
    below = ndtr(z)
    density = np.exp(-z * z / 2.0) / np.sqrt(2.0 * np.pi)

    def expected(rank: int) -> float:
        above_it = n - rank
        weight = rank * binom(n, rank) * below ** (rank - 1) * (1.0 - below) ** above_it
        return float(np.sum(z * weight * density) * (z[1] - z[0]))

    half = n // 2
    upper = [expected(rank) for rank in range(n - half + 1, n + 1)]
    smallest = upper[0] if n % 2 == 0 else 0.0
    return (2.0 * sum(upper) - smallest) / (n - 1)


_UNITS = 500
"""The largest distance in whole units: fine enough to order totals, coarse enough to count them."""

_STEPS = np.exp(np.linspace(-4.0, 4.0, 641))
"""Ratios tried about the estimate: a fiftieth to fifty times it, an eightieth apart."""

_MOST_IN_SET = 40
_MOST_SETS = 40
"""Beyond these the share is taken from the normal distribution with the exact mean and variance."""


def permutation_p(a: list[FloatArray], b: list[FloatArray]) -> float:
    """Share of all dealings, within each set, as lopsided as B's total of the distances; two-sided.

    NaN when no set has distances of both, or all are zero. Worked out in full up to 40 sets of 40
    distances, beyond from the normal distribution with the exact mean and variance.
    """
    both = _in_both(a, b)
    largest = max((float(max(x.max(), y.max())) for x, y in both), default=0.0)
    if largest == 0.0:
        return np.nan
    found = sum(float(y.sum()) for _, y in both)
    expected = sum(y.size * float(np.append(x, y).mean()) for x, y in both)
    if len(both) > _MOST_SETS or any(x.size + y.size > _MOST_IN_SET for x, y in both):
        variance = sum(_dealt_variance(np.append(x, y), y.size) for x, y in both)
        return float(2.0 * ndtr(-abs(found - expected) / np.sqrt(variance)))
    units = [
        (np.rint(x / largest * _UNITS).astype(int), np.rint(y / largest * _UNITS).astype(int))
        for x, y in both
    ]
    return _counted_p(units)


def permutation_interval(a: list[FloatArray], b: list[FloatArray]) -> tuple[float, float] | None:
    """95 % interval for the ratio of B's spread to A's; None where either has no spread at all.

    The ratios by which B's distances can be divided without the total becoming lopsided, judged by
    the normal distribution with the exact mean and variance of the dealt totals. Tried in steps of
    1.25 % and widened by one step; an end beyond fifty times the estimate is 0 or infinite.
    """
    both = _in_both(a, b)
    # Sizes, sums and sums of squares, a column each with a row a set: all that variances need.
    size_a, sum_a, squares_a = _sums([x for x, _ in both])
    size_b, sum_b, squares_b = _sums([y for _, y in both])
    if sum_a.sum() == 0.0 or sum_b.sum() == 0.0:
        return None
    estimate = (sum_b.sum() / size_b.sum()) / (sum_a.sum() / size_a.sum())
    tried = estimate * _STEPS
    size, total = size_a + size_b, sum_a + sum_b / tried
    squares = squares_a + squares_b / tried**2 - total**2 / size
    excess = np.sum(sum_b / tried - size_b * total / size, axis=0)
    variance = np.sum(size_a * size_b / size * squares / (size - 1.0), axis=0)
    lopsided = ratio(np.abs(excess), np.sqrt(np.maximum(variance, 0.0)))
    allowed = np.flatnonzero(~(lopsided > -ndtri(LEVEL / 2.0)))
    first, last = int(allowed[0]), int(allowed[-1])
    low = 0.0 if first == 0 else float(tried[first - 1])
    return low, np.inf if last == tried.size - 1 else float(tried[last + 1])


def _in_both(a: list[FloatArray], b: list[FloatArray]) -> list[tuple[FloatArray, FloatArray]]:
    return [(x, y) for x, y in zip(a, b, strict=True) if x.size and y.size]


def _counted_p(units: list[tuple[np.ndarray, np.ndarray]]) -> float:
    """Count the exact share, for distances in whole units."""
    sets = [(np.append(x, y), y.size) for x, y in units]
    size = 1 + sum(int(everything.sum()) for everything, _ in sets)
    # The chances of a sum of independent totals: a product of Fourier transforms, quick at a
    # length that is a power of two.
    length = 1 << (size - 1).bit_length()
    waves = [np.fft.rfft(_dealt_totals(everything, taken), length) for everything, taken in sets]
    chances = np.fft.irfft(np.prod(waves, axis=0), length)[:size]
    expected = sum(taken * float(everything.mean()) for everything, taken in sets)
    found = sum(int(y.sum()) for _, y in units)
    lopsided = np.abs(np.arange(chances.size) - expected) >= abs(found - expected) - 1e-9
    return float(np.clip(chances[lopsided].sum(), 0.0, 1.0))


def _dealt_totals(everything: np.ndarray, taken: int) -> FloatArray:
    """Chance of each total when `taken` of the whole numbers are dealt out at random."""
    ways = np.zeros((taken + 1, int(everything.sum()) + 1))
    ways[0, 0] = 1.0
    for value in everything:
        fewer = ways[:-1, : ways.shape[1] - value].copy()
        ways[1:, value:] += fewer
    chances: FloatArray = ways[taken] / ways[taken].sum()
    return chances


def _dealt_variance(everything: FloatArray, taken: int) -> float:
    """Variance of the total of `taken` of the numbers, drawn without putting back."""
    size = everything.size
    return taken * (size - taken) / size * float(np.var(everything, ddof=1))


def _sums(sets: list[FloatArray]) -> tuple[FloatArray, FloatArray, FloatArray]:
    columns = [(float(each.size), float(each.sum()), float((each**2).sum())) for each in sets]
    size, total, squares = np.array(columns).reshape(-1, 3).T[..., None]
    return size, total, squares
