"""Sentences about spread, anomalies, drift, repeatability and straightness of one table.

Temperatures in °C, heights in cm. The trend's own sentence is in trend.py, the contrast's in
contrast.py.
"""

import math

import numpy as np
from numpy.typing import ArrayLike

from analysis.quantity.text import (
    FloatArray,
    centimetres,
    fixed,
    p_text,
    plain,
    plus_minus,
    significant,
    temperature_text,
)
from analysis.statistics import line as extremes
from analysis.statistics.spread import Drift, Spread, suggests
from analysis.statistics.trend import Repeatability, Straightness, Trend, shape, verdict


def spread_reason(spread: Spread, index: int) -> str | None:
    """Say why set `index` has no half-range, or what stands in for it; None if it has one."""
    n = int(spread.n[index])
    if n == 0:
        return "There is no reading here, so nothing can be said."
    if n == 1:
        return "One reading has no spread; take repeats to find the uncertainty."
    if spread.half_range_m[index] > 0:
        return None
    if spread.resolution_m == 0:
        return "All the repeats agree, so the resolution of the rule sets the uncertainty."
    half = plain(float(centimetres(spread.resolution_m)) / 2.0, 4)
    return (
        "All the repeats agree, so the resolution sets the uncertainty: half a graduation, "
        f"± {half} cm."
    )


def anomaly_sentences(
    temperatures_k: ArrayLike, spread: Spread, heights_m: ArrayLike
) -> tuple[str, ...]:
    """One sentence for each suspected reading: which, how far out, and the mean without it."""
    temperatures = np.asarray(temperatures_k, dtype=np.float64)
    heights = np.asarray(heights_m, dtype=np.float64)
    found = spread.anomalies
    places = _reading_places(spread.resolution_m)
    return tuple(
        f"At {temperature_text(temperatures[row])} repeat {repeat + 1} "
        f"({_cm(heights[row, repeat], places)} cm) may be an anomaly: it lies "
        f"{significant(float(found.statistic[row]), 3)} standard deviations from the mean, more "
        f"than the {significant(float(found.critical[row]), 3)} that {spread.n[row]} readings "
        f"allow (Grubbs' test, 5 %). It is still counted; without it the mean would be "
        f"{_cm(found.mean_without_m[row], places + 1)} cm instead of "
        f"{_cm(spread.mean_m[row], places + 1)} cm. "
        "Look for a cause and repeat the drop."
        for row, repeat in np.argwhere(found.flagged)
    )


def drift_sentence(drift: Drift) -> str:
    """Say what the pooled drift suggests, with its numbers."""
    suggestion = suggests(drift)
    if suggestion == "cannot be told":
        return (
            "Whether the readings drift over the repeats cannot be told: there are too few repeats."
        )
    slope = float(centimetres(drift.slope_m_per_repeat))
    uncertainty = float(centimetres(drift.uncertainty_m_per_repeat))
    size = plus_minus(abs(slope), uncertainty, "cm", 2)
    if suggestion == "nothing":
        return (
            "The readings neither fall nor rise clearly over the repeats "
            f"(slope {plus_minus(slope, uncertainty, 'cm', 2)} per repeat)."
        )
    if suggestion == "rising":
        return (
            f"Over the repeats the readings rise by {size} from one to the next; a ball that is "
            "still warming up, or a reader who is still learning, would do that."
        )
    return (
        f"Over the repeats the readings fall by {size} from one to the next, which suggests that "
        "the ball was cooling; put it back in the water between drops."
    )


def repeatability_sentence(repeatability: Repeatability) -> str:
    """Give the verdict and the number it rests on."""
    found = verdict(repeatability)
    if found == "cannot be told":
        return (
            "Whether the readings are repeatable cannot be told: that needs repeats at two "
            "neighbouring temperatures or more."
        )
    pair = (
        f"between {temperature_text(repeatability.worst_low_k)} and "
        f"{temperature_text(repeatability.worst_high_k)}"
    )
    share = float(repeatability.worst_overlap)
    if not np.isfinite(share):
        rests = f"{pair} the mean does not change at all"
    else:
        rests = (
            f"{pair} the half-ranges together are {significant(100.0 * share, 2)} % of the change "
            "of the mean"
        )
    if found == "repeatable":
        return (
            "The readings are repeatable: the half-range bars of neighbouring temperatures do not "
            f"overlap (at worst, {rests})."
        )
    overlapping = int(repeatability.pairs - repeatability.pairs_apart)
    return (
        f"The readings are {found}: the half-range bars overlap for {overlapping} of "
        f"{int(repeatability.pairs)} pairs of neighbouring temperatures (at worst, {rests})."
    )


def straightness_sentence(straightness: Straightness) -> str:
    """Say whether a straight line is enough, what that rests on, and how the points curve."""
    found = shape(straightness)
    if found == "cannot be told":
        return (
            "Whether a straight line is enough cannot be told: that needs three temperatures with "
            "repeats, or four without."
        )
    test = "lack of fit against the repeats" if straightness.from_repeats else "a squared term"
    rests = f"(F test of {test}, {p_text(float(straightness.p))})"
    if found == "straight":
        return f"A straight line is enough: the points miss it by no more than luck allows {rests}."
    if found == "scattered" and straightness.degrees_between == 1:
        return (
            "The points miss the straight line by more than the repeats account for "
            f"{rests}, but three temperatures cannot tell a curve from a stray point."
        )
    if found == "scattered":
        return (
            "The points miss the straight line by more than the repeats account for, but without a "
            f"clear curve {rests}; something differed from one temperature to the next."
        )
    return f"A straight line is not enough: the points lie on a line that {found} {rests}."


def trend_reason(trend: Trend) -> str | None:
    """Say what could not be told of one table's trend, and why; None when all could."""
    line = trend.line
    if np.isnan(line.gradient):
        return "A trend needs readings at two temperatures or more."
    if line.n < 3:
        return (
            "Two temperatures always lie on a line, so its uncertainty and its straightness cannot "
            "be told."
        )
    return extremes.reason(trend.extremes)


def _reading_places(resolution_m: float) -> int:
    """Decimal places in cm of readings rounded to a graduation; one where they were not."""
    if resolution_m <= 0.0:
        return 1
    return max(0, math.ceil(-math.log10(float(centimetres(resolution_m))) - 1e-9))


def _cm(height_m: float | FloatArray, places: int) -> str:
    return fixed(float(centimetres(height_m)), places)
