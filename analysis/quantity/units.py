"""The one table of units: how each is spelled, what it measures, and the way to SI and back.

A unit added to the table is read in headings, cells, answers and on the bench, checked against
and converted everywhere; nothing else names a factor. The first unit of a kind is the school's.

The inch is 0.0254 m exactly and 0 °C is 273.15 K exactly (the SI Brochure's definitions).
"""

from __future__ import annotations

import math
import re
import unicodedata
from functools import lru_cache
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, Protocol, overload

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    Values = NDArray[np.float64]

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
        ("c", "°c", "°celsius", "celsius", "°centigrade", "centigrade"),
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


def normalised(text: str) -> str:
    """Text with look-alike characters made one, spaces single and small letters only."""
    same = unicodedata.normalize("NFKC", text.translate(_LOOKALIKES)).translate(_LOOKALIKES)
    return " ".join(same.split()).lower()


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
    def __call__(self, values: ArrayLike, /) -> Values: ...


def _conversion(unit: str | None, other: str | None) -> Conversion:
    """Restate values of one unit in another of its kind; None stands for the SI unit."""

    def convert(values: ArrayLike, /) -> float | Values:
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
def restated(values: ArrayLike, unit: str, other: str) -> Values: ...
def restated(values: ArrayLike, unit: str, other: str) -> float | Values:
    """Values of any shape in one unit, restated in another of its kind."""
    return _conversion(unit, other)(values)


@overload
def to_si(values: float, unit: str) -> float: ...
@overload
def to_si(values: ArrayLike, unit: str) -> Values: ...
def to_si(values: ArrayLike, unit: str) -> float | Values:
    """Values of any shape in SI: metres (to a picometre), kelvin, seconds, kilograms, joules."""
    found = _restated(values, unit, None)
    if KIND_OF[unit] == "length":
        found = _to_picometre(found)
    return _alike(values, found)


def from_si(values: ArrayLike, unit: str) -> Values:
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


def _restated(values: ArrayLike, unit: str | None, other: str | None) -> Values:
    """None stands for the SI unit. A single number takes the quick way, which gives the same."""
    found: Any = values if isinstance(values, float) else np.asarray(values, dtype=np.float64)
    if unit is not None:
        _, _, numerator, denominator, zero, zero_si = UNITS[unit]
        found = (found - zero) * numerator / denominator + zero_si
    if other is not None:
        _, _, numerator, denominator, zero, zero_si = UNITS[other]
        found = (found - zero_si) * denominator / numerator + zero
    return found  # type: ignore[no-any-return]


def _alike(given: ArrayLike, found: Values) -> float | Values:
    """A number for a number, an array for anything else."""
    return float(found) if isinstance(given, int | float) else found


def _to_picometre(length_m: Values) -> Values:
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
