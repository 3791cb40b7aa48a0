"""Straight lines: of least squares, and the steepest and shallowest through every bar.

The formulas are those of ordinary least squares about the centroid, as in JCGM 100:2008, H.3.

A line a + b x passes through every bar (low to high at each x) when, for its gradient b, the
highest of the "low - b x" is no higher than the lowest of the "high - b x". The excess of the one
over the other is a convex, piecewise straight function of b, so Newton's steps from a gradient that
is surely too steep walk down its pieces and end exactly on the largest gradient allowed: the
solution of the linear programme in two unknowns, for every table at once.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from analysis.quantity.units import FloatArray, ratio


@dataclass(frozen=True)
class Line:
    """y = intercept + gradient (x - origin); arrays over the leading axes (scalars for one line).

    Gradient and intercept need two different x, their uncertainties three points; else NaN.
    """

    origin: float
    n: FloatArray
    gradient: FloatArray
    intercept: FloatArray  # value of y at x = origin
    gradient_uncertainty: FloatArray  # standard
    intercept_uncertainty: FloatArray  # standard
    coefficient_correlation: FloatArray  # between the two estimates (GUM's r(y1, y2))
    correlation: FloatArray  # Pearson's r between x and y; NaN when y does not vary
    r_squared: FloatArray
    residual_sd: FloatArray  # divisor n - 2
    degrees_of_freedom: FloatArray  # n - 2
    mean_x: FloatArray
    sum_of_squares_x: FloatArray  # about the mean

    def at(self, x: ArrayLike) -> FloatArray:
        """Give the value of the line at x, which broadcasts against the leading axes."""
        return self.intercept + self.gradient * (np.asarray(x, dtype=np.float64) - self.origin)

    def uncertainty_at(self, x: ArrayLike) -> FloatArray:
        """Give the standard uncertainty of the line itself (not of one further reading) at x."""
        from_mean = np.asarray(x, dtype=np.float64) - self.mean_x
        spread = ratio(1.0, self.n) + ratio(from_mean * from_mean, self.sum_of_squares_x)
        return self.residual_sd * np.sqrt(spread)


def fit_line(x: ArrayLike, y: ArrayLike, origin: float = 0.0) -> Line:
    """Unweighted least squares along the last axis of y (..., n), on all leading axes at once.

    x has shape (n,) or that of y; points where x or y is NaN are left out. `origin` is the x at
    which the intercept is wanted.
    """
    across, up = np.broadcast_arrays(
        np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    )
    present = ~(np.isnan(across) | np.isnan(up))
    n = np.sum(present, axis=-1).astype(np.float64)
    mean_x, run = _centred(across, present, n)
    mean_y, rise = _centred(up, present, n)
    squares_x = np.sum(run * run, axis=-1)
    squares_y = np.sum(rise * rise, axis=-1)
    gradient = ratio(np.sum(run * rise, axis=-1), squares_x)
    residual = rise - gradient[..., None] * run
    freedom = n - 2.0
    squares = np.sum(residual * residual, axis=-1)
    sd = np.sqrt(ratio(squares, np.where(freedom > 0, freedom, np.nan)))
    to_origin = mean_x - origin
    leverage = np.sqrt(ratio(1.0, n) + ratio(to_origin * to_origin, squares_x))
    correlation = ratio(np.sum(run * rise, axis=-1), np.sqrt(squares_x * squares_y))
    return Line(
        origin=origin,
        n=n,
        gradient=gradient,
        intercept=mean_y - gradient * to_origin,
        gradient_uncertainty=ratio(sd, np.sqrt(squares_x)),
        intercept_uncertainty=sd * leverage,
        coefficient_correlation=-ratio(to_origin, np.sqrt(squares_x) * leverage),
        correlation=correlation,
        r_squared=1.0 - ratio(squares, squares_y),
        residual_sd=sd,
        degrees_of_freedom=freedom,
        mean_x=mean_x,
        sum_of_squares_x=squares_x,
    )


def _centred(
    values: FloatArray, present: np.ndarray, n: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Mean, and values less the mean with 0 at the gaps; exactly 0 where all agree."""
    mean = ratio(np.sum(values, axis=-1, where=present), n)
    mean = mean + ratio(np.sum(values - mean[..., None], axis=-1, where=present), n)
    return mean, np.where(present, values - mean[..., None], 0.0)


_DUST = 1e-12
"""Share of the heights' size below which an excess is the rounding of binary arithmetic."""


@dataclass(frozen=True)
class Extremes:
    """Steepest and shallowest lines, y = intercept + gradient (x - origin); NaN where none is.

    "Steepest" has the largest gradient with its sign, "shallowest" the smallest. Arrays over the
    leading axes.
    """

    origin: float
    steepest_gradient: FloatArray
    steepest_intercept: FloatArray
    shallowest_gradient: FloatArray
    shallowest_intercept: FloatArray
    gradient_uncertainty: FloatArray  # half the difference of the two gradients
    bars: FloatArray  # bars that the lines had to pass through


def extreme_lines(
    x: ArrayLike, y: ArrayLike, half_range: ArrayLike, origin: float = 0.0
) -> Extremes:
    """Extreme lines through the bars y ± half_range at x, along the last axis.

    x has shape (n,) or that of y (..., n). A bar with any part NaN binds nothing; fewer than two
    bars at different x, or bars that no straight line passes through, give NaN.
    """
    across, middle, half = np.broadcast_arrays(
        *(np.asarray(each, dtype=np.float64) for each in (x, y, half_range))
    )
    present = ~(np.isnan(across) | np.isnan(middle) | np.isnan(half))
    run = np.where(present, across - origin, 0.0)
    low = np.where(present, middle - half, -np.inf)
    high = np.where(present, middle + half, np.inf)
    steepest, at_steepest = _largest_gradient(run, low, high, present)
    negative, at_shallowest = _largest_gradient(-run, low, high, present)
    return Extremes(
        origin=origin,
        steepest_gradient=steepest,
        steepest_intercept=at_steepest,
        shallowest_gradient=-negative,
        shallowest_intercept=at_shallowest,
        gradient_uncertainty=(steepest + negative) / 2.0,
        bars=np.sum(present, axis=-1).astype(np.float64),
    )


def _largest_gradient(
    run: FloatArray, low: FloatArray, high: FloatArray, present: np.ndarray
) -> tuple[FloatArray, FloatArray]:
    """Largest gradient whose line passes through every bar, and the line's value at run 0."""
    first = np.argmin(np.where(present, run, np.inf), axis=-1)[..., None]
    last = np.argmax(np.where(present, run, -np.inf), axis=-1)[..., None]
    span = _pick(run, last) - _pick(run, first)
    possible = (np.sum(present, axis=-1) >= 2) & (span > 0)
    fall = np.where(
        possible,
        _pick(np.where(present, high, 0.0), last) - _pick(np.where(present, low, 0.0), first),
        0.0,
    )
    gradient = fall / np.where(possible, span, 1.0)
    size = np.max(np.where(present, np.maximum(np.abs(low), np.abs(high)), 0.0), axis=-1)
    # Every step leaves one straight piece of the excess behind, and bars bound the pieces.
    for _ in range(2 * run.shape[-1] + 1):
        excess, slope, floor = _excess(gradient, run, low, high)
        steep = possible & (excess > _DUST * size) & (slope > 0)
        if not steep.any():
            break
        gradient = np.where(steep, gradient - excess / np.where(steep, slope, 1.0), gradient)
    fits = possible & (excess <= _DUST * size)
    return np.where(fits, gradient, np.nan), np.where(fits, floor, np.nan)


def _excess(
    gradient: FloatArray, run: FloatArray, low: FloatArray, high: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """By how much lows overtop highs at this gradient, its slope, and the highest low."""
    lows = low - gradient[..., None] * run
    highs = high - gradient[..., None] * run
    top = np.argmax(lows, axis=-1)[..., None]
    bottom = np.argmin(highs, axis=-1)[..., None]
    floor = _pick(lows, top)
    return floor - _pick(highs, bottom), _pick(run, bottom) - _pick(run, top), floor


def _pick(values: FloatArray, place: np.ndarray) -> FloatArray:
    return np.take_along_axis(values, place, axis=-1)[..., 0]
