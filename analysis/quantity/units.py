"""Units that a heading may carry: how they are spelled, and the way to SI and back.

The inch is 0.0254 m exactly and 0 °C is 273.15 K exactly (the SI Brochure's definitions).
"""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING, Literal

import numpy as np

from analysis.quantity.text import ZERO_CELSIUS_K

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Values = NDArray[np.float64]

Kind = Literal["length", "temperature", "time"]

# A length in the unit times numerator over denominator is metres.
_METRES = {"mm": (1, 1000), "cm": (1, 100), "m": (1, 1), "in": (254, 10_000)}
# Lengths are kept to a picometre. So 13.7 cm is the float nearest to 0.137, where 13.7 / 100 is
# its neighbour, and a height that arithmetic left a last bit off is still written as 13.7.
_PER_METRE = 1e12
_SECONDS = {"s": 1, "min": 60}
# Decimal places gained when a reading is restated in centimetres: 235 mm is 23.5 cm.
_PLACES_GAINED = {"mm": 1, "cm": 0, "m": -2, "in": 0}

_SPELLINGS: dict[str, tuple[Kind, tuple[str, ...]]] = {
    "mm": ("length", ("mm", "mms", "millimetre", "millimetres", "millimeter", "millimeters")),
    "cm": ("length", ("cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters")),
    "m": ("length", ("m", "metre", "metres", "meter", "meters")),
    "in": ("length", ("in", "ins", "inch", "inches", '"', "′′")),
    "°C": ("temperature", ("c", "°c", "°celsius", "celsius", "°centigrade", "centigrade")),
    "K": ("temperature", ("k", "°k", "kelvin", "kelvins")),
    "°F": ("temperature", ("f", "°f", "°fahrenheit", "fahrenheit")),
    "s": ("time", ("s", "sec", "secs", "second", "seconds")),
    "min": ("time", ("min", "mins", "minute", "minutes")),
}
_UNIT_OF = {spelling: unit for unit, (_, all_) in _SPELLINGS.items() for spelling in all_}
KIND_OF: dict[str, Kind] = {unit: kind for unit, (kind, _) in _SPELLINGS.items()}

_LOOKALIKES = str.maketrans({"º": "°", "˚": "°", "−": "-", "‐": "-", "‑": "-", "⁄": "/"})


def plain(text: str) -> str:
    """Text with look-alike characters made one, spaces single and small letters only."""
    same = unicodedata.normalize("NFKC", text.translate(_LOOKALIKES)).translate(_LOOKALIKES)
    return " ".join(same.split()).lower()


def unit_named(text: str) -> str | None:
    """Find the unit that a text spells ("deg C", "centimetres"); None when it is none of ours."""
    spelled = re.sub(r"[\s.]", "", plain(text))
    return _UNIT_OF.get(re.sub(r"^deg(ree)?s?", "°", spelled))


def to_si(values: Values, unit: str) -> Values:
    """Lengths in metres (to a picometre), temperatures in kelvin, times in seconds."""
    if unit in _METRES:
        numerator, denominator = _METRES[unit]
        return _to_picometre(values * numerator / denominator)
    if unit in _SECONDS:
        return values * _SECONDS[unit]
    if unit == "°F":
        return (values - 32) * 5 / 9 + ZERO_CELSIUS_K
    return values + ZERO_CELSIUS_K if unit == "°C" else values


def from_si(values: Values, unit: str) -> Values:
    """Shortest decimals, in mm, cm, m, in, s or °C, that `to_si` takes back to `values`.

    Lengths come back to the picometre, so every length that was read comes back exactly; so does
    every temperature from 0 to 100 °C, and every time in seconds.
    """
    values = np.asarray(values, dtype=np.float64)
    if unit in _METRES:
        numerator, denominator = _METRES[unit]
        values = _to_picometre(values)
        raw = values * denominator / numerator
    else:
        raw = values - ZERO_CELSIUS_K if unit == "°C" else values / _SECONDS[unit]
    best = raw
    for decimals in range(14, -1, -1):
        candidate = np.round(raw, decimals)
        best = np.where(to_si(candidate, unit) == values, candidate, best)
    return best


def _to_picometre(metres: Values) -> Values:
    return np.rint(metres * _PER_METRE) / _PER_METRE


def places_in_cm(decimals: int, unit: str) -> int:
    """Decimal places in centimetres of readings written with so many decimals of a unit."""
    return max(0, decimals + _PLACES_GAINED[unit])


def places_in_unit(decimal_places: int, unit: str) -> int:
    """Decimals to write in a unit for readings with so many decimal places in centimetres."""
    return max(0, decimal_places - _PLACES_GAINED[unit])
