"""The lines of the graph: best fit, steepest and shallowest, and a model's curve; undrawn."""

from dataclasses import dataclass

import numpy as np

from analysis.gaps import FloatArray
from analysis.quantity import centimetres, kelvin
from analysis.summary import Summary


@dataclass(frozen=True)
class Curve:
    """A model's curve, worked out by the caller, to lie over the readings."""

    temperature_c: FloatArray
    height_cm: FloatArray
    label: str


@dataclass(frozen=True)
class Stroke:
    """A line to draw: where (°C, cm), how dashed, and its text in the key (none: no entry)."""

    x: FloatArray
    y: FloatArray
    dashes: str | tuple[int, tuple[int, ...]]
    label: str = ""


def strokes(summary: Summary, curve: Curve | None, extremes: bool) -> list[Stroke]:
    """Lay out the line or curve of best fit, the extreme lines if wanted, and the model's curve."""
    return _best(summary, extremes) + ([_model(curve)] if curve else [])


def _best(summary: Summary, extremes: bool) -> list[Stroke]:
    if not summary.has_line:
        return []
    ends = summary.temperature_c[[0, -1]]
    if summary.curved and summary.curve is not None:
        along = np.linspace(ends[0], ends[1], 81)
        heights = np.polyval(summary.curve[::-1], along)
        return [Stroke(along, centimetres(heights), "-", "curve of best fit")]
    best = Stroke(ends, centimetres(summary.trend.line.at(kelvin(ends))), "-", "line of best fit")
    return [best, *(_extreme_lines(summary, ends) if extremes else [])]


def _extreme_lines(summary: Summary, ends: FloatArray) -> list[Stroke]:
    found = summary.trend.extremes
    pairs = (
        (found.steepest_gradient, found.steepest_intercept, (0, (7, 4)), "steepest line"),
        (found.shallowest_gradient, found.shallowest_intercept, (0, (2, 3)), "shallowest line"),
    )
    return [
        Stroke(
            ends, centimetres(intercept + gradient * (kelvin(ends) - found.origin)), dashes, name
        )
        for gradient, intercept, dashes, name in pairs
        if np.isfinite(gradient)
    ]


def _model(curve: Curve) -> Stroke:
    return Stroke(curve.temperature_c, curve.height_cm, (0, (8, 3, 1, 3)), curve.label)
