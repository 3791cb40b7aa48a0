"""What two procedures say of each other: the ball left to cool between drops, and put back."""

import numpy as np

from analysis.quantity.text import fixed, p_text, plus_minus, significant
from analysis.quantity.units import centimetres
from analysis.statistics.ratio import SpreadRatio
from analysis.statistics.spread import LEVEL
from analysis.statistics.two_procedures import Contrast, Difference

A, B = "with the ball left to cool", "with the ball put back"


def contrast_sentences(contrast: Contrast) -> tuple[str, str, str]:
    """Say a sentence each on spread, drift and gradient, also when the readings cannot tell.

    A of the contrast is the ball left to cool between drops, B the ball put back into the water.
    """
    return (
        _spread_sentence(contrast.spreads),
        _drift_sentence(contrast.drift_m_per_repeat),
        _gradient_sentence(contrast.gradient_m_per_k),
    )


def _spread_sentence(found: SpreadRatio) -> str:
    if found.told_apart is None:
        return (
            "The readings cannot tell whether the spread differs: both procedures need repeats "
            "that do not all agree."
        )
    low, high = found.interval
    ends = f"{significant(low, 2)} to {significant(high, 2)}"
    if not np.isfinite(high):
        ends = f"from {significant(low, 2)} without an upper end"
    size = f"{significant(found.ratio, 2)} times as large {B} as {A}"
    span = f"95 % interval {ends}, {p_text(found.p)}"
    if found.told_apart:
        return f"The spread of the repeats is {size} ({span})."
    return (
        f"The readings cannot tell whether the spread differs: it came out {size}, but luck alone "
        f"could do that ({span})."
    )


def _drift_sentence(found: Difference) -> str:
    if np.isnan(found.p):
        return "The readings cannot tell whether the drift over the repeats differs."
    each = ", ".join(
        f"{fixed(float(centimetres(value)), 2)} cm per repeat {name}"
        for value, name in ((found.a, A), (found.b, B))
    )
    if found.p >= LEVEL:
        return (
            "The readings cannot tell whether the drift over the repeats differs "
            f"({each}; {p_text(found.p)})."
        )
    way = "less" if abs(found.b) < abs(found.a) else "more"
    return (
        f"Over the repeats the rebound height drifts {way} {B} than {A} "
        f"({each}; {p_text(found.p)})."
    )


def _gradient_sentence(found: Difference) -> str:
    if np.isnan(found.p):
        return (
            "The readings cannot tell whether the gradient differs: three temperatures are needed."
        )
    size = plus_minus(
        float(centimetres(found.difference)), float(centimetres(found.uncertainty)), "cm per °C", 2
    )
    if found.p >= LEVEL:
        return (
            f"The readings cannot tell whether the gradient {B} differs from that {A} "
            f"(difference {size}, {p_text(found.p)})."
        )
    way = "smaller" if found.difference < 0 else "larger"
    return f"The gradient {B} is {way} than that {A} (by {size.lstrip('-')}, {p_text(found.p)})."
