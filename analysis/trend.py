"""The trend of rebound height with temperature: line of best fit, extreme lines, straightness.

The line is fitted to the means, each counting once, as on a student's graph. It is not forced
through the origin.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from analysis.extremes import Extremes, extreme_lines
from analysis.gaps import FloatArray, ratio
from analysis.line import Line, fit_line
from analysis.quantity import (
    ZERO_CELSIUS_K,
    centimetres,
    significant,
    temperature_text,
)
from analysis.refusal import Refused
from analysis.repeatability import Repeatability, repeatability
from analysis.significance import LEVEL, two_sided_p
from analysis.spread import Spread
from analysis.straightness import Straightness, shape, straight_enough


@dataclass(frozen=True)
class Trend:
    """Trend of one table or many (arrays over leading axes). Lines: metres against kelvin.

    `line.gradient` is in m/K; `line.intercept` is the height at 0 °C; `line.at(x)` takes kelvin.
    The same holds of `extremes`.
    """

    line: Line
    extremes: Extremes
    straightness: Straightness
    repeatability: Repeatability
    lowest_k: FloatArray  # of the temperatures that have a reading
    highest_k: FloatArray
    gradient_p: FloatArray  # two-sided p value of "no change"
    intercept_p: FloatArray  # two-sided p value of "0 cm at 0 °C"
    direction: FloatArray  # +1 increases, -1 decreases, 0 no clear change, NaN cannot be told


def trend(temperatures_k: ArrayLike, spread: Spread) -> Trend:
    """Trend of the means, vectorised: temperatures (T,) or (..., T), spread of (..., T) sets.

    The direction is called clear when the gradient differs from zero at the 5 % level, or when the
    means change the same way at every step with no two neighbouring bars overlapping (which tells
    it even for two or three temperatures). In those tests the residual variance is never taken
    smaller than that of rounding, resolution^2/12. One temperature gives NaN throughout; the reason
    stands in `wording.trend_reason`.
    Raises Refused when a temperature is missing or the shapes do not agree.
    """
    temperatures = _checked(temperatures_k, spread)
    line = fit_line(temperatures, spread.mean_m, origin=ZERO_CELSIUS_K)
    steps = repeatability(temperatures, spread)
    cautious = replace(
        line, residual_sd=np.maximum(line.residual_sd, spread.resolution_m / np.sqrt(12.0))
    )
    gradient_p = two_sided_p(
        line.gradient,
        ratio(cautious.residual_sd, np.sqrt(line.sum_of_squares_x)),
        line.degrees_of_freedom,
    )
    measured = spread.n > 0
    return Trend(
        line=line,
        extremes=extreme_lines(temperatures, spread.mean_m, spread.uncertainty_m, ZERO_CELSIUS_K),
        straightness=straight_enough(temperatures, spread),
        repeatability=steps,
        lowest_k=np.min(temperatures, axis=-1, initial=np.inf, where=measured),
        highest_k=np.max(temperatures, axis=-1, initial=-np.inf, where=measured),
        gradient_p=gradient_p,
        intercept_p=two_sided_p(
            line.intercept, cautious.uncertainty_at(ZERO_CELSIUS_K), line.degrees_of_freedom
        ),
        direction=_direction(line, gradient_p, steps),
    )


def sentence(trend: Trend) -> str:
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


def _checked(temperatures_k: ArrayLike, spread: Spread) -> FloatArray:
    temperatures = np.asarray(temperatures_k, dtype=np.float64)
    sets = np.shape(spread.mean_m)
    if not sets or not temperatures.ndim or temperatures.shape[-1] != sets[-1]:
        raise Refused(
            f"There are {temperatures.size} temperatures for {sets[-1] if sets else 1} sets of "
            "readings; give one temperature for each set."
        )
    if not np.isfinite(temperatures).all():
        raise Refused("A temperature is missing; give one for each set of readings.")
    return np.broadcast_to(temperatures, sets)


def _direction(line: Line, gradient_p: FloatArray, steps: Repeatability) -> FloatArray:
    told = ~np.isnan(gradient_p) | ((steps.pairs > 0) & ~np.isnan(line.gradient))
    clear = np.where(gradient_p < LEVEL, np.sign(line.gradient), steps.monotone)
    return np.where(told, clear, np.nan)
