"""Cells to numbers, names and yes or no. A cell is text, or a number from a spreadsheet."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from analysis.faults import quoted
from analysis.units import plain, unit_named

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
    text = plain(cell)
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
    return _YES_NO.get(plain(f"{cell:g}" if isinstance(cell, float) else cell))


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
