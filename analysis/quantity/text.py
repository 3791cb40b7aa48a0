"""From value to text: rounding, decimal places, and the step that readings were read to.

Rounding is school's: half rounds up, away from zero, so 2.675 becomes 2.68. It is done in decimal
on the number's first twelve significant figures, so that the dust of binary arithmetic (28.499...96
for 28.5) decides nothing, and minus zero is never written.

How many decimal places (usual school practice, from memory; schools differ):
readings of one quantity all keep the places they were read to; a mean keeps the same places, or
one more where its standard uncertainty justifies that; an uncertainty is quoted to one significant
figure and the value it belongs to is rounded to match.

The step of readings may be coarser than their last decimal place: a student who reads to half a
centimetre writes 23.0 and 23.5. Taken for tenths, four readings of 23.0 and one of 23.5 would look
like an anomaly.
"""

import math
from decimal import ROUND_HALF_UP, Decimal
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from analysis.quantity.units import celsius, metres

FloatArray: TypeAlias = NDArray[np.float64]
BoolArray: TypeAlias = NDArray[np.bool_]
IntArray: TypeAlias = NDArray[np.int64]


MISSING = "–"
"""Stands in a cell for a figure that cannot be given."""


MEAN_THRESHOLD = 0.5
"""A mean deserves one decimal place more than the readings where its standard uncertainty is no
larger than so many units of their last place."""


def fixed(value: float, places: int) -> str:
    """`value` with `places` decimals, half rounded up; MISSING for NaN or infinity.

    Negative `places` round to tens, hundreds and so on: fixed(254, -1) is "250".
    """
    if not math.isfinite(value):
        return MISSING
    number = _decimal(value).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    return f"{abs(number) if number == 0 else number:f}"


def rounded(value: float, places: int) -> float:
    """Round to the number that `fixed` writes; NaN stays NaN."""
    return float(fixed(value, places)) if math.isfinite(value) else math.nan


def plain(value: float, places: int = 3) -> str:
    """`value` to at most `places` decimals without trailing zeros: "20", "22.5"."""
    text = fixed(value, places)
    return text.rstrip("0").rstrip(".") if "." in text else text


def counted(count: int, noun: str) -> str:
    """A number of things: "1 reading", "3 readings"."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def significant(value: float, figures: int) -> str:
    """`value` to `figures` significant figures, half rounded up; MISSING for NaN or infinity."""
    if not math.isfinite(value):
        return MISSING
    return fixed(value, significant_places(value, figures))


def significant_places(value: float, figures: int) -> int:
    """Decimal places that leave `figures` significant figures after rounding (negative: tens)."""
    number = _decimal(value)
    if number == 0:
        return max(figures - 1, 0)
    places = figures - 1 - number.adjusted()
    # 0.0996 to two figures is 0.10, not 0.100: rounding may carry into a new place.
    carried = number.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    return figures - 1 - carried.adjusted()


def uncertainty_places(uncertainty: float) -> int | None:
    """Decimal places that leave the uncertainty one significant figure; None for 0 or NaN."""
    if not math.isfinite(uncertainty) or uncertainty == 0:
        return None
    return significant_places(uncertainty, 1)


def plus_minus(value: float, uncertainty: float, unit: str = "", places: int = 1) -> str:
    """Text such as "17.3 ± 0.7 cm": uncertainty to one significant figure, value to match.

    Without an uncertainty (0 or NaN) the value stands alone with `places` decimals.
    """
    matched = uncertainty_places(uncertainty)
    if not math.isfinite(value):
        return MISSING
    text = fixed(value, places)
    if matched is not None:
        text = f"{fixed(value, matched)} ± {fixed(uncertainty, matched)}"
    return f"{text} {unit}".rstrip()


def mean_places(reading_places: int, standard_uncertainties: ArrayLike) -> int:
    """Decimal places for a column of means, which all get the same.

    `standard_uncertainties` of the means in the unit that the readings are written in; their
    root mean square decides. Where none is known, or all are zero (repeats that agree say nothing
    finer than the graduation), the means keep the places of the readings.
    """
    known = np.asarray(standard_uncertainties, dtype=np.float64)
    known = known[np.isfinite(known)]
    typical = math.sqrt(float(np.mean(known**2))) if known.size else 0.0
    justified = 0.0 < typical <= MEAN_THRESHOLD * 10.0**-reading_places
    return reading_places + (1 if justified else 0)


def temperature_text(temperature_k: ArrayLike) -> str:
    """Write a temperature as it is spoken of, "20 °C" or "22.5 °C"."""
    return f"{plain(float(celsius(temperature_k)), 1)} °C"


def p_text(p: float) -> str:
    """Write a p value for a reader, "p = 0.030" or "p < 0.001"."""
    return "p < 0.001" if p < 0.001 else f"p = {significant(p, 2)}"


def _decimal(value: float) -> Decimal:
    return Decimal(f"{float(value):.12g}")


COARSER = 5
"""A scale between its marks is read to halves: common practice, no source."""
LEAST_READINGS = 8
"""So many readings in tenths would all fall on halves once in 5^8, some 400,000, by luck."""


def resolution_m(heights_m: ArrayLike, decimal_places: int) -> float:
    """The step of readings of any shape, in metres; NaN is a missing one.

    One unit of the last decimal place (in centimetres) that they were written to, or five
    where all of eight readings or more are multiples of five and not all are the same.
    """
    heights = np.asarray(heights_m, dtype=np.float64)
    heights = heights[np.isfinite(heights)]
    step_m = metres(10.0**-decimal_places)
    if heights.size < LEAST_READINGS or np.ptp(heights) == 0.0:
        return step_m
    coarse = heights / (COARSER * step_m)
    return COARSER * step_m if np.allclose(coarse, np.rint(coarse), rtol=0.0, atol=1e-6) else step_m


def ratio(above: ArrayLike, below: ArrayLike) -> FloatArray:
    """`above / below`, broadcast, without warnings; NaN where `below` is zero or either is NaN."""
    top, bottom = np.broadcast_arrays(
        np.asarray(above, dtype=np.float64), np.asarray(below, dtype=np.float64)
    )
    answer = np.full(top.shape, np.nan)
    np.divide(top, bottom, out=answer, where=bottom != 0.0)
    return answer
