"""Units and decimal places: a value from one unit to another, and from a value to text.

The one table of units tells how each is spelled, what it measures, and the way to SI and back. A
unit added to the table is read in headings, cells, answers and on the bench, checked against and
converted everywhere; nothing else names a factor. The first unit of a kind is the school's. The
inch is 0.0254 m exactly and 0 °C is 273.15 K exactly (the SI Brochure's definitions).

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

from __future__ import annotations

import math
import re
import unicodedata
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache
from typing import Any, Literal, NamedTuple, Protocol, TypeAlias, overload

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray: TypeAlias = NDArray[np.float64]
BoolArray: TypeAlias = NDArray[np.bool_]
IntArray: TypeAlias = NDArray[np.int64]

Kind = Literal["length", "temperature", "time", "mass", "energy", "force", "percentage"]

ZERO_CELSIUS_K = 273.15
"""0 °C in kelvin, exact by the definition of the Celsius temperature (SI Brochure, 2.3.4)."""


class Unit(NamedTuple):
    """A value, less `zero`, times `numerator` over `denominator`, plus `zero_si`, is in SI.

    `spellings` in small letters, without spaces and full stops; "°" stands for "degrees".
    """

    kind: Kind
    spellings: tuple[str, ...]
    numerator: float = 1
    denominator: float = 1
    zero: float = 0.0
    zero_si: float = 0.0


UNITS: dict[str, Unit] = {
    "cm": Unit(
        "length", ("cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters"), 1, 100
    ),
    "mm": Unit(
        "length", ("mm", "mms", "millimetre", "millimetres", "millimeter", "millimeters"), 1, 1000
    ),
    "m": Unit("length", ("m", "metre", "metres", "meter", "meters")),
    "in": Unit("length", ("in", "ins", "inch", "inches", '"', "′′"), 254, 10_000),
    "°C": Unit(
        "temperature",
        (
            *("c", "°c", "c°", "oc", "0c"),  # a small o or a nought for the degree sign
            *("°celsius", "celsius", "°celcius", "celcius", "°centigrade", "centigrade"),
        ),
        zero_si=ZERO_CELSIUS_K,
    ),
    "K": Unit("temperature", ("k", "°k", "kelvin", "kelvins")),
    "°F": Unit("temperature", ("f", "°f", "°fahrenheit", "fahrenheit"), 5, 9, 32.0, ZERO_CELSIUS_K),
    "s": Unit("time", ("s", "sec", "secs", "second", "seconds")),
    "min": Unit("time", ("min", "mins", "minute", "minutes"), 60, 1),
    "g": Unit("mass", ("g", "gram", "grams", "gramme", "grammes"), 1, 1000),
    "kg": Unit("mass", ("kg", "kilogram", "kilograms", "kilogramme", "kilogrammes")),
    "J": Unit("energy", ("j", "joule", "joules", "nm")),  # a newton metre: no length is in nm here
    "mJ": Unit("energy", ("mj", "millijoule", "millijoules"), 1, 1000),
    "kJ": Unit("energy", ("kj", "kilojoule", "kilojoules"), 1000, 1),
    "N": Unit("force", ("n", "newton", "newtons")),
    "%": Unit("percentage", ("%", "percent"), 1, 100),
}
KIND_OF: dict[str, Kind] = {name: unit.kind for name, unit in UNITS.items()}
_NAMED = {spelling: name for name, unit in UNITS.items() for spelling in unit.spellings}

# Lengths are kept to a picometre. So 13.7 cm is the float nearest to 0.137, where 13.7 / 100 is
# its neighbour, and a height that arithmetic left a last bit off is still written as 13.7.
_PER_METRE = 1e12

_LOOKALIKES = str.maketrans({"º": "°", "˚": "°", "−": "-", "‐": "-", "‑": "-", "⁄": "/"})


# A raised nought, a small o or a nought for the degree sign: "20⁰C", "20^oC", "20 oC", "20 0C".
_RAISED_NOUGHT = re.compile(r"⁰(?=\s?[cC])")
_LETTER_FOR_DEGREE = re.compile(r"(?:\^\s?[o0]|(?<=[0-9])\s?o|(?<=[0-9])\s0)(?=c\b|celsius)")


def normalised(text: str) -> str:
    """Text with look-alike characters made one, spaces single and small letters only."""
    signs = _RAISED_NOUGHT.sub("°", text).translate(_LOOKALIKES)
    same = unicodedata.normalize("NFKC", signs).translate(_LOOKALIKES)
    return _LETTER_FOR_DEGREE.sub(" °", " ".join(same.split()).lower())


@lru_cache(maxsize=4096)
def unit_named(text: str) -> str | None:
    """Find the unit that a text spells ("deg C", "centimetres"); None when it is none of ours."""
    spelled = re.sub(r"[\s.]", "", normalised(text))
    return _NAMED.get(re.sub(r"^deg(ree)?s?", "°", spelled))


@lru_cache(maxsize=32)
def units_of(kind: Kind) -> tuple[str, ...]:
    """The units of one kind, the school's first."""
    return tuple(name for name, unit in UNITS.items() if unit.kind == kind)


def school_unit(kind: Kind) -> str:
    """The unit that a school writes quantities of this kind in."""
    return units_of(kind)[0]


class Conversion(Protocol):
    """From one unit to another: a number for a number, an array for anything else."""

    @overload
    def __call__(self, values: float, /) -> float: ...
    @overload
    def __call__(self, values: ArrayLike, /) -> FloatArray: ...


def _conversion(unit: str | None, other: str | None) -> Conversion:
    """Restate values of one unit in another of its kind; None stands for the SI unit."""

    def convert(values: ArrayLike, /) -> float | FloatArray:
        return _alike(values, _restated(values, unit, other))

    return convert  # type: ignore[return-value]


kelvin = _conversion("°C", None)
celsius = _conversion(None, "°C")
metres = _conversion("cm", None)
centimetres = _conversion(None, "cm")
millimetres = _conversion(None, "mm")
minutes = _conversion(None, "min")
kilograms = _conversion("g", None)
grams = _conversion(None, "g")
percent = _conversion(None, "%")


@overload
def restated(values: float, unit: str, other: str) -> float: ...
@overload
def restated(values: ArrayLike, unit: str, other: str) -> FloatArray: ...
def restated(values: ArrayLike, unit: str, other: str) -> float | FloatArray:
    """Values of any shape in one unit, restated in another of its kind."""
    return _conversion(unit, other)(values)


@overload
def to_si(values: float, unit: str) -> float: ...
@overload
def to_si(values: ArrayLike, unit: str) -> FloatArray: ...
def to_si(values: ArrayLike, unit: str) -> float | FloatArray:
    """Values of any shape in SI: metres (to a picometre), kelvin, seconds, kilograms, joules."""
    found = _restated(values, unit, None)
    if KIND_OF[unit] == "length":
        found = _to_picometre(found)
    return _alike(values, found)


def from_si(values: ArrayLike, unit: str) -> FloatArray:
    """Shortest decimals in a unit that `to_si` takes back to `values`, where there are any.

    Lengths come back to the picometre, so every length that was read comes back exactly; so does
    every temperature from 0 to 100 °C, and every time in seconds.
    """
    si = np.asarray(values, dtype=np.float64)
    if KIND_OF[unit] == "length":
        si = _to_picometre(si)
    best = raw = _restated(si, None, unit)
    for decimals in range(14, -1, -1):
        candidate = np.round(raw, decimals)
        best = np.where(to_si(candidate, unit) == si, candidate, best)
    return best


def _restated(values: ArrayLike, unit: str | None, other: str | None) -> FloatArray:
    """None stands for the SI unit. A single number takes the quick way, which gives the same."""
    found: Any = values if isinstance(values, float) else np.asarray(values, dtype=np.float64)
    if unit is not None:
        _, _, numerator, denominator, zero, zero_si = UNITS[unit]
        found = (found - zero) * numerator / denominator + zero_si
    if other is not None:
        _, _, numerator, denominator, zero, zero_si = UNITS[other]
        found = (found - zero_si) * denominator / numerator + zero
    return found  # type: ignore[no-any-return]


def _alike(given: ArrayLike, found: FloatArray) -> float | FloatArray:
    """A number for a number, an array for anything else."""
    return float(found) if isinstance(given, int | float) else found


def _to_picometre(length_m: FloatArray) -> FloatArray:
    return np.rint(length_m * _PER_METRE) / _PER_METRE


def places_in_cm(decimals: int, unit: str) -> int:
    """Decimal places in centimetres of readings written with so many decimals of a unit."""
    return max(0, decimals + _places_gained(unit))


def places_in_unit(decimal_places: int, unit: str) -> int:
    """Decimals to write in a unit for readings with so many decimal places in centimetres."""
    return max(0, decimal_places - _places_gained(unit))


def _places_gained(unit: str) -> int:
    """Decimal places gained when a reading is restated in centimetres: 235 mm is 23.5 cm."""
    return -round(math.log10(restated(1.0, unit, "cm")))


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
