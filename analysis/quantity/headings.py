"""Headings of readings files: "quantity / unit", "quantity (unit)", and what each quantity is.

Headings as students write them, for a table's column or a graph's axis.

More is understood than is right: "temp", "h1 (cm)" or "temperature °C" still tell what is meant,
so that a slip in a heading costs the heading's mark and nothing further down.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from analysis.quantity.units import KIND_OF, Kind, normalised, unit_named

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
MASS: Final = "mass"

# What a unit must measure; quantities that are not here carry none.
KIND: dict[str, Kind] = {
    TEMPERATURE: "temperature",
    TRUE_TEMPERATURE: "temperature",
    REBOUND_HEIGHT: "length",
    DROP_HEIGHT: "length",
    MEAN: "length",
    RESOLUTION: "length",
    ELAPSED_TIME: "time",
    MASS: "mass",
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
    MASS: "mass|mass of ball|mass of the ball",
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
    name, unit_text = _parted(normalised(text))
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


Role = Literal["temperature", "height", "mean", "other", ""]
"""What a column or axis holds; "" where the words do not tell."""

SCHOOL_UNIT = {"temperature": "°C", "height": "cm", "mean": "cm"}

# Short for a quantity; a letter alone is its symbol, which a heading in words does not use.
_SHORT = {
    "temp": "temperature",
    "temps": "temperature",
    "tmp": "temperature",
    "t": "temperature",
    "θ": "temperature",
    "h": "height",
    "ht": "height",
    "hgt": "height",
    "reb": "rebound",
    "avg": "average",
    "ave": "average",
    "av": "average",
}
_OWN_BRACKETED = re.compile(r"(.*?)[(\[]([^()\[\]]*)[)\]]")
_WORD = re.compile(r"([^\W\d_]+)([0-9]*)")
_PLURAL = {"temperatures": "temperature", "heights": "height", "means": "mean"}
_GO_NAMES = re.compile(r"(?:repeat|drop|trial|reading|run|test|attempt|go|measurement)?\s*\d+")
_ROLES: dict[str, Role] = {TEMPERATURE: "temperature", REBOUND_HEIGHT: "height", MEAN: "mean"}


@dataclass(frozen=True)
class OwnHeading:
    """A heading as written, and what it tells.

    `name` are the words before the unit. `unit` is the unit as we spell it, None where none
    stands there or none that the quantity is measured in; `unit_text` is what stands in the unit's
    place. `short` are the words that are abbreviations. `names_a_go` is a heading such as
    "repeat 2", which leaves the quantity to its neighbours. `by_place`: the words do not tell the
    role, its place in the table did.
    """

    text: str
    role: Role
    name: str = ""
    unit: str | None = None
    unit_text: str = ""
    short: tuple[str, ...] = ()
    names_a_go: bool = False
    by_place: bool = False

    @property
    def school_unit(self) -> str:
        """The unit that the numbers under it are taken to be in."""
        return self.unit or SCHOOL_UNIT.get(self.role, "")


@lru_cache(maxsize=1024)
def own_heading(text: str) -> OwnHeading:
    """Read a heading: "quantity / unit", "quantity (unit)" or "quantity unit"."""
    name, unit_text = _own_parted(normalised(text))
    short = tuple(word[1] for word in _WORD.finditer(name) if word[1] in _SHORT)
    full = " ".join(_spelled_out(word) for word in name.replace(".", " ").split())
    unit = unit_named(unit_text) if unit_text else None
    role = _role(full, read_heading(heading_text(full, unit)))
    kind = KIND.get({"temperature": TEMPERATURE, "height": REBOUND_HEIGHT}.get(role, MEAN))
    fits = unit is not None and (role not in SCHOOL_UNIT or KIND_OF[unit] == kind)
    return OwnHeading(
        text=" ".join(text.split()),
        role=role,
        name=name,
        unit=unit if fits else None,
        unit_text=unit_text,
        short=short,
        names_a_go=bool(_GO_NAMES.fullmatch(full)),
    )


def _own_parted(text: str) -> tuple[str, str]:
    """Name and unit text: brackets, a slash, "in", or the unit simply last."""
    if unit_named(text):
        return "", text
    bracketed = _OWN_BRACKETED.fullmatch(text)
    if bracketed:
        return bracketed[1].strip(), bracketed[2].strip()
    for mark in ("/", " in "):
        name, found, unit_text = text.rpartition(mark)
        if found:
            return name.strip(), unit_text.strip()
    name, _, last = text.rpartition(" ")
    return (name.strip(), last) if name and unit_named(last) else (text, "")


def _spelled_out(word: str) -> str:
    found = _WORD.fullmatch(word)
    if not found:
        return word
    whole = _SHORT.get(found[1], _PLURAL.get(found[1], found[1]))
    return f"{whole} {found[2]}".strip()


def _role(full: str, heading: Heading) -> Role:
    """By the quantity's known names, else by the one word that gives it away."""
    if heading.quantity:
        return _ROLES.get(heading.quantity, "other")
    words = set(re.findall(r"[^\W\d_]+", full))
    if words & {"mean", "average"}:
        return "mean"
    if "temperature" in words:
        return "temperature"
    if words & {"height", "rebound", "bounce"} and not words & {"drop", "release", "start"}:
        return "height"
    return ""
