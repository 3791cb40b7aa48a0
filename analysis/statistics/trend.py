"""The trend of rebound height with temperature: line, extreme lines, straightness, repeatability.

The line is fitted to the means, each counting once, as on a student's graph. It is not forced
through the origin.

Whether a straight line is enough. With repeats: the scatter of the means about the line (weighted
by their number of readings, so that it is the least-squares line of all readings) is held against
the scatter of the repeats about their means, the classical F test of lack of fit. It asks whether
the means miss the line by more than the repeats account for, so it needs three temperatures and one
repeated reading. Without repeats: whether a squared term improves the line, which needs four
temperatures. Points that miss the line need not lie on a curve. They are said to curve only where
the squared term stands out both from the scatter of the repeats and from what is left once it is
taken out; with three temperatures nothing is left to compare, so a curve and a stray point look the
same.

Whether readings are repeatable. Two neighbouring temperatures are told apart when their bars (mean
± uncertainty, which is the half-range) do not overlap, that is when the two half-ranges together
are smaller than the change of the mean between them. The readings of a table are called repeatable
when every pair of neighbours is told apart, partly repeatable when some are, not repeatable when
none is. The rule asks whether the repeats agree well enough for the purpose; it is ours, no source.
"""

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from analysis.quantity.units import ZERO_CELSIUS_K, BoolArray, FloatArray, IntArray, ratio
from analysis.refusal import Refused
from analysis.statistics.line import Extremes, Line, extreme_lines, fit_line
from analysis.statistics.spread import LEVEL, SetSpread, Spread, f_p, two_sided_p

Shape = Literal["straight", "curves upwards", "curves downwards", "scattered", "cannot be told"]

_DUST = 1e-12
"""Share of the heights' size below which a miss is the rounding of binary arithmetic."""


@dataclass(frozen=True)
class Straightness:
    """F test of the straight line; arrays over the tables' leading axes.

    The curvature is the coefficient of the squared term when one is added to the line; positive
    curves upwards; its uncertainty needs four temperatures. NaN where there are too few
    temperatures or repeats.
    """

    from_repeats: BoolArray  # True: lack of fit against the repeats; False: squared term
    statistic: FloatArray  # F
    degrees_between: FloatArray
    degrees_within: FloatArray
    p: FloatArray
    curvature_m_per_k2: FloatArray
    curvature_uncertainty: FloatArray
    curvature_p: FloatArray


@dataclass(frozen=True)
class _Misses:
    """How the means miss the line, and how much of that a squared term takes up."""

    temperatures: FloatArray
    squares: FloatArray  # weighted sum of squares about the line
    curvature: FloatArray
    curvature_run: FloatArray  # weighted sum of squares of the squared term


def straight_enough(temperatures_k: ArrayLike, spread: Spread) -> Straightness:
    """Judge the means of (..., T) sets at temperatures (T,) or (..., T).

    A mean is never trusted to better than the rounding of one reading, variance resolution^2/12:
    repeats that agree all share the same rounding, so it does not average out.
    """
    misses = _misses(np.asarray(temperatures_k, dtype=np.float64), spread)
    extra = np.maximum(spread.n - 1, 0)
    freedom_repeats = np.sum(extra, axis=-1).astype(np.float64)
    squares_repeats = np.nansum(extra * spread.standard_deviation_m**2, axis=-1)
    from_repeats = freedom_repeats >= 1.0
    taken = misses.curvature**2 * misses.curvature_run
    left = np.maximum(misses.squares - taken, 0.0)
    within_freedom = np.where(from_repeats, freedom_repeats, misses.temperatures - 3.0)
    within = ratio(np.where(from_repeats, squares_repeats, left), np.maximum(within_freedom, 0.0))
    rounding = ratio(np.sum(spread.n, axis=-1), misses.temperatures) * spread.resolution_m**2 / 12.0
    within = np.maximum(within, rounding)
    between_freedom = np.where(from_repeats, misses.temperatures - 2.0, 1.0)
    between = np.where(from_repeats, misses.squares / np.maximum(between_freedom, 1.0), taken)
    beyond = ratio(left, np.maximum(misses.temperatures - 3.0, 0.0))
    bend_freedom = np.where(beyond > within, misses.temperatures - 3.0, within_freedom)
    uncertainty = np.sqrt(ratio(np.maximum(within, beyond), misses.curvature_run))
    return Straightness(
        from_repeats=from_repeats,
        statistic=np.where(between_freedom >= 1.0, ratio(between, within), np.nan),
        degrees_between=between_freedom,
        degrees_within=within_freedom,
        p=f_p(between, within, between_freedom, within_freedom),
        curvature_m_per_k2=misses.curvature,
        curvature_uncertainty=uncertainty,
        curvature_p=two_sided_p(misses.curvature, uncertainty, bend_freedom),
    )


def shape(straightness: Straightness) -> Shape:
    """Give the verdict for one table at the 5 % level.

    "scattered": the means miss the line by more than the repeats account for, but without a clear
    curve.
    """
    if np.isnan(straightness.p):
        return "cannot be told"
    if straightness.p >= LEVEL:
        return "straight"
    if not straightness.curvature_p < LEVEL:
        return "scattered"
    return "curves upwards" if straightness.curvature_m_per_k2 > 0 else "curves downwards"


def _misses(temperatures_k: FloatArray, spread: Spread) -> _Misses:
    weight = np.where(np.isnan(spread.mean_m), 0.0, spread.n)
    total = np.sum(weight, axis=-1)

    def centred(values: FloatArray) -> FloatArray:
        mean = ratio(np.sum(weight * values, axis=-1), total)
        return values - mean[..., None]

    mean_m = np.nan_to_num(spread.mean_m)
    run = centred(np.broadcast_to(temperatures_k, mean_m.shape))
    squares_run = np.sum(weight * run**2, axis=-1)
    rise = centred(mean_m)
    gradient = ratio(np.sum(weight * run * rise, axis=-1), squares_run)
    miss = rise - gradient[..., None] * run
    miss = np.where(np.abs(miss) > _DUST * np.abs(mean_m), miss, 0.0)
    # The part of the squared term that a straight line cannot follow.
    bend = centred(run**2) - ratio(np.sum(weight * run**3, axis=-1), squares_run)[..., None] * run
    points = np.sum(weight > 0, axis=-1).astype(np.float64)
    squares_bend = np.where(points > 2, np.sum(weight * bend**2, axis=-1), np.nan)
    return _Misses(
        temperatures=points,
        squares=np.sum(weight * miss**2, axis=-1),
        curvature=ratio(np.sum(weight * bend * miss, axis=-1), squares_bend),
        curvature_run=squares_bend,
    )


Verdict = Literal["repeatable", "partly repeatable", "not repeatable", "cannot be told"]


@dataclass(frozen=True)
class Repeatability:
    """Neighbouring temperatures compared; arrays over the tables' leading axes.

    `worst_overlap` is the sum of two neighbours' half-ranges over the change of their means, at the
    pair where it is largest (infinite when the means are equal); 1 or more means that bars overlap.
    """

    pairs: IntArray  # neighbouring pairs that could be judged
    pairs_apart: IntArray  # of these, the pairs whose bars do not overlap
    worst_overlap: FloatArray
    worst_low_k: FloatArray  # the pair it comes from
    worst_high_k: FloatArray
    largest_percentage: FloatArray  # largest percentage uncertainty of the table
    monotone: FloatArray  # +1: told apart and rising at every step; -1: falling; 0: neither


def repeatability(temperatures_k: ArrayLike, spread: SetSpread) -> Repeatability:
    """Compare neighbours in order of temperature: temperatures (T,) or (..., T), sets (..., T)."""
    unsorted = np.broadcast_to(np.asarray(temperatures_k, dtype=np.float64), spread.mean_m.shape)
    order = np.argsort(unsorted, axis=-1, kind="stable")
    temperature, mean, half = (
        np.take_along_axis(each, order, axis=-1)
        for each in (unsorted, spread.mean_m, spread.uncertainty_m)
    )
    step = np.diff(mean, axis=-1)
    bars = half[..., 1:] + half[..., :-1]
    judged = ~(np.isnan(step) | np.isnan(bars))
    apart = judged & (bars < np.abs(step))
    overlap = np.where(judged & (step == 0.0), np.inf, ratio(bars, np.abs(step)))
    worst, place = _worst(overlap, judged)
    all_apart = apart.all(axis=-1) & judged.any(axis=-1)
    one_way = np.sign(np.sum(np.sign(np.nan_to_num(step)), axis=-1))
    same_way = (np.sign(step) == one_way[..., None]).all(axis=-1)
    return Repeatability(
        pairs=np.sum(judged, axis=-1),
        pairs_apart=np.sum(apart, axis=-1),
        worst_overlap=worst,
        worst_low_k=_at(temperature[..., :-1], place, worst),
        worst_high_k=_at(temperature[..., 1:], place, worst),
        largest_percentage=_largest(spread.percentage),
        monotone=np.where(all_apart & same_way, one_way, 0.0),
    )


def verdict(repeatability: Repeatability) -> Verdict:
    """Give the verdict for one table (scalar fields)."""
    if repeatability.pairs == 0:
        return "cannot be told"
    if repeatability.pairs_apart == repeatability.pairs:
        return "repeatable"
    return "partly repeatable" if repeatability.pairs_apart > 0 else "not repeatable"


def _largest(values: FloatArray) -> FloatArray:
    known = ~np.isnan(values)
    largest = np.max(values, axis=-1, initial=-np.inf, where=known)
    return np.where(known.any(axis=-1), largest, np.nan)


def _worst(overlap: FloatArray, judged: np.ndarray) -> tuple[FloatArray, IntArray]:
    """Largest overlap and its place; with one temperature there is no pair, so NaN."""
    if overlap.shape[-1] == 0:
        none = np.full(overlap.shape[:-1], np.nan)
        return none, np.zeros((*overlap.shape[:-1], 1), dtype=np.int64)
    place = np.argmax(np.where(judged, overlap, -np.inf), axis=-1)[..., None]
    return np.take_along_axis(overlap, place, axis=-1)[..., 0], place


def _at(temperature: FloatArray, place: IntArray, worst: FloatArray) -> FloatArray:
    if temperature.shape[-1] == 0:
        return worst
    return np.where(
        np.isnan(worst), np.nan, np.take_along_axis(temperature, place, axis=-1)[..., 0]
    )


@dataclass(frozen=True)
class Trend:
    """Trend of one table or many (arrays over leading axes). Lines: metres against kelvin.

    `line.gradient` is in m/K; `line.intercept` is the height at 0 °C; `line.at(x)` takes kelvin.
    The same holds of `extremes`.
    """

    line: Line
    extremes: Extremes
    straightness: Straightness
    repeatability: Repeatability
    lowest_k: FloatArray  # of the temperatures that have a reading
    highest_k: FloatArray
    gradient_p: FloatArray  # two-sided p value of "no change"
    intercept_p: FloatArray  # two-sided p value of "0 cm at 0 °C"
    direction: FloatArray  # +1 increases, -1 decreases, 0 no clear change, NaN cannot be told


def trend(temperatures_k: ArrayLike, spread: Spread) -> Trend:
    """Trend of the means, vectorised: temperatures (T,) or (..., T), spread of (..., T) sets.

    The direction is called clear when the gradient differs from zero at the 5 % level, or when the
    means change the same way at every step with no two neighbouring bars overlapping (which tells
    it even for two or three temperatures). In those tests the residual variance is never taken
    smaller than that of rounding, resolution^2/12. One temperature gives NaN throughout; the reason
    stands in `analysis.report.sentences.trend_reason`.
    Raises Refused when a temperature is missing or the shapes do not agree.
    """
    temperatures = _checked(temperatures_k, spread)
    line = fit_line(temperatures, spread.mean_m, origin=ZERO_CELSIUS_K)
    steps = repeatability(temperatures, spread)
    cautious = replace(
        line, residual_sd=np.maximum(line.residual_sd, spread.resolution_m / np.sqrt(12.0))
    )
    gradient_p = two_sided_p(
        line.gradient,
        ratio(cautious.residual_sd, np.sqrt(line.sum_of_squares_x)),
        line.degrees_of_freedom,
    )
    measured = spread.n > 0
    return Trend(
        line=line,
        extremes=extreme_lines(temperatures, spread.mean_m, spread.uncertainty_m, ZERO_CELSIUS_K),
        straightness=straight_enough(temperatures, spread),
        repeatability=steps,
        lowest_k=np.min(temperatures, axis=-1, initial=np.inf, where=measured),
        highest_k=np.max(temperatures, axis=-1, initial=-np.inf, where=measured),
        gradient_p=gradient_p,
        intercept_p=two_sided_p(
            line.intercept, cautious.uncertainty_at(ZERO_CELSIUS_K), line.degrees_of_freedom
        ),
        direction=_direction(line, gradient_p, steps),
    )


def _checked(temperatures_k: ArrayLike, spread: Spread) -> FloatArray:
    temperatures = np.asarray(temperatures_k, dtype=np.float64)
    sets = np.shape(spread.mean_m)
    if not sets or not temperatures.ndim or temperatures.shape[-1] != sets[-1]:
        raise Refused(
            f"There are {temperatures.size} temperatures for {sets[-1] if sets else 1} sets of "
            "readings; give one temperature for each set."
        )
    if not np.isfinite(temperatures).all():
        raise Refused("A temperature is missing; give one for each set of readings.")
    return np.broadcast_to(temperatures, sets)


def _direction(line: Line, gradient_p: FloatArray, steps: Repeatability) -> FloatArray:
    told = ~np.isnan(gradient_p) | ((steps.pairs > 0) & ~np.isnan(line.gradient))
    clear = np.where(gradient_p < LEVEL, np.sign(line.gradient), steps.monotone)
    return np.where(told, clear, np.nan)
