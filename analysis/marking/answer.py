"""A numeric answer as written: its number, the places it is written to, and its unit.

The number may stand at the end of a line of working ("m g h = 0.235 J") and among words ("about
0.6 cm per °C"); powers of ten are read ("5.6 × 10⁻² J"). Two numbers without an equals sign say
nothing certain, so they are not read.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

import numpy as np

from analysis.units import KIND_OF, plain, to_si, unit_named

Kind = Literal["length", "temperature", "energy", "gradient", "count", "percentage"]

_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+")
_RAISED = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺]+")
_NUMBER = re.compile(
    r"([+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+))"
    r"(?:\s*(?:e|[x×*·]\s*10\s*\^?\s*(?=[+-])|[x×*·]\s*10\s*\^)\s*\(?([+-]?[0-9]{1,2})\)?)?"
)
_UNIT_POWER = re.compile(r"(?<=[a-z°])(?<![0-9]e)\s*\^?\s*-\s*1\b")
_EACH_ONE = re.compile(r"\b(per|each|every)\s+1(?:\.0)?\s*(?=[°a-z])")
_JOULES = {
    "j": 1.0,
    "joule": 1.0,
    "joules": 1.0,
    "nm": 1.0,
    "mj": 1e-3,
    "millijoule": 1e-3,
    "millijoules": 1e-3,
    "kj": 1e3,
}
_PER_CENT = {"%", "percent", "per cent"}


LARGEST, MOST_DIGITS = 1e9, 12
"""Numbers beyond these are no answers to any question here."""


@dataclass(frozen=True)
class Given:
    """An answer that could be read.

    `number` and `step` (one unit of its last place) as written, `places` its decimal places,
    `figures` its significant figures. `factor` takes both to the unit asked for (m, J, cm per °C,
    ...), None where the unit is missing or of another kind.
    """

    text: str
    number: float
    step: float
    places: int
    figures: int
    unit_text: str
    factor: float | None

    @property
    def value(self) -> float:
        """The number in the unit asked for; without a readable unit the number as it stands."""
        return self.number * (1.0 if self.factor is None else self.factor)

    @property
    def value_step(self) -> float:
        """One unit of the last place, in the unit asked for."""
        return self.step * (1.0 if self.factor is None else self.factor)


def read_answer(text: str, kind: Kind, unit: str = "") -> Given | None:
    """Read an answer that should be a quantity of this kind; None where no number is certain.

    `unit` is the unit asked for: of a length "cm" or "m"; of a gradient that of its height.
    Energies are asked for in J, temperatures in °C, gradients per °C.
    """
    marked = _RAISED.sub(lambda found: "^" + found[0].translate(_SUPERSCRIPTS), text)
    line = plain(marked).rpartition("=")[2]
    line = _EACH_ONE.sub(r"\1 ", _UNIT_POWER.sub(" per", line).replace("^per", " per"))
    found = list(_NUMBER.finditer(line))
    if len(found) != 1:
        return None
    digits = found[0][1].replace(",", ".")
    power = int(found[0][2] or 0)
    number = float(f"{digits}e{power}")
    places = len(digits.partition(".")[2]) - power
    if max(len(digits), places) > MOST_DIGITS or abs(number) > LARGEST:
        return None
    unit_text = line[found[0].end() :].strip(" .,;")
    return Given(
        text=" ".join(text.split()),
        number=number,
        step=10.0**-places,
        places=max(places, 0),
        figures=len(digits.lstrip("+-").replace(".", "").lstrip("0")) or 1,
        unit_text=unit_text,
        factor=_factor(unit_text, kind, unit),
    )


def _factor(text: str, kind: Kind, unit: str) -> float | None:
    if kind == "energy":
        return _first(text, lambda words: _JOULES.get(words.replace(" ", "")))
    if kind == "percentage":
        return 1.0 if not text or _first(text, _percentage) else None
    if kind == "gradient":
        return _gradient_factor(text, unit)
    if kind in ("length", "temperature"):
        return _first(text, lambda words: _simple_factor(words, kind, unit))
    return 1.0


def _percentage(words: str) -> float | None:
    return 1.0 if words in _PER_CENT else None


def _first(text: str, factor_of: object) -> float | None:
    """The factor of the longest run of words from the left that spells a unit."""
    words = text.split()
    for count in range(len(words), 0, -1):
        found = factor_of(" ".join(words[:count]).strip(".,;"))  # type: ignore[operator]
        if found is not None:
            return float(found)
    return None


def _simple_factor(words: str, kind: str, unit: str) -> float | None:
    named = unit_named(words)
    if named is None or KIND_OF[named] != kind:
        return None
    if kind == "length":
        return _metres(named) / _metres(unit)
    return 1.0 if named == "°C" else None


def _gradient_factor(text: str, unit: str) -> float | None:
    """Of "cm/°C", "cm per degree", "cm °C⁻¹" (turned into "cm °c per" before), "cm for each °C"."""
    text = text.replace("for each", "per").replace("for every", "per").replace("/", " per ")
    words = text.split()
    if words[-1:] == ["per"]:
        words = [*words[:-2], "per", words[-2]] if len(words) > 2 else words
    upper, _, lower = " ".join(words).partition(" per ")
    above = _first(upper, lambda text: _simple_factor(text, "length", unit))
    named = next((n for n in map(_degree, _runs(lower)) if n), None)
    return above if named in ("°C", "K") else None


def _runs(text: str) -> list[str]:
    words = text.split()
    return [" ".join(words[:count]).strip(".,;") for count in range(len(words), 0, -1)]


def _degree(words: str) -> str | None:
    return "°C" if words in ("degree", "degrees", "°", "deg") else unit_named(words)


def _metres(unit: str) -> float:
    return float(to_si(np.array(1.0), unit))


def rounds_to(given: Given, exact: float) -> bool:
    """Whether `exact`, rounded to the places that the answer is written to, gives the answer.

    Half a unit of the last place either way, and at least the dust of binary arithmetic.
    """
    return abs(given.value - exact) <= given.value_step / 2 + 1e-9 * max(1.0, abs(exact))
