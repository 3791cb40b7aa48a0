"""Probabilities behind the judgements: Student's t and Fisher's F, NaN where nothing can be said.

`scipy.special` serves, since `scipy.stats` takes long to import.
"""

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import fdtrc, stdtr, stdtrit

from analysis.gaps import FloatArray, ratio

LEVEL = 0.05
"""The level of every judgement: 5 %, the usual choice."""


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
    return np.where(told, 2.0 * stdtr(np.where(told, freedom, 1.0), -t), np.nan)


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
    p = fdtrc(np.where(told, first, 1.0), np.where(told, second, 1.0), np.where(told, f, 0.0))
    return np.where(told, p, np.nan)


def t_multiplier(degrees: ArrayLike) -> FloatArray:
    """Half-width of a 95 % interval in standard uncertainties; NaN below one degree of freedom."""
    freedom = np.asarray(degrees, dtype=np.float64)
    told = freedom >= 1.0
    return np.where(told, stdtrit(np.where(told, freedom, 1.0), 1.0 - LEVEL / 2.0), np.nan)
