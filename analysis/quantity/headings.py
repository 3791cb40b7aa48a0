"""Headings, "quantity / unit" or "quantity (unit)": which quantity one means, and how we write it.

The one list of the quantities of this practical stands here. What a file gives is read, what
follows from its readings is checked against them, everything else that is known is passed over;
nothing but a rebound height is ever taken for a reading.

Students' own headings, of a table's column or a graph's axis, are understood further than they
are right: "temp", "h1 (cm)" or "temperature °C" still tell what is meant, so that a slip in a
heading costs the heading's mark and nothing further down.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal, NamedTuple

from analysis.quantity.units import KIND_OF, Kind, normalised, school_unit, unit_named
from analysis.quantity.written import PLUS_MINUS

TEMPERATURE: Final = "temperature"
REBOUND_HEIGHT: Final = "rebound height"
DROP_HEIGHT: Final = "drop height"
TRUE_TEMPERATURE: Final = "true temperature"
ELAPSED_TIME: Final = "elapsed time"
REPEAT: Final = "repeat"
REHEATED: Final = "reheated"
STUDENT: Final = "student"
RESOLUTION: Final = "resolution"
MEAN: Final = "mean"
RANGE: Final = "range"
HALF_RANGE: Final = "half-range"
UNCERTAINTY: Final = "uncertainty"
MASS: Final = "mass"


class _Known(NamedTuple):
    """The names of a quantity besides its own, and what its unit must measure, if it has one."""

    also: str = ""
    kind: Kind | None = None


_READ = {
    TEMPERATURE: _Known(
        "temp|t|θ|ball temperature|water temperature|bath temperature|temperature of ball"
        "|temperature of the ball|temperature of water|temperature of the water",
        "temperature",
    ),
    TRUE_TEMPERATURE: _Known("true ball temperature", "temperature"),
    REBOUND_HEIGHT: _Known(
        "rebound|bounce height|bounce|height of rebound|height of bounce|height|h", "length"
    ),
    DROP_HEIGHT: _Known("release height|height of drop|height of release", "length"),
    ELAPSED_TIME: _Known("time|time elapsed", "time"),
    REPEAT: _Known("repeat number|drop|drop number|trial|trial number|reading number|run"),
    REHEATED: _Known("re-heated|reheat"),
    STUDENT: _Known("student name|pupil|name"),
}
_CHECKED = {
    MEAN: _Known(
        "average|av|ave|avg|mean height|average height|mean rebound height|average rebound height"
        "|mean rebound|average rebound",
        "length",
    ),
    RANGE: _Known(
        "range of readings|range of heights|range of rebound heights|max-min|spread", "length"
    ),
    HALF_RANGE: _Known(
        "half range|half the range|half-range uncertainty|half range uncertainty|range/2|1/2 range"
        "|half of range|half of the range|max-min/2|(max-min)/2",
        "length",
    ),
}
_PASSED_OVER = {
    RESOLUTION: _Known("", "length"),
    MASS: _Known("mass of ball|mass of the ball", "mass"),
    "number of readings": _Known("number of repeats"),
    "smallest": _Known("smallest height|lowest height|lowest|min|minimum", "length"),
    "largest": _Known("largest height|highest height|highest|max|maximum", "length"),
    UNCERTAINTY: _Known("", "length"),  # and every other name that speaks of one, see `_quantity`
    "percentage uncertainty": _Known("% uncertainty|uncertainty in percent", "percentage"),
    "standard deviation": _Known("", "length"),
    "standard uncertainty of the mean": _Known("standard uncertainty|standard error", "length"),
    "anomalies": _Known("anomaly|anomalous"),
    "drift": _Known("", "length"),
    "energy before": _Known("", "energy"),
    "energy after": _Known("", "energy"),
    "energy transferred": _Known("", "energy"),
    "energy kept": _Known("efficiency", "percentage"),
    "coefficient of restitution": _Known(),
}
_KNOWN = _READ | _CHECKED | _PASSED_OVER
READ, CHECKED = frozenset(_READ), tuple(_CHECKED)
NO_READINGS = frozenset(_CHECKED) | frozenset(_PASSED_OVER)
"""Quantities that are no readings, whatever stands below them."""

KIND: dict[str, Kind] = {name: known.kind for name, known in _KNOWN.items() if known.kind}
"""What a unit must measure; quantities that are not here carry none."""

_QUANTITY_OF = {
    name: quantity
    for quantity, known in _KNOWN.items()
    for name in (quantity, *filter(None, known.also.split("|")))
}

# Whatever else a heading says: one with such a word is passed over, and never taken for a reading.
_OF_UNCERTAINTY = {"uncertainty", "uncertainties", "uncert", "error", "errors", "deviation"}

# With a number behind it, a word for one go stands for that go's rebound height.
_GOES = (
    *("", "repeat", "drop", "trial", "reading", "run", "test", "attempt", "go", "measurement"),
    *("try", "take", "turn", "bounce", "result"),
)
_NUMBERED = re.compile(r"(.*?)[\s#_]*(?:\bno\.?|\bnumber)?\s*([0-9]{1,6})")
_ORDINALS = ("", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
_FIRST = re.compile(rf"([0-9]{{1,2}})(?:st|nd|rd|th)\s+(.+)|({'|'.join(_ORDINALS[1:])})\s+(.+)")
_BRACKETED = re.compile(r"(.*?)\s*[(\[]\s*([^()\[\]]*?)\s*[)\]]")


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
    """Heading that a cell's text holds; its quantity is "" when it is none of ours.

    A tolerance behind it ("± 0.5 cm") is no part of the quantity; ± alone makes it an uncertainty.
    """
    plain, tolerance_unit, plus_minus = _without_plus_minus(text)
    name, unit_text = (plain, "") if _squeezed(plain) in _QUANTITY_OF else _parted(plain)
    quantity, number = _quantity(name)
    if not quantity:
        before, last = _own_parted(plain)
        quantity, number = _quantity(before)
        unit_text = last if quantity else unit_text
    if plus_minus and quantity not in NO_READINGS:
        quantity, number = UNCERTAINTY, None
    unit_text = unit_text or tolerance_unit
    unit = unit_named(unit_text) if unit_text else None
    if quantity == TEMPERATURE and unit is not None and KIND_OF[unit] == "time":
        quantity = ELAPSED_TIME  # "t / s": only the unit tells the two letters apart
    return Heading(" ".join(text.split()), quantity, number, unit, unit_text)


_TOLERANCE = re.compile(r"\s*±\s*[0-9][0-9.,]*\s*(°?\s*[a-z]{0,2})(?=\s*(?:[)\]]|$))")
_EMPTY_BRACKETS = re.compile(r"[(\[]\s*[)\]]")


def _without_plus_minus(text: str) -> tuple[str, str, bool]:
    """Normalised text without ± and a tolerance; the tolerance's unit; whether ± stood alone."""
    plain = PLUS_MINUS.sub("±", normalised(text))
    if "±" not in plain:
        return plain, "", False
    tolerance = _TOLERANCE.search(plain)
    plain = _TOLERANCE.sub("", plain)
    alone = "±" in plain
    plain = " ".join(_EMPTY_BRACKETS.sub(" ", plain.replace("±", " ")).split())
    return plain.strip(" ,"), tolerance[1].strip() if tolerance else "", alone


def heading_text(quantity: str, unit: str | None = None, number: int | None = None) -> str:
    """Heading as we write it, of a column or an axis: `rebound height 2 / cm`."""
    numbered = quantity if number is None else f"{quantity} {number}"
    return f"{numbered} / {unit}" if unit else numbered


def _parted(text: str) -> tuple[str, str]:
    bracketed = _BRACKETED.fullmatch(text)
    if bracketed:
        return bracketed[1].strip(), bracketed[2]
    for mark in ("/", " in "):
        name, found, unit_text = text.rpartition(mark)
        if found:
            return name.strip(), unit_text.strip()
    return text, ""


def _number_last(name: str) -> str:
    """The name of a go with its number behind it: "try 2" for "2nd try", "second try"."""
    found = _FIRST.fullmatch(name)
    if found is None:
        return name
    return f"{found[2]} {found[1]}" if found[1] else f"{found[4]} {_ORDINALS.index(found[3])}"


def _squeezed(name: str) -> str:
    """A name without the spaces that a formula or an abbreviation may have: "max - min / 2"."""
    return re.sub(r"\s*([-/()])\s*", r"\1", re.sub(r"\.(?=\s|$)", "", name.replace("÷", "/")))


def _quantity(name: str) -> tuple[str, int | None]:
    name = _squeezed(name)
    if name in _QUANTITY_OF:
        return _QUANTITY_OF[name], None
    if _OF_UNCERTAINTY & set(re.findall(r"[^\W\d_]+", name)):
        return UNCERTAINTY, None
    numbered = _NUMBERED.fullmatch(_number_last(name))
    if not numbered:
        return "", None
    word = numbered[1].strip()
    if word in _GOES:
        return REBOUND_HEIGHT, int(numbered[2])
    return _QUANTITY_OF.get(word, ""), int(numbered[2])


Role = Literal["temperature", "height", "mean", "other", ""]
"""What a column or axis holds; "" where the words do not tell."""

_SCHOOL_UNIT = {
    role: school_unit(KIND[quantity])
    for role, quantity in (("temperature", TEMPERATURE), ("height", REBOUND_HEIGHT), ("mean", MEAN))
}

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
_WORD = re.compile(r"([^\W\d_]+)([0-9]*)")
_PLURAL = {"temperatures": "temperature", "heights": "height", "means": "mean"}
_GO_NAMES = re.compile(rf"(?:{'|'.join(_GOES)})\s*\d+")
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
        """The unit that the numbers under it are taken to be in; "" where none are looked at."""
        school = _SCHOOL_UNIT.get(self.role, "")
        return school and (self.unit or school)


@lru_cache(maxsize=1024)
def own_heading(text: str) -> OwnHeading:
    """Read a heading: "quantity / unit", "quantity (unit)" or "quantity unit"."""
    plain, _, plus_minus = _without_plus_minus(text)
    name, unit_text = _own_parted(plain)
    short = tuple(word[1] for word in _WORD.finditer(name) if word[1] in _SHORT)
    full = " ".join(_spelled_out(word) for word in _number_last(name).replace(".", " ").split())
    unit = unit_named(unit_text) if unit_text else None
    role = "other" if plus_minus else _role(full, read_heading(heading_text(full, unit or "")))
    school = _SCHOOL_UNIT.get(role)
    fits = unit is not None and (school is None or KIND_OF[unit] == KIND_OF[school])
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
    """Name and unit text: the unit alone, or as in any heading, or simply last."""
    if _unit_of_a_column(text):
        return "", text
    name, unit_text = _parted(text)
    before, _, last = text.rpartition(" ")
    simply_last = not unit_text and before and _unit_of_a_column(last)
    return (before.strip(), last) if simply_last else (name, unit_text)


def _unit_of_a_column(text: str) -> str | None:
    """A unit that needs no sign before it; a lone letter for a mass or an energy is no unit."""
    unit = unit_named(text)
    return unit if unit and KIND_OF[unit] in ("length", "temperature", "time") else None


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
    if "range" in words and "temperature" not in words:
        return "other"
    if words & {"mean", "average"}:
        return "mean"
    if "temperature" in words:
        return "temperature"
    if words & {"height", "rebound", "bounce"} and not words & {"drop", "release", "start"}:
        return "height"
    return ""
