"""Whether a straight line is enough: lack of fit against the repeats, or a squared term.

With repeats: the scatter of the means about the line (weighted by their number of readings, so
that it is the least-squares line of all readings) is held against the scatter of the repeats about
their means, the classical F test of lack of fit. It asks whether the means miss the line by more
than the repeats account for, so it needs three temperatures and one repeated reading.
Without repeats: whether a squared term improves the line, which needs four temperatures.

Points that miss the line need not lie on a curve. They are said to curve only where the squared
term stands out both from the scatter of the repeats and from what is left once it is taken out;
with three temperatures nothing is left to compare, so a curve and a stray point look the same.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from analysis.gaps import BoolArray, FloatArray, ratio
from analysis.significance import LEVEL, f_p, two_sided_p
from analysis.spread import Spread

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
