"""Every statement about two procedures, each said in one place: A left to cool, B put back.

Temperatures in °C, heights in cm.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from analysis.quantity.units import centimetres, fixed, p_text, significant
from analysis.report.sentences import plus_minus_cm
from analysis.statistics.spread import LEVEL, WARMEST_ROOM_C
from analysis.statistics.two_procedures import EACH_LEVEL, steadier

if TYPE_CHECKING:
    from analysis.statistics.two_procedures import Contrast, Difference, SpreadRatio

A, B = "with the ball left to cool", "with the ball put back"
_ASKED = f"told apart below {EACH_LEVEL:g}"
"""Two questions are asked of the same readings, so each has half of the usual level."""


def contrast_sentences(contrast: Contrast) -> tuple[str, str, str, str]:
    """Say whether the repeats agree better, then a sentence each on spread, drift and gradient."""
    return (
        _verdict_sentence(contrast),
        _spread_sentence(contrast.spreads),
        _drift_sentence(contrast.drift_m_per_repeat),
        _gradient_sentence(contrast.gradient_m_per_k),
    )


def _verdict_sentence(contrast: Contrast) -> str:
    answer = steadier(contrast)
    if answer == "cannot be told":
        return (
            "The readings cannot tell whether putting the ball back makes the repeats agree "
            "better: both procedures need repeats that do not all agree."
        )
    if answer == "not settled":
        return (
            "The readings do not settle whether putting the ball back makes the repeats agree "
            "better: take more repeats, or warmer water."
        )
    rests = "drift" if contrast.drift_m_per_repeat.nearer_nought == answer else "spread"
    if answer == "b":
        return f"With the ball put back the repeats agree better: they {rests} less."
    return f"With the ball put back the repeats agree less well: they {rests} more."


def _spread_sentence(found: SpreadRatio) -> str:
    if found.narrower == "cannot be told":
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
    if found.narrower == "not settled":
        return (
            f"The readings cannot tell whether the spread differs: it came out {size} ({span}, "
            f"{_ASKED})."
        )
    return f"The spread of the repeats is {size} ({span})."


def _drift_sentence(found: Difference) -> str:
    answer = found.nearer_nought
    if answer == "cannot be told":
        return (
            "The readings cannot tell whether the drift over the repeats differs: that needs "
            f"repeats above {WARMEST_ROOM_C:g} °C, where a ball can cool."
        )
    each = (
        f"{fixed(float(centimetres(found.a)), 2)} cm per repeat {A}, "
        f"{fixed(float(centimetres(found.b)), 2)} cm per repeat {B}"
    )
    if answer == "not settled":
        return (
            "The readings cannot tell whether the drift over the repeats differs "
            f"({each}; {p_text(found.p)}, {_ASKED})."
        )
    way = "less" if answer == "b" else "more"
    return (
        f"Over the repeats the rebound height drifts {way} {B} than {A} "
        f"({each}; {p_text(found.p)})."
    )


def _gradient_sentence(found: Difference) -> str:
    if np.isnan(found.p):
        return (
            "The readings cannot tell whether the gradient differs: three temperatures are needed."
        )
    size = plus_minus_cm(found.difference, found.uncertainty, "cm per °C", 2)
    if found.p >= LEVEL:
        return (
            f"The readings cannot tell whether the gradient {B} differs from that {A} "
            f"(difference {size}, {p_text(found.p)})."
        )
    way = "smaller" if found.difference < 0 else "larger"
    return f"The gradient {B} is {way} than that {A} (by {size.lstrip('-')}, {p_text(found.p)})."
