"""The page of rough readings: written at once, struck out if need be, never erased.

Quantities as a student writes them: a number and its unit, "34.5 cm" or "40 °C".
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import NamedTuple

from analysis.quantity.text import fixed, plain
from analysis.quantity.units import (
    KIND_OF,
    Kind,
    celsius,
    centimetres,
    kelvin,
    normalised,
    places_in_cm,
    school_unit,
    to_si,
    unit_named,
)
from sim import actions as act
from sim.bench.model.desk import Desk, Field, Step, done
from sim.bench.model.pages.page import Page, nothing_to_keep, plan_boxes
from sim.bench.ui.blocks import (
    Button,
    ButtonBox,
    FieldBox,
    Heading,
    PageBox,
    Paragraph,
    Row,
    TableBox,
)
from sim.bench.ui.fields import NumberField, TextLine
from sim.state import RoughReading, State

_QUANTITY = re.compile(r"([+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+))\s*(.*)")
HIGHEST_READING_M = 2.5


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
    if not kelvin(0.0) <= read.value <= kelvin(100.0):
        raise Unreadable(f"Water at {text.strip()} would be ice or steam: check number and unit.")
    return read


def _quantity(text: str, kind: Kind, name: str) -> Quantity:
    found = _QUANTITY.fullmatch(normalised(text))
    if found is None:
        raise Unreadable(f"Write the {name} as a number and its unit, such as {_example(kind)}.")
    digits = found[1].replace(",", ".")
    unit = unit_named(found[2])
    if not found[2]:
        raise Unreadable(f"The {name} has no unit yet: {digits} what?")
    if unit is None or KIND_OF[unit] != kind:
        raise Unreadable(f"{found[2]!r} is no unit of {name}; {school_unit(kind)} is one.")
    places = len(digits.partition(".")[2])
    value = to_si(float(digits), unit)
    return Quantity(value, places_in_cm(places, unit) if kind == "length" else places)


def _example(kind: str) -> str:
    return "57 cm" if kind == "length" else "35 °C"


NAME = "Rough readings"
TEMPERATURE, HEIGHT, WRITE = "rough.temperature", "rough.height", "rough.write"
LINE, REASON, STRIKE = "rough.line", "rough.reason", "rough.strike"

HOW = (
    "Write each reading down at once, number and unit, as your own eye read the lowest point of "
    "the ball."
)
NOTHING_YET = "No readings yet."


def _boxes(desk: Desk) -> tuple[PageBox, ...]:
    return (
        Heading(NAME),
        Paragraph(HOW, small=True),
        *plan_boxes(desk),
        _field(desk, TEMPERATURE, "Water was at", 12),
        _field(desk, HEIGHT, "Rebound height", 12),
        ButtonBox(WRITE, Button("Write it down"), desk.focus == WRITE),
        *_readings(desk),
        Heading("Strike a reading out", level=2),
        _field(desk, LINE, "Line", 4),
        _field(desk, REASON, "Why it is struck out", None),
        ButtonBox(STRIKE, Button("Strike it out"), desk.focus == STRIKE),
    )


def _field(desk: Desk, name: str, label: str, letters: int | None) -> FieldBox:
    field = desk.fields[name]
    assert isinstance(field, TextLine)
    focused = desk.focus == name
    composing = desk.composing if focused else ""
    return FieldBox(name, label, field, focused, letters=letters, composing=composing)


def _readings(desk: Desk) -> tuple[PageBox, ...]:
    """The readings so far, the newest first, so that it is seen without scrolling."""
    lines = desk.state.rough
    if not lines:
        return (Paragraph(NOTHING_YET),)
    rows = tuple(_row(number, line) for number, line in enumerate(lines, start=1))
    return (TableBox(("line", "water", "rebound", "read by"), rows[::-1]),)


def _row(number: int, line: RoughReading) -> Row:
    return Row(
        (
            str(number),
            f"{plain(float(celsius(line.temperature_k)), 2)} °C",
            f"{fixed(float(centimetres(line.height_m)), line.decimal_places)} cm",
            "aid" if line.aided else "own eye",
        ),
        struck_out=line.struck_out,
    )


def _fields(_: State) -> Mapping[str, Field]:
    return MappingProxyType(
        {
            TEMPERATURE: TextLine(longest=16),
            HEIGHT: TextLine(longest=16),
            LINE: NumberField(longest=3),
            REASON: TextLine(longest=120),
        }
    )


def _pressed(desk: Desk, name: str) -> Step:
    if name in (LINE, REASON, STRIKE):
        return _strike(desk) if name != LINE else Step(replace(desk, focus=REASON))
    if name == TEMPERATURE:
        return Step(replace(desk, focus=HEIGHT))
    return _write(desk)


def _write(desk: Desk) -> Step:
    """The reading goes on the rough page; the height's field is then free for the next."""
    try:
        water = temperature(_text(desk, TEMPERATURE))
    except Unreadable as problem:
        return Step(replace(desk, focus=TEMPERATURE).saying(str(problem), "refusal"))
    try:
        read = height(_text(desk, HEIGHT))
    except Unreadable as problem:
        return Step(replace(desk, focus=HEIGHT).saying(str(problem), "refusal"))
    step = done(
        desk,
        act.NoteReading(
            temperature_k=water.value,
            height_m=read.value,
            aided=desk.state.reading_aid is not None,
            decimal_places=read.decimal_places,
        ),
    )
    if len(step.desk.state.rough) == len(desk.state.rough):
        return step
    return Step(_emptied(step.desk, HEIGHT), step.actions)


def _strike(desk: Desk) -> Step:
    line = desk.fields[LINE]
    number = line.value if isinstance(line, NumberField) else None
    if number is None or number != int(number):
        words = "Write the number of the line that is to be struck out."
        return Step(replace(desk, focus=LINE).saying(words, "refusal"))
    step = done(desk, act.StrikeReading(int(number) - 1, _text(desk, REASON)))
    if not step.desk.state.rough or step.desk.state.rough == desk.state.rough:
        return Step(replace(step.desk, focus=REASON), step.actions)
    return Step(_emptied(_emptied(step.desk, LINE), REASON), step.actions)


def _text(desk: Desk, name: str) -> str:
    field = desk.fields[name]
    return field.text if isinstance(field, TextLine) else ""


def _emptied(desk: Desk, name: str) -> Desk:
    fields = MappingProxyType({**desk.fields, name: _fields(desk.state)[name]})
    return replace(desk, fields=fields)


ROUGH = Page(NAME, _boxes, _fields, nothing_to_keep, _pressed)
