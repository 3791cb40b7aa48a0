"""From text to value: a number with its unit, wherever one is written, and names, yes and no.

One number is read alike in a cell, in an answer and on the bench: decimal point or comma, powers
of ten ("5.6 × 10⁻²", "1e-3"), full-width digits, hard spaces and look-alike signs. What differs
is what may stand around it: a cell or a line of the rough page holds the number and its unit
alone; an answer may end a line of working ("m g h = 0.235 J", "range 2, so 1 cm"), carry its
uncertainty ("36.2 ± 1 cm") or stand among words ("about 0.6 cm per °C", "6.2 cm for every 10 °C"),
but other pairs of numbers say nothing certain, so they are not read; in running text every number
is found, with the unit right behind it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, NamedTuple

from analysis.quantity.units import KIND_OF, normalised, restated, school_unit, unit_named
from analysis.refusal import quoted

Cell = str | float
"""Text, or a number from a spreadsheet."""

# What people write in the place of a reading that was not taken.
_NO_READING = {"", "-", "--", "–", "—", "n/a", "na", "none", "missing"}
_DIGITS = r"(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)"
_POWER = r"(?:e|[x×*·]\s*10\s*\^?\s*(?=[+-])|[x×*·]\s*10\s*\^)\s*\(?([+-]?[0-9]{1,3})\)?"
_NUMBER = re.compile(rf"([+-]?{_DIGITS})(?:\s*{_POWER})?")
_IN_PROSE = re.compile(r"(?<![0-9.])[0-9]+(?:[.,][0-9]+)?")
_PLAIN = re.compile(r"-?[0-9]{1,6}(?:\.[0-9]{1,20})?")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}.*|[0-9]{1,2}:[0-9]{2}.*")
_DANGEROUS = re.compile(r"'*[=+\-@＝＋－＠\t\r]")
_YES_NO = {"yes": True, "y": True, "true": True, "1": True, "wahr": True, "vrai": True}
_YES_NO |= {"no": False, "n": False, "false": False, "0": False, "falsch": False, "faux": False}
_MOST_DECIMALS = 9
_LARGEST = 1e12  # a cell above this holds no reading in any unit


class Number(NamedTuple):
    """A number as written; NaN where there is none or it is at fault.

    `decimals` are those written (text) or needed (number of a spreadsheet). `unit_text` is what
    stands behind the number, `unit` the unit that it spells, None where it spells none of ours.
    `fault` says what is wrong.
    """

    value: float
    decimals: int = 0
    unit: str | None = None
    unit_text: str = ""
    fault: str = ""


def number(cell: Cell, unit: str | None, *, of_kind: bool = False) -> Number:
    """Parse the number in a cell whose heading has this unit.

    The unit may stand in the cell again ("23 cm") if it is the heading's own, or with `of_kind`
    another of its kind ("230 mm" in a column of centimetres).
    """
    if isinstance(cell, str):
        if _PLAIN.fullmatch(cell):  # nearly every cell: the long way gives the same
            return Number(float(cell), min(len(cell.partition(".")[2]), _MOST_DECIMALS))
        return _in_cell(cell, unit, of_kind=of_kind)
    if not abs(cell) < _LARGEST:
        return Number(math.nan, fault=f"{quoted(cell)} is not a number{_MEND}")
    return Number(cell, decimals_needed(cell))


_MEND = ": write a number, or leave the cell blank if nothing was read"


def _in_cell(cell: str, unit: str | None, *, of_kind: bool) -> Number:
    text = normalised(cell)
    if text in _NO_READING:
        return Number(math.nan)
    found = number_and_unit(text)
    own = found.unit if found else None
    if found and abs(found.value) < _LARGEST:
        alike = own and unit and KIND_OF[own] == KIND_OF[unit]
        if not found.unit_text or (own and own == unit) or (of_kind and alike):
            return found
    saying = f"is not a number{_MEND}"
    if _DATE.fullmatch(text):
        saying = "is a date or a time: format the column as numbers and type it again"
    elif own and unit:
        saying = f"has another unit than its heading: convert it to {unit}"
    return Number(math.nan, fault=f"{quoted(cell)} {saying}")


def number_and_unit(text: str) -> Number | None:
    """A number with nothing but its unit behind it, "34.5 cm"; None where the text is another."""
    text = normalised(text)
    found = _NUMBER.match(text)
    if not found:
        return None
    value, decimals = _value(found)
    unit_text = text[found.end() :].strip()
    decimals = min(max(decimals, 0), _MOST_DECIMALS)
    return Number(value, decimals, _unit_or_degree(unit_text) if unit_text else None, unit_text)


def _value(found: re.Match[str]) -> tuple[float, int]:
    """A number's value, and the decimal places of its last digit (negative: tens, hundreds)."""
    digits, power = found[1].replace(",", "."), int(found[2] or 0)
    return float(f"{digits}e{power}"), len(digits.partition(".")[2]) - power


_DEGREES = ("degree", "degrees", "°", "deg", "degs")
_TWO_WORDS = (*_DEGREES, "per")
# "0.2 in" at the end of a phrase is a length, "0.2 in the middle" is none.
_AFTER_INCHES = {"", "and", "or", "at", "for", "from", "to", "per", "is", "was", "which", "while"}
_BEHIND = re.compile(r"\s*([%°\"′]+|[^\W\d_]+)(\s*([^\W\d_]*))")


def numbers_in(text: str) -> Iterator[tuple[Number, str]]:
    """Every number of a running text, without its sign, and the piece of text that it stands in.

    `unit_text` is the word behind it, or the two that spell a unit.
    """
    text = text.lower()
    for found in _IN_PROSE.finditer(text):
        words, unit = _unit_behind(text, found.end())
        digits = found[0].replace(",", ".")
        read = Number(float(digits), len(digits.partition(".")[2]), unit, words.strip())
        yield read, found[0] + (words if unit else "")


def _unit_behind(text: str, at: int) -> tuple[str, str | None]:
    behind = _BEHIND.match(text, at)
    if not behind:
        return "", None
    first, second = behind[1], behind[3]
    if first in _TWO_WORDS and unit_named(first + second):
        return behind[0], unit_named(first + second)
    if first == "in" and second not in _AFTER_INCHES:
        return "", None
    return text[at : behind.end(1)], _unit_or_degree(first)


def _unit_or_degree(words: str) -> str | None:
    return school_unit("temperature") if words in _DEGREES else unit_named(words)


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


AnswerKind = Literal[
    "length", "uncertainty", "temperature", "energy", "percentage", "gradient", "count"
]
"""What kind of quantity an answer should be; an uncertainty is that of a length."""

NUMBER_WORDS: tuple[str, ...] = (
    *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"),
    *("eleven", "twelve"),
)
"""Numbers in words, each at the place that it names."""
_COUNTED_IN_WORDS = re.compile(rf"\b({'|'.join(NUMBER_WORDS)})\b")

_SUPERSCRIPTS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺", "0123456789-+")
_RAISED = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹⁻⁺]+(?!\\s?[cC])")
_UNIT_POWER = re.compile(r"(?<=[a-z°])(?<![0-9]e)\s*\^?\s*-\s*1\b")
PLUS_MINUS = re.compile(r"\+\s*(?:/|or\b)?\s*-|\bplus (?:or |and )?minus\b")
"""What is written for ±."""
# Behind one of these stands what a line of working comes to.
_COMES_TO = re.compile(
    r"=>?|∴|→|[-–—]>|\b(?:so|therefore|thus|hence|gives|giving|makes|equals|which is)\b"
)

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


@lru_cache(maxsize=4096)
def read_answer(text: str, kind: AnswerKind, unit: str = "") -> Given | None:
    """Read an answer that should be a quantity of this kind; None where no number is certain.

    `unit` is the unit asked for: of a length "cm" or "m"; of a gradient that of its height.
    Energies are asked for in J, temperatures in °C, gradients per °C. Of "36.2 ± 1 cm" a length is
    the first number, an uncertainty the second.
    """
    marked = _RAISED.sub(lambda found: "^" + found[0].translate(_SUPERSCRIPTS), text)
    line = PLUS_MINUS.sub("±", normalised(marked))
    if kind == "gradient":
        return _gradient(text, line, unit)
    if kind == "count" and not _NUMBER.search(line):
        line = _COUNTED_IN_WORDS.sub(lambda word: str(NUMBER_WORDS.index(word[0])), line)
    line, unit_text = _with_uncertainty(_outcome(line), kind)
    return _given(text, line, lambda behind: _factor(behind or unit_text, kind, unit))


def _outcome(line: str) -> str:
    """What a line of working comes to: its last part that holds a number."""
    return next((part for part in reversed(_COMES_TO.split(line)) if _NUMBER.search(part)), "")


def _with_uncertainty(line: str, kind: AnswerKind) -> tuple[str, str]:
    """Of "36.2 ± 1 cm" the part that is asked for, and the unit that it shares with the other."""
    before, sign, behind = line.partition("±")
    if not sign or kind == "uncertainty" or not _NUMBER.search(before):
        return behind if sign else line, ""
    return before.rstrip(" ("), _NUMBER.sub("", behind).strip(" .,;)")


def _given(
    text: str, line: str, factor_of: Callable[[str], float | None], share: float = 1.0
) -> Given | None:
    """The one number of a line, over `share` where it is a rate; None where there is not one."""
    found = list(_NUMBER.finditer(line))
    if len(found) != 1:
        return None
    value, places = _value(found[0])
    digits = found[0][1].replace(",", ".")
    if max(len(digits), places) > MOST_DIGITS or not abs(value) <= LARGEST:
        return None
    unit_text = line[found[0].end() :].strip(" .,;")
    return Given(
        text=" ".join(text.split()),
        number=value / share,
        step=10.0**-places / share,
        places=max(places, 0),
        figures=len(digits.lstrip("+-").replace(".", "").lstrip("0")) or 1,
        unit_text=unit_text,
        factor=factor_of(unit_text),
    )


def _factor(text: str, kind: AnswerKind, unit: str) -> float | None:
    """What takes a number with this text behind it to the unit asked for."""
    if kind == "count" or (kind == "percentage" and not text):
        return 1.0
    kind = "length" if kind == "uncertainty" else kind
    named = _first_unit(text, _unit_or_degree, kind)
    if named is None:
        return None
    return _ratio(named, unit if kind == "length" else school_unit(KIND_OF[named]))


_DEGREE = r"(?:°|deg|c\b|k\b|celsius|kelvin)"
_ONE_DEGREE = re.compile(rf"\bone(?=\s*{_DEGREE})")
_PER = re.compile(
    r"\s*(?:/|÷|\b(?:for |with |in )?(?:each|every|per|a)\b|\b(?:for|with|in)\b)"
    rf"(?=\s*(?:{_DIGITS})?\s*{_DEGREE})\s*"
)
_PER_ONE = re.compile(r"\bper 1(?:\.0)?\s*(?=[°a-z])")
_DOT_BETWEEN_UNITS = re.compile(r"(?<=[a-z])\s*[·.*]\s*(?=°)")
_AT_A_PLACE = re.compile(r"\b(?:at|from|to|between|than|and)\s*$")


def _gradient(text: str, line: str, unit: str) -> Given | None:
    """Read "0.62 cm/°C", "0.62 cm each degree", "6.2 cm per 10 °C", "1 °C = 0.62 cm"."""
    line = _UNIT_POWER.sub(" per", line).replace("^per", " per")
    line = _DOT_BETWEEN_UNITS.sub(" ", line)
    line = _PER.sub(" per ", _ONE_DEGREE.sub("1", line))
    for part in (line, _outcome(line)):
        if rate := _rate(part):
            height, degrees = rate
            return _given(text, height, lambda behind: _gradient_factor(behind, unit), degrees)
    line = _outcome(_PER_ONE.sub("per ", line))
    number_at = next((found.start() for found in _NUMBER.finditer(line)), 0)
    each = " per °" if re.search(rf"\bper\s*{_DEGREE}", line[:number_at]) else ""
    line, shared = _with_uncertainty(line, "gradient")
    return _given(text, line, lambda behind: _gradient_factor((behind or shared) + each, unit))


def _rate(part: str) -> tuple[str, float] | None:
    """A height and the change of temperature that goes with it, whichever stands first.

    The height comes back as the rate's text, with one number in it.
    """
    found = list(_NUMBER.finditer(part))
    if len(found) != 2:
        return None
    between, behind = part[found[0].end() : found[1].start()], part[found[1].end() :]
    units = [_first_unit(text, _unit_or_degree) or "" for text in (between, behind)]
    kinds = [KIND_OF.get(one) for one in units]
    over = between.rstrip().endswith("per")
    if kinds == ["length", "temperature"] and (over or _COMES_TO.search(between)):
        height, degrees = 0, 1
    elif kinds == ["temperature", "length"] and not (
        over or " per " in behind or _AT_A_PLACE.search(part[: found[0].start()])
    ):
        height, degrees = 1, 0
    else:
        return None
    change = _value(found[degrees])[0]
    text = f"{found[height][0]} {units[height]} per {units[degrees]}"
    return (text, change) if change > 0 else None


def _ratio(named: str, unit: str) -> float | None:
    """One unit in another; None for temperatures, whose zeros differ."""
    if KIND_OF[named] == "temperature":
        return 1.0 if named == unit else None
    return restated(1.0, named, unit)


def _gradient_factor(text: str, unit: str) -> float | None:
    """Of "cm/°C", "cm per degree", "cm °C⁻¹" (turned into "cm °c per" before)."""
    words = text.replace("/", " per ").split()
    if words[-1:] == ["per"]:
        words = [*words[:-2], "per", words[-2]] if len(words) > 2 else words
    upper, _, lower = " ".join(words).partition(" per ")
    above, below = _first_unit(upper, unit_named, "length"), _first_unit(lower, _unit_or_degree)
    return _ratio(above, unit) if above and below in ("°C", "K") else None


def _first_unit(
    text: str, naming: Callable[[str], str | None], kind: AnswerKind | None = None
) -> str | None:
    """The unit, of this kind, that the longest run of words from the left spells."""
    words = text.split()
    runs = (" ".join(words[:count]).strip(".,:;()") for count in range(len(words), 0, -1))
    named = (naming(run) for run in runs)
    return next((name for name in named if name and kind in (None, KIND_OF[name])), None)


def rounds_to(given: Given, exact: float) -> bool:
    """Whether `exact`, rounded to the places that the answer is written to, gives the answer.

    Half a unit of the last place either way, and at least the dust of binary arithmetic.
    """
    return abs(given.value - exact) <= given.value_step / 2 + 1e-9 * max(1.0, abs(exact))
