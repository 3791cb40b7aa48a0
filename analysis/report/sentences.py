"""Every statement about one table of readings, each said in one place.

Temperatures in °C, heights in cm. What is said of two procedures stands in contrast_sentences.py, a
calculation line by line in content.py.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike

from analysis.quantity.units import (
    FloatArray,
    celsius,
    centimetres,
    fixed,
    grams,
    p_text,
    percent,
    plain,
    plus_minus,
    significant,
    temperature_text,
)
from analysis.statistics.energy import USUAL_MASSES_KG, Energies
from analysis.statistics.line import Extremes
from analysis.statistics.spread import (
    LEVEL,
    WARMEST_ROOM_C,
    Drift,
    Spread,
    can_cool,
    suggests,
)
from analysis.statistics.trend import Repeatability, Straightness, Trend, shape, verdict

_WARM = f"above {WARMEST_ROOM_C:g} °C, where a ball can cool,"

MOST_NAMED = 12
"""Temperatures that one sentence names before it counts the rest."""


def conclusion(trend: Trend) -> str:
    """Write the conclusion a student would draw from one table, in °C and cm.

    The gradient has two significant figures; its uncertainty belongs beside it in the report.
    """
    if np.isnan(trend.direction):
        return (
            "The readings cannot tell how the rebound height depends on the temperature: "
            "they need at least two temperatures, and repeats or a third temperature."
        )
    between = f"etween {temperature_text(trend.lowest_k)} and {temperature_text(trend.highest_k)}"
    if trend.direction == 0:
        return f"B{between} the readings show no clear change of rebound height with temperature."
    verb = "increases" if trend.direction > 0 else "decreases"
    gradient = significant(abs(float(centimetres(trend.line.gradient))), 2)
    parts = (
        f"As the temperature of the ball increases, the rebound height {verb}.",
        f"B{between} it {verb} by about {gradient} cm for each 1 °C.",
        _shape_part(trend),
        _origin_part(trend),
    )
    return " ".join(part for part in parts if part)


def _shape_part(trend: Trend) -> str:
    found = shape(trend.straightness)
    if found == "straight":
        return "A straight line fits the points."
    if found == "scattered":
        return "The points miss the straight line by more than the repeats account for."
    if found == "cannot be told":
        return ""
    steeper = (found == "curves upwards") == (trend.direction > 0)
    manner = "more steeply" if steeper else "less steeply"
    verb = "increases" if trend.direction > 0 else "decreases"
    return (
        f"The points lie on a curve, not a straight line: the rebound height {verb} {manner} at "
        "higher temperatures, and the figure given is an average."
    )


def _origin_part(trend: Trend) -> str:
    if np.isnan(trend.intercept_p) or shape(trend.straightness).startswith("curves"):
        return ""
    if trend.intercept_p < LEVEL:
        return (
            "The line of best fit does not pass through the origin, so the rebound height is not "
            "directly proportional to the temperature in °C."
        )
    return "The readings cannot tell whether the line of best fit passes through the origin."


def gradient_sentence(trend: Trend, *, curved: bool) -> str:
    """Give the gradient of the line of best fit with one uncertainty; `curved`: it is no line.

    The uncertainty is that of a graph, half the difference of the extreme lines, where there are
    any; else the standard uncertainty.
    """
    line, found = trend.line, trend.extremes
    by_lines = bool(np.isfinite(found.gradient_uncertainty))
    doubt = found.gradient_uncertainty if by_lines else line.gradient_uncertainty
    gradient = plus_minus_cm(line.gradient, doubt, "cm per °C", 3)
    text = (
        f"The straight line of best fit through the means (least squares) has gradient {gradient}"
    )
    if by_lines:
        text += f" ({_by_lines(found)})"
    elif np.isfinite(doubt):
        text += " (standard uncertainty)"
    if np.isfinite(line.r_squared) and line.n > 2:
        text += f"; R² = {fixed(float(line.r_squared), 3)}"
    if curved:
        text += "; since the points curve, that is only their average steepness"
    return text + "."


def _by_lines(found: Extremes) -> str:
    steepest, shallowest = (
        significant(float(centimetres(gradient)), 3)
        for gradient in (found.steepest_gradient, found.shallowest_gradient)
    )
    return (
        "uncertainty from the steepest and the shallowest straight line through all the bars, half "
        f"the difference of {steepest} and {shallowest} cm per °C"
    )


def extremes_reason(extremes: Extremes) -> str | None:
    """Why one table has no extreme lines, as a sentence; None when it has them."""
    if not np.isnan(extremes.steepest_gradient):
        return None
    if extremes.bars < 2:
        return (
            "Steepest and shallowest lines need half-range bars at two temperatures or more, "
            "so take repeats at each temperature."
        )
    return "No straight line passes through all the half-range bars."


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
    return extremes_reason(trend.extremes)


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
            f"{pair} the half-ranges together are {significant(percent(share), 2)} % of the change "
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


def resolution_sentence(spread: Spread, decimal_places: int) -> str:
    """Hold the scatter of the repeats against the step that the heights were read to."""
    step_cm = float(centimetres(spread.resolution_m))
    step, half_step = f"{step_cm:g} cm", f"{step_cm / 2:g} cm"
    halves = centimetres(spread.half_range_m)
    halves = halves[np.isfinite(halves)]
    text = (
        f"The heights are read to {step}, so a single reading is uncertain by {half_step} or more"
    )
    if not halves.size:
        return text + "; without repeats nothing shows how much larger its uncertainty really is."
    largest = fixed(float(halves.max()), decimal_places + 1)
    if halves.max() <= step_cm / 2 + 1e-9:
        return (
            f"{text}. No half-range is larger than that (the largest is {largest} cm): the "
            "resolution, not the scatter of the repeats, limits these readings."
        )
    return (
        f"{text}. The largest half-range is {largest} cm: the scatter of the repeats, not the "
        "resolution, limits these readings, and a finer scale alone would not help."
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


def drift_sentence(drift: Drift, temperatures_k: ArrayLike) -> str:
    """Say what the pooled drift of sets at these temperatures suggests, with its numbers."""
    suggestion = suggests(drift)
    if suggestion == "cannot be told":
        return f"Whether the readings drift over the repeats cannot be told. {drift_reason(1)}"
    over = "Over the repeats" if np.all(can_cool(temperatures_k)) else f"Over the repeats {_WARM}"
    slope, uncertainty = drift.slope_m_per_repeat, drift.uncertainty_m_per_repeat
    size = plus_minus_cm(abs(slope), uncertainty, "cm", 2)
    if suggestion == "nothing":
        return (
            f"{over} the readings neither fall nor rise clearly "
            f"(slope {plus_minus_cm(slope, uncertainty, 'cm', 2)} per repeat)."
        )
    if suggestion == "rising":
        return (
            f"{over} the readings rise by {size} from one to the next; a ball that is "
            "still warming up, or a reader who is still learning, would do that."
        )
    return (
        f"{over} the readings fall by {size} from one to the next, which suggests that "
        "the ball was cooling; put it back in the water between drops."
    )


def drift_reason(students: int) -> str:
    """Say why no common drift can be told, where it cannot."""
    if students > 1:
        return (
            f"The readings of {students} students are pooled, so the order of the drops is not "
            "known and no drift over the repeats can be told."
        )
    return f"Too few repeats {_WARM} to tell whether the readings drift from drop to drop."


def weight_sentence(energies: Energies, *, assumed: bool) -> str:
    """Say how heavy the ball is and who says so; `assumed`: nobody does."""
    if energies.mass_kg is None:
        return f"The ball's weight was given as {energies.weight_n:g} N."
    mass = f"{grams(energies.mass_kg):g} g"
    if not assumed:
        return f"The ball's mass was given as {mass}."
    least, most = (f"{grams(mass_kg):g} g" for mass_kg in USUAL_MASSES_KG)
    return (
        f"No mass was given, so {mass} is assumed, the middle of the range that the sport "
        f"allows ({least} to {most}). Weigh the ball and work again with its own mass."
    )


def cannot_say(
    temperatures_k: ArrayLike, spread: Spread, trend: Trend, students: int
) -> tuple[str, ...]:
    """Collect what could not be said of a file's readings, and why."""
    said = [
        *_spread_reasons(temperatures_k, spread),
        trend_reason(trend),
        extremes_reason(trend.extremes),
    ]
    if students > 1 or suggests(spread.pooled_drift) == "cannot be told":
        said.append(drift_reason(students))
    return tuple(dict.fromkeys(sentence for sentence in said if sentence))


def _spread_reasons(temperatures_k: ArrayLike, spread: Spread) -> list[str]:
    """One sentence for each reason, naming the temperatures that it holds for."""
    places: dict[str, list[str]] = {}
    for index, temperature_c in enumerate(celsius(temperatures_k)):
        reason = spread_reason(spread, index)
        if reason:
            places.setdefault(reason, []).append(plain(float(temperature_c), 2))
    return [
        f"At {_named(where)}: {reason[0].lower()}{reason[1:]}" for reason, where in places.items()
    ]


def _named(temperatures: list[str]) -> str:
    """Name the temperatures, or the first of them and how many more there are."""
    more = len(temperatures) - MOST_NAMED
    if more <= 0:
        return f"{', '.join(temperatures)} °C"
    return f"{', '.join(temperatures[:MOST_NAMED])} °C and {more} more temperatures"


def _reading_places(resolution_m: float) -> int:
    """Decimal places in cm of readings rounded to a graduation; one where they were not."""
    if resolution_m <= 0.0:
        return 1
    return max(0, math.ceil(-math.log10(float(centimetres(resolution_m))) - 1e-9))


def _cm(height_m: float | FloatArray, places: int) -> str:
    return fixed(float(centimetres(height_m)), places)


def plus_minus_cm(
    value: float | FloatArray, uncertainty: float | FloatArray, unit: str, places: int
) -> str:
    """A value with its uncertainty, both in metres (per something), written in `unit`, of cm."""
    return plus_minus(float(centimetres(value)), float(centimetres(uncertainty)), unit, places)
