"""What the demonstration says at its end, in plain words: also when the spread did not shrink."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.contrast import contrast, sentences
from analysis.quantity import fixed, significant, temperature_text
from sim.demonstration import Demonstration, FloatArray

STILL_K = 0.5
"""A ball that stays within half a degree is taken as one that did not change."""


@dataclass(frozen=True)
class _Table:
    """Readings as `analysis.contrast` takes them, temperatures rising."""

    temperatures_k: FloatArray
    heights_m: FloatArray


def plain_sentence(shown: Demonstration) -> str:
    """What happened and why, once all drops have landed; it takes the truth into account."""
    left_k, back_k = (float(shown.swing_k(side).max()) for side in (0, 1))
    row = int(np.argmax(shown.swing_k(0)))
    at = temperature_text(shown.temperatures_k[row])
    told = shown.standing(shown.drops).spreads.told_apart
    if shown.repeats < 2:
        return "One drop at each temperature has no spread: take repeats to see what cooling does."
    if left_k < STILL_K:
        return (
            "The ball was as warm as the room, so it could not cool: putting it back cannot make "
            "the repeats agree better here. What spread there is comes from the hand and the eye."
        )
    kept = (
        f"Left to cool, the ball's temperature changed by up to {fixed(left_k, 1)} °C between the "
        f"drops of a set (at {at}); put back, by up to {fixed(back_k, 1)} °C."
    )
    if back_k >= left_k:
        return f"{kept} It was not in the water for long enough and was still changing there."
    return f"{kept} {_seen(told, shown.standing(shown.drops).spreads.ratio)}"


def _seen(told: bool | None, ratio: float) -> str:
    """Whether the readings show it."""
    if told is None:
        return "The readings cannot show whether the spread differs."
    if told and ratio < 1.0:
        return "The readings show it: with the ball put back the repeats agree better."
    if told:
        return (
            "And yet the repeats agreed less well with the ball put back: by luck, or because of "
            "the hand and the eye."
        )
    return (
        f"The spread came out {significant(ratio, 2)} times as large, which luck alone could do: "
        "the hand and the eye scatter these readings too much, or there are too few of them."
    )


def judged_sentence(shown: Demonstration) -> str:
    """What a class that knows the readings alone may say of the two spreads."""
    order = np.argsort(shown.temperatures_k)
    temperatures_k = np.asarray(shown.temperatures_k)[order]
    left, back = (
        _Table(temperatures_k, heights_m[order])
        for heights_m in shown.standing(shown.drops).heights_m
    )
    found = contrast(left, back, shown.resolution_m)
    return sentences(found, "with the ball left to cool", "with the ball put back")[0]
