"""The numbers in a written answer, held against the student's own readings."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from analysis.quantity.units import KIND_OF, restated, school_unit
from analysis.quantity.written import NUMBER_WORDS, Number, numbers_in

_VALUES = (
    dict.fromkeys(("half a", "a half", "half"), "0.5")
    | {word: str(value) for value, word in enumerate(NUMBER_WORDS)}
    | {"a": "1"}
)
_WORDED = re.compile(rf"\b({'|'.join(_VALUES)})(?=\s+(cm|centimet|mm|millimet|per ?cent)\w*\b)")
"""A number in words with a unit after it."""
_NUMBER_WORD = re.compile(rf"\b({'|'.join(NUMBER_WORDS)}|quarter|half(?![\s-]*rang))\b")
_COUNTED = re.compile(r"times?|drops?|repeats?|readings?|goes")
_RATE = re.compile(
    r"(\d+(?:[.,]\d+)?)\s*(cm|mm)?(?:\s+\w+){0,2}?\s*(?:per|/|each|every|a)\s*"
    r"(?:step of\s+|rise of\s+)?(?:(\d+(?:[.,]\d+)?)\s?|one\s)?(?:degree|deg\b|°|c\b)"
)
"""A change and the degrees that it belongs to: "55 cm for every 10 degrees"."""
_THAN = re.compile(r"\bat (\d+)\b[^.;]{0,30}\bthan (?:\w+ ){0,3}?at (\d+)\b")
"""Two temperatures, one compared with the other."""
_FROM_TO = re.compile(r"\bfrom (\d+)\b\D{1,15}?\bto (\d+)\b")
_HEIGHT_AT = re.compile(r"(\d+(?:[.,]\d+)?)\s*cm\s+(?:at|for)\s+(\d+)\b(?!\s*cm)")
_AT_HEIGHT = re.compile(
    r"(?<!cm )\b(?:at|for)\s+(\d+)\b(?!\s*cm)[^.;,\d]{0,40}?(\d+(?:[.,]\d+)?)\s*cm\b"
    r"(?!\s*(?:more|higher|lower|less|bigger|smaller|further))"
)
"""A height and the temperature that it is given to: "10 cm at 60", "at 60 it is back at 10 cm"."""
_TOO_FAR = 2.0
"""A rate is at odds with the readings from this factor on. Ours, no source."""
_ABOUT = 0.1
"""The share by which a number may differ from the one that it rounds. Ours, no source."""


@dataclass(frozen=True)
class Quoted:
    """A number in an answer, in cm or in per cent, with what one unit of its last place is."""

    value: float
    step: float
    percent: bool
    text: str


def quoted(text: str) -> tuple[Quoted, ...]:
    """The numbers of an answer that may be lengths or percentages; counts and °C are left out."""
    return tuple(
        _quoted(number, text)
        for number, text in numbers_in(_in_figures(text))
        if KIND_OF.get(number.unit or "", "length") in ("length", "percentage")
        and not _COUNTED.match(number.unit_text)
    )


def in_centimetres(text: str) -> str:
    """The text with "cm" behind every length, its number as it was: it reads alike in any unit."""
    for number, piece in numbers_in(text):
        if number.unit_text != "cm" and KIND_OF.get(number.unit or "") == "length":
            named = f"{piece.removesuffix(number.unit_text)}cm"
            text = re.sub(rf"{re.escape(piece)}(?![^\W\d_])", named, text, flags=re.IGNORECASE)
    return text


def _in_figures(text: str) -> str:
    """The text with figures for numbers in words that have a unit."""
    return _WORDED.sub(lambda found: _VALUES[found.group(1)], text.lower())


def _quoted(number: Number, text: str) -> Quoted:
    unit = number.unit or "cm"
    school = school_unit(KIND_OF[unit])
    value, step = (restated(each, unit, school) for each in (number.value, 10.0**-number.decimals))
    return Quoted(value, step, school == "%", text)


def spells_a_number(text: str) -> bool:
    """Whether a number stands there in words; the "half" of "half-range" is none."""
    return bool(_NUMBER_WORD.search(text.lower()))


def is_one_of(number: Quoted, values: tuple[float, ...]) -> bool:
    """Whether one of the values rounds to the number as it is written."""
    return any(abs(number.value - value) <= number.step / 2.0 + 1e-9 for value in values)


def likely_of(number: Quoted, values: tuple[float, ...]) -> bool:
    """Whether the number is one of the values, or about as large as one."""
    near = (abs(number.value - value) <= _ABOUT * abs(value) for value in values)
    return is_one_of(number, values) or any(near)


def repeats_of_one(numbers: Iterable[Quoted], sets_cm: Iterable[tuple[float, ...]]) -> list[Quoted]:
    """Numbers that are two or more different repeats at one temperature: they show their spread."""
    for repeats_cm in sets_cm:
        found = [number for number in numbers if is_one_of(number, repeats_cm)]
        if len({number.value for number in found}) > 1:
            return found
    return []


def rate_at_odds(text: str, rate_cm_per_c: float) -> bool:
    """Whether a text gives a change per degree that is far from the readings' own."""
    found = _RATE.search(text.lower())
    if found is None or not math.isfinite(rate_cm_per_c) or rate_cm_per_c <= 0.0:
        return False
    change, degrees = (float((found.group(n) or "1").replace(",", ".")) for n in (1, 3))
    if not degrees:
        return True
    value = change / degrees / (10.0 if found.group(2) == "mm" else 1.0)
    return not rate_cm_per_c / _TOO_FAR <= value <= rate_cm_per_c * _TOO_FAR


def colder_first(text: str) -> bool:
    """Whether numbers run the other way: "higher at 20 than at 60", "goes from 60 to 20"."""
    plain = text.lower()
    pairs = [(end, begun) for begun, end in _FROM_TO.findall(plain)] + _THAN.findall(plain)
    return any(float(one) < float(other) for one, other in pairs)


def heights_at_odds(text: str, means_cm: Mapping[float, float]) -> bool:
    """Whether a height is given to one temperature that belongs to another: "10 cm at 60".

    `means_cm` are the student's own, by temperature in °C.
    """
    plain = text.lower()
    told = [(at, height) for height, at in _HEIGHT_AT.findall(plain)] + _AT_HEIGHT.findall(plain)
    return any(
        _nearest_c(float(height.replace(",", ".")), means_cm) != float(at)
        for at, height in told
        if float(at) in means_cm
    )


def _nearest_c(height_cm: float, means_cm: Mapping[float, float]) -> float:
    return min(means_cm, key=lambda celsius: abs(means_cm[celsius] - height_cm))
