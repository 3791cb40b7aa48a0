"""Two procedures side by side, such as not reheated between drops (A) and reheated (B).

The spreads are compared in ratio.py; here the tables are brought to the temperatures they share,
and drift and gradient compared.
"""

from dataclasses import dataclass

import numpy as np

from analysis.quantity.text import FloatArray
from analysis.readings.sets import RepeatTable
from analysis.refusal import Refused
from analysis.statistics.line import fit_line
from analysis.statistics.ratio import SpreadRatio, spread_ratio
from analysis.statistics.spread import Drift, Spread, spread, two_sided_p

_SAME_K = 0.05
"""Temperatures closer than this are the same setting of the bath."""


@dataclass(frozen=True)
class Difference:
    """B minus A of one figure, with standard uncertainty and two-sided p value (Student's t)."""

    a: float
    b: float
    difference: float
    uncertainty: float
    degrees_of_freedom: float
    p: float


@dataclass(frozen=True)
class Contrast:
    """Procedure B held against procedure A at the temperatures they share."""

    temperatures_k: FloatArray  # shared, in order
    spread_a: Spread  # per temperature: half_range_m, standard_deviation_m, ...
    spread_b: Spread
    spreads: SpreadRatio  # pooled standard deviation of B over that of A
    drift_m_per_repeat: Difference  # pooled drifts, Welch's t
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
    spread_a, spread_b = spread(heights_a, resolution_m), spread(heights_b, resolution_m)
    return Contrast(
        temperatures_k=temperatures,
        spread_a=spread_a,
        spread_b=spread_b,
        spreads=spread_ratio(heights_a, heights_b, resolution_m),
        drift_m_per_repeat=_drift_difference(spread_a.pooled_drift, spread_b.pooled_drift),
        gradient_m_per_k=_gradient_difference(temperatures, spread_a, spread_b),
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
    variances = np.array([a.uncertainty_m_per_repeat, b.uncertainty_m_per_repeat]) ** 2
    freedoms = np.array([a.degrees_of_freedom, b.degrees_of_freedom])
    told = bool(np.isfinite(variances).all() and variances.sum() > 0)
    # Welch and Satterthwaite: the degrees of freedom of a sum of two variances.
    degrees = variances.sum() ** 2 / (variances**2 / freedoms).sum() if told else np.nan
    slopes = (float(a.slope_m_per_repeat), float(b.slope_m_per_repeat))
    return _difference(slopes, (slopes[1] - slopes[0], np.sqrt(variances.sum()), degrees))


def _gradient_difference(temperatures_k: FloatArray, a: Spread, b: Spread) -> Difference:
    both = np.where(np.isnan(a.mean_m + b.mean_m), np.nan, temperatures_k)
    line = fit_line(both, b.mean_m - a.mean_m)
    gradients = (fit_line(both, a.mean_m).gradient, fit_line(both, b.mean_m).gradient)
    return _difference(
        (float(gradients[0]), float(gradients[1])),
        (float(line.gradient), float(line.gradient_uncertainty), float(line.degrees_of_freedom)),
    )
