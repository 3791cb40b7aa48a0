"""Least-squares straight line with its uncertainties.

The formulas are those of ordinary least squares about the centroid, as in JCGM 100:2008, H.3.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from analysis.gaps import FloatArray, ratio


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
