"""Quantities as a student writes them: a number and its unit, "34.5 cm" or "40 °C"."""

from __future__ import annotations

import re
from typing import NamedTuple

import numpy as np

from analysis.units import KIND_OF, places_in_cm, plain, to_si, unit_named

_QUANTITY = re.compile(r"([+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+))\s*(.*)")
HIGHEST_READING_M = 2.5
_WANTED = {"length": "cm", "temperature": "°C"}


class Quantity(NamedTuple):
    """A number in SI units, and the decimal places it was written to (lengths: in cm)."""

    value: float
    decimal_places: int


class Unreadable(ValueError):
    """What is written is no quantity. The message says what is missing, in one sentence."""


def height(text: str) -> Quantity:
    """A height with its unit, in metres; raises Unreadable."""
    read = _quantity(text, "length", "height")
    if not 0.0 <= read.value <= HIGHEST_READING_M:
        raise Unreadable(f"A height of {text.strip()} is not on this rule: check number and unit.")
    return read


def temperature(text: str) -> Quantity:
    """A temperature of water with its unit, in kelvin; raises Unreadable."""
    read = _quantity(text, "temperature", "temperature")
    if not 273.15 <= read.value <= 373.15:
        raise Unreadable(f"Water at {text.strip()} would be ice or steam: check number and unit.")
    return read


def _quantity(text: str, kind: str, name: str) -> Quantity:
    found = _QUANTITY.fullmatch(plain(text))
    if found is None:
        raise Unreadable(f"Write the {name} as a number and its unit, such as {_example(kind)}.")
    digits = found[1].replace(",", ".")
    unit = unit_named(found[2])
    if not found[2]:
        raise Unreadable(f"The {name} has no unit yet: {digits} what?")
    if unit is None or KIND_OF[unit] != kind:
        raise Unreadable(f"{found[2]!r} is no unit of {name}; {_WANTED[kind]} is one.")
    places = len(digits.partition(".")[2])
    value = float(to_si(np.array([float(digits)]), unit)[0])
    return Quantity(value, places_in_cm(places, unit) if kind == "length" else places)


def _example(kind: str) -> str:
    return "57 cm" if kind == "length" else "35 °C"
