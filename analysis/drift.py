"""Drift over the repeats: whether the readings of a set fall or rise from first to last.

A ball that is not put back in the water cools from drop to drop, and its later readings come lower.
So height is fitted against the repeat's number by least squares: a set by itself, which with three
or five repeats seldom tells anything, and all sets of a table together with one common slope, each
set keeping its own mean. A slope that differs from set to set adds to the uncertainty of the common
one.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from analysis.gaps import FloatArray, ratio
from analysis.significance import LEVEL, two_sided_p

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


def drifts(heights_m: FloatArray, resolution_m: float) -> tuple[Drift, Drift]:
    """Drift of each set of heights (..., sets, repeats), and the pooled drift of each table.

    NaN is a missing repeat; the place along the last axis is the repeat's number. The residual
    variance is never taken smaller than that of rounding, resolution_m^2/12: three rounded
    readings fall on a line by luck too often to trust their residuals.
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
    table_run = np.sum(run, axis=-1)
    freedom = np.sum(np.maximum(n - 1, 0), axis=-1) - 1.0
    flat = (*heights_m.shape[:-2], -1)
    readings = (repeat.reshape(flat), height.reshape(flat))
    slope = ratio(np.sum(rise, axis=-1), table_run)
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
    readings: tuple[FloatArray, FloatArray],
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
