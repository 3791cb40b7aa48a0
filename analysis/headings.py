"""Headings of readings files: "quantity / unit", "quantity (unit)", and what each quantity is."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from analysis.units import KIND_OF, Kind, plain, unit_named

TEMPERATURE: Final = "temperature"
REBOUND_HEIGHT: Final = "rebound height"
DROP_HEIGHT: Final = "drop height"
TRUE_TEMPERATURE: Final = "true temperature"
ELAPSED_TIME: Final = "elapsed time"
REPEAT: Final = "repeat"
REHEATED: Final = "reheated"
STUDENT: Final = "student"
MEAN: Final = "mean"
RESOLUTION: Final = "resolution"

# What a unit must measure; quantities that are not here carry none.
KIND: dict[str, Kind] = {
    TEMPERATURE: "temperature",
    TRUE_TEMPERATURE: "temperature",
    REBOUND_HEIGHT: "length",
    DROP_HEIGHT: "length",
    MEAN: "length",
    RESOLUTION: "length",
    ELAPSED_TIME: "time",
}

_NAMES = {
    TEMPERATURE: "temperature|temp|t|θ|ball temperature|water temperature|bath temperature"
    "|temperature of ball|temperature of the ball|temperature of water|temperature of the water",
    TRUE_TEMPERATURE: "true temperature|true ball temperature",
    REBOUND_HEIGHT: "rebound height|rebound|bounce height|bounce|height of rebound"
    "|height of bounce|height|h",
    DROP_HEIGHT: "drop height|release height|height of drop|height of release",
    ELAPSED_TIME: "elapsed time|time|time elapsed",
    REPEAT: "repeat|repeat number|drop|drop number|trial|trial number|reading number|run",
    REHEATED: "reheated|re-heated|reheat",
    STUDENT: "student|student name|pupil|name",
    MEAN: "mean|average|mean height|average height|mean rebound height|average rebound height"
    "|mean rebound|average rebound",
    RESOLUTION: "resolution",
}
_QUANTITY_OF = {name: quantity for quantity, all_ in _NAMES.items() for name in all_.split("|")}

# With a number behind it, a word for one go stands for that go's rebound height.
_GOES = {"", "repeat", "drop", "trial", "reading", "run", "test", "attempt", "go", "measurement"}
_NUMBERED = re.compile(r"(.*?)[\s#_]*(?:\bno\.?|\bnumber)?\s*([0-9]{1,6})")
_BRACKETED = re.compile(r"(.*?)\s*(?:\(([^()]*)\)|\[([^\[\]]*)\])")


@dataclass(frozen=True)
class Heading:
    """One heading: its text, the quantity ("" if unknown), its number and its unit.

    `unit` is None when the heading has none; `unit_text` is what stands in the unit's place.
    """

    text: str
    quantity: str
    number: int | None = None
    unit: str | None = None
    unit_text: str = ""

    @property
    def fits(self) -> bool:
        """Whether the unit is one that the quantity can be measured in."""
        return self.unit is not None and KIND_OF[self.unit] == KIND.get(self.quantity)


@lru_cache(maxsize=4096)
def read_heading(text: str) -> Heading:
    """Heading that a cell's text holds; its quantity is "" when it is none of ours."""
    name, unit_text = _parted(plain(text))
    quantity, number = _quantity(name)
    unit = unit_named(unit_text) if unit_text else None
    if quantity == TEMPERATURE and unit is not None and KIND_OF[unit] == "time":
        quantity = ELAPSED_TIME  # "t / s": only the unit tells the two letters apart
    return Heading(" ".join(text.split()), quantity, number, unit, unit_text)


def heading_text(quantity: str, unit: str | None = None, number: int | None = None) -> str:
    """Heading as we write it: `rebound height 2 / cm`."""
    numbered = quantity if number is None else f"{quantity} {number}"
    return numbered if unit is None else f"{numbered} / {unit}"


def _parted(text: str) -> tuple[str, str]:
    bracketed = _BRACKETED.fullmatch(text)
    if bracketed:
        return bracketed[1], (bracketed[2] or bracketed[3] or "").strip()
    for mark in ("/", " in "):
        name, found, unit_text = text.rpartition(mark)
        if found:
            return name.strip(), unit_text.strip()
    return text, ""


def _quantity(name: str) -> tuple[str, int | None]:
    if name in _QUANTITY_OF:
        return _QUANTITY_OF[name], None
    numbered = _NUMBERED.fullmatch(name)
    if not numbered:
        return "", None
    word = numbered[1].strip()
    if word in _GOES:
        return REBOUND_HEIGHT, int(numbered[2])
    return _QUANTITY_OF.get(word, ""), int(numbered[2])
