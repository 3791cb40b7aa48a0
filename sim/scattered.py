"""How strips of readings are laid out: the same width for all, so that spreads compare by eye."""

from __future__ import annotations

import math

import numpy as np

from analysis.quantity import centimetres
from sim.demonstration import Demonstration, FloatArray

LEAST_WIDTH_CM = 3.0


def window_cm(shown: Demonstration) -> float:
    """How many centimetres every strip shows: the widest row's readings, and room."""
    heights_m = np.stack(shown.standing(shown.drops).heights_m)
    widest = float(np.ptp(centimetres(heights_m), axis=(0, 2)).max())
    return max(LEAST_WIDTH_CM, math.ceil(widest + 0.8))


def centres_cm(shown: Demonstration) -> list[float]:
    """The middle of each row's strips: halfway between the outermost readings of both."""
    heights_cm = centimetres(np.stack(shown.standing(shown.drops).heights_m))
    low, high = heights_cm.min(axis=(0, 2)), heights_cm.max(axis=(0, 2))
    return [float(each) for each in (low + high) / 2.0]


def lifts(values: FloatArray) -> FloatArray:
    """Equal readings stand on one another: how many lie below each, in the order they came."""
    return np.array(
        [float(np.isclose(values[:place], value).sum()) for place, value in enumerate(values)]
    )
