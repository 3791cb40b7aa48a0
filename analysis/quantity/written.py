"""Cells to numbers, names and yes or no. A cell is text, or a number from a spreadsheet.

A numeric answer as written: its number, the places it is written to, and its unit.

The number may stand at the end of a line of working ("m g h = 0.235 J") and among words ("about
0.6 cm per °C"); powers of ten are read ("5.6 × 10⁻² J"). Two numbers without an equals sign say
nothing certain, so they are not read.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np

from analysis.quantity.units import KIND_OF, normalised, to_si, unit_named
from analysis.refusal import quoted

Cell = str | float

# What people write in the place of a reading that was not taken.
_NO_READING = {"", "-", "--", "–", "—", "n/a", "na", "none", "missing"}
_NUMBER = re.compile(r"([+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:e[+-]?[0-9]{1,3})?)\s*(.*)")
_PLAIN = re.compile(r"-?[0-9]{1,6}(?:\.[0-9]{1,20})?")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}.*|[0-9]{1,2}:[0-9]{2}.*")
_DANGEROUS = re.compile(r"'*[=+\-@＝＋－＠\t\r]")
_YES_NO = {"yes": True, "y": True, "true": True, "1": True, "wahr": True, "vrai": True}
_YES_NO |= {"no": False, "n": False, "false": False, "0": False, "falsch": False, "faux": False}
_MOST_DECIMALS = 9
_LARGEST = 1e12  # a cell above this holds no reading in any unit


class Number(NamedTuple):
    """One cell read as a number, NaN where blank or at fault.

    `fault` says what is wrong, `remark` what was mended on the way. `decimals` are those written
    (text) or needed (number of a spreadsheet).
    """

    value: float
    decimals: int = 0
    fault: str = ""
    remark: str = ""


def number(cell: Cell, unit: str | None) -> Number:
    """Parse the number in a cell whose heading has this unit.

    Decimal point or decimal comma; full-width digits and hard spaces are as good as plain ones.
    The unit may stand in the cell again ("23 cm") if it is the heading's own.
    """
    if isinstance(cell, str):
        if _PLAIN.fullmatch(cell):  # nearly every cell: the long way gives the same
            return Number(float(cell), min(len(cell.partition(".")[2]), _MOST_DECIMALS))
        return _from_text(cell, unit)
    if not abs(cell) < _LARGEST:
        return Number(math.nan, fault=f"{quoted(cell)} is not a number{_MEND}")
    return Number(cell, decimals_needed(cell))


_MEND = ": write a number, or leave the cell blank if nothing was read"


def _from_text(cell: str, unit: str | None) -> Number:
    text = normalised(cell)
    if text in _NO_READING:
        return Number(math.nan)
    found = _NUMBER.fullmatch(text)
    value = float(found[1].replace(",", ".")) if found else math.nan
    own = unit_named(found[2]) if found and found[2] else None
    if found and abs(value) < _LARGEST and (not found[2] or (own and own == unit)):
        return Number(value, _decimals_written(found[1]), remark="unit" if own else "")
    saying = f"is not a number{_MEND}"
    if _DATE.fullmatch(text):
        saying = "is a date or a time: format the column as numbers and type it again"
    elif own and unit:
        saying = f"has another unit than its heading: convert it to {unit}"
    return Number(math.nan, fault=f"{quoted(cell)} {saying}")


def _decimals_written(text: str) -> int:
    digits, _, exponent = text.replace(",", ".").partition("e")
    decimals = len(digits.partition(".")[2]) - int(exponent or 0)
    return min(max(decimals, 0), _MOST_DECIMALS)


def decimals_needed(value: float) -> int:
    """Fewest decimals that write a number; a spreadsheet's rounding noise does not count."""
    for decimals in range(_MOST_DECIMALS):
        if abs(round(value, decimals) - value) <= 1e-10 * max(1.0, abs(value)):
            return decimals
    return _MOST_DECIMALS


def is_blank(cell: Cell) -> bool:
    """Whether there is nothing in the cell, or only spaces."""
    return isinstance(cell, str) and not cell.strip()


def yes_or_no(cell: Cell) -> bool | None:
    """Yes, true and 1 give True; no, false and 0 give False; anything else gives None."""
    return _YES_NO.get(normalised(f"{cell:g}" if isinstance(cell, float) else cell))


def name(cell: Cell) -> str:
    """Name as we keep it: one line, single spaces, the guard of `guarded` taken off."""
    text = tidied(f"{cell:.15g}" if isinstance(cell, float) else cell)
    return text[1:] if text.startswith("'") and _DANGEROUS.match(text) else text


def tidied(text: str) -> str:
    """Text on one line with single spaces and nothing that cannot be printed."""
    printable = "".join(letter for letter in text if letter.isprintable() or letter.isspace())
    return " ".join(printable.split())


def guarded(text: str) -> str:
    """Text that no spreadsheet takes for a formula: an apostrophe before = + - @ tab or return.

    Text that already has such apostrophes gets one more, so that `name` undoes exactly this.
    """
    return f"'{text}" if _DANGEROUS.match(text) else text


Kind = Literal["length", "temperature", "energy", "gradient", "count", "percentage"]

_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+")
_RAISED = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺]+")
_ANSWER = re.compile(
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
    line = normalised(marked).rpartition("=")[2]
    line = _EACH_ONE.sub(r"\1 ", _UNIT_POWER.sub(" per", line).replace("^per", " per"))
    found = list(_ANSWER.finditer(line))
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
