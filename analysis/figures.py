"""Every computed figure with its unit, ready for JSON.

A figure is {"value": number, "unit": text}; one that cannot be given is {"value": null, "unit":
text, "reason": sentence}. NaN and infinity never appear. The keys are listed, with their units and
meanings, in keys.py.
"""

import math
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from analysis import drift, repeatability, straightness, trend, wording
from analysis.drift import Drift
from analysis.quantity import centimetres
from analysis.summary import Summary

Figures: TypeAlias = dict[str, Any]

FORMAT = 1
_DIGITS = 10  # more would only show the dust of binary arithmetic
_UNKNOWN = "It cannot be worked out from these readings."


def figures(summary: Summary) -> Figures:
    """Give all figures of a summary as one JSON-ready object."""
    return {
        "format": FORMAT,
        "source": summary.source,
        "drop_height": _cm(summary.grid.drop_height_m),
        "resolution": _cm(summary.spread.resolution_m),
        "students_pooled": summary.grid.students,
        "temperatures": [_row(summary, index) for index in range(len(summary.temperature_c))],
        "drift": _drift(summary.spread.pooled_drift, _drift_reason(summary)),
        "trend": _trend(summary),
        "straightness": _straightness(summary),
        "repeatability": _repeatability(summary),
        "energy": _energy(summary),
        "cannot_say": list(summary.cannot_say),
        "notices": list(summary.notices),
    }


def figure(value: Any, unit: str, reason: str | None = None) -> Figures:
    """Give one figure with its unit; null and the reason where there is no number."""
    number = float(value)
    if math.isfinite(number):
        return {"value": _shown(number), "unit": unit}
    return {"value": None, "unit": unit, "reason": reason or _UNKNOWN}


def _shown(number: float) -> float:
    return float(f"{number:.{_DIGITS}g}")


def _cm(value_m: Any, reason: str | None = None, unit: str = "cm") -> Figures:
    return figure(centimetres(value_m), unit, reason)


def _row(summary: Summary, index: int) -> Figures:
    """All figures of one temperature."""
    spreads, energy = summary.spread, summary.energies
    reason = wording.spread_reason(spreads, index)
    flagged: NDArray[np.bool_] = spreads.anomalies.flagged[index]
    each = Drift(
        *(
            getattr(spreads.drift, name)[index]
            for name in (
                "slope_m_per_repeat",
                "uncertainty_m_per_repeat",
                "degrees_of_freedom",
                "p",
            )
        )
    )
    return {
        "temperature": figure(summary.temperature_c[index], "°C"),
        "readings": _readings(summary, index),
        "n": int(spreads.n[index]),
        "mean": _cm(spreads.mean_m[index], reason),
        "smallest": _cm(spreads.smallest_m[index], reason),
        "largest": _cm(spreads.largest_m[index], reason),
        "range": _cm(2 * spreads.half_range_m[index], reason),
        "half_range": _cm(spreads.half_range_m[index], reason),
        "uncertainty": _cm(spreads.uncertainty_m[index], reason),
        "percentage_uncertainty": figure(spreads.percentage[index], "%", reason),
        "standard_deviation": _cm(spreads.standard_deviation_m[index], reason),
        "standard_uncertainty": _cm(spreads.standard_uncertainty_m[index], reason),
        "anomalous_repeats": [int(place) + 1 for place in np.flatnonzero(flagged)],
        "mean_without_anomaly": _cm(spreads.anomalies.mean_without_m[index], reason),
        "drift": _drift(each, _drift_reason(summary)),
        "energy_after": figure(energy.after_j[index], "J", reason),
        "energy_transferred": figure(energy.transferred_j[index], "J", reason),
        "energy_kept": figure(100 * energy.fraction[index], "%", reason),
        "restitution": figure(energy.restitution[index], "1", reason),
    }


def _readings(summary: Summary, index: int) -> Figures:
    """List the readings in order of their repeats, null for one that was not taken."""
    heights = centimetres(summary.grid.heights_m[index])
    values = [_shown(float(height)) if math.isfinite(height) else None for height in heights]
    return {"value": values, "unit": "cm"}


def _drift_reason(summary: Summary) -> str | None:
    if summary.grid.students > 1:
        return "The readings of several students are pooled, so the order of drops is not known."
    return "There are too few repeats."


def _drift(found: Drift, reason: str | None) -> Figures:
    per_repeat = "cm per repeat"
    return {
        "slope": _cm(found.slope_m_per_repeat, reason, per_repeat),
        "uncertainty": _cm(found.uncertainty_m_per_repeat, reason, per_repeat),
        "p": figure(found.p, "1", reason),
        "suggests": drift.suggests(found),
    }


def _trend(summary: Summary) -> Figures:
    found = summary.trend
    line, lines, reason = found.line, found.extremes, wording.trend_reason(found)
    return {
        "sentence": trend.sentence(found),
        "gradient": _cm(line.gradient, reason, "cm per °C"),
        "gradient_standard_uncertainty": _cm(line.gradient_uncertainty, reason, "cm per °C"),
        "gradient_p": figure(found.gradient_p, "1", reason),
        "intercept": _cm(line.intercept, reason),
        "intercept_standard_uncertainty": _cm(line.intercept_uncertainty, reason),
        "intercept_p": figure(found.intercept_p, "1", reason),
        "correlation": figure(line.correlation, "1", reason),
        "r_squared": figure(line.r_squared, "1", reason),
        "residual_standard_deviation": _cm(line.residual_sd, reason),
        "steepest_gradient": _cm(lines.steepest_gradient, reason, "cm per °C"),
        "shallowest_gradient": _cm(lines.shallowest_gradient, reason, "cm per °C"),
        "gradient_uncertainty_from_lines": _cm(lines.gradient_uncertainty, reason, "cm per °C"),
    }


def _straightness(summary: Summary) -> Figures:
    found = summary.trend.straightness
    shape = straightness.shape(found)
    reason = wording.straightness_sentence(found) if shape == "cannot be told" else None
    return {
        "shape": shape,
        "test": "lack of fit" if found.from_repeats else "squared term",
        "f": figure(found.statistic, "1", reason),
        "p": figure(found.p, "1", reason),
        "curvature": _cm(found.curvature_m_per_k2, reason, "cm per °C²"),
        "curvature_standard_uncertainty": _cm(found.curvature_uncertainty, reason, "cm per °C²"),
    }


def _repeatability(summary: Summary) -> Figures:
    found = summary.trend.repeatability
    return {
        "verdict": repeatability.verdict(found),
        "neighbours": int(found.pairs),
        "neighbours_apart": int(found.pairs_apart),
        "largest_percentage_uncertainty": figure(found.largest_percentage, "%"),
    }


def _energy(summary: Summary) -> Figures:
    energy = summary.energies
    weighed = "The weight was given in place of the mass."
    mass = math.nan if energy.mass_kg is None else 1000 * energy.mass_kg
    field = math.nan if energy.gravity_n_per_kg is None else energy.gravity_n_per_kg
    return {
        "mass": figure(mass, "g", weighed),
        "mass_assumed": summary.weighed.assumed and energy.mass_kg is not None,
        "gravitational_field_strength": figure(field, "N/kg", weighed),
        "weight": figure(energy.weight_n, "N"),
        "energy_before": figure(energy.before_j, "J"),
    }
