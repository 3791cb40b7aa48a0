"""The page of rough readings: written at once, struck out if need be, never erased.

Quantities as a student writes them: a number and its unit, "34.5 cm" or "40 °C".
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

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
)
from analysis.quantity.written import number_and_unit
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

HIGHEST_READING_M = 2.5


class Unreadable(ValueError):
    """What is written is no quantity. The message says what is missing, in one sentence."""


def height(text: str) -> tuple[float, int]:
    """A height with its unit, in metres, and its decimal places in cm; raises Unreadable."""
    value, unit, decimals = _quantity(text, "length", "height")
    if not 0.0 <= value <= HIGHEST_READING_M:
        raise Unreadable(f"A height of {text.strip()} is not on this rule: check number and unit.")
    return value, places_in_cm(decimals, unit)


def temperature(text: str) -> float:
    """A temperature of water with its unit, in kelvin; raises Unreadable."""
    value, _, _ = _quantity(text, "temperature", "temperature")
    if not kelvin(0.0) <= value <= kelvin(100.0):
        raise Unreadable(f"Water at {text.strip()} would be ice or steam: check number and unit.")
    return value


def _quantity(text: str, kind: Kind, name: str) -> tuple[float, str, int]:
    """The value in SI, the unit that it is written in, and its decimal places in that unit."""
    found = number_and_unit(text)
    if found is None:
        raise Unreadable(f"Write the {name} as a number and its unit, such as {_example(kind)}.")
    if not found.unit_text:
        digits = normalised(text).replace(",", ".")
        raise Unreadable(f"The {name} has no unit yet: {digits} what?")
    if found.unit is None or KIND_OF[found.unit] != kind:
        raise Unreadable(f"{found.unit_text!r} is no unit of {name}; {school_unit(kind)} is one.")
    return to_si(found.value, found.unit), found.unit, found.decimals


def _example(kind: Kind) -> str:
    return f"{57 if kind == 'length' else 35} {school_unit(kind)}"


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
        height_m, places = height(_text(desk, HEIGHT))
    except Unreadable as problem:
        return Step(replace(desk, focus=HEIGHT).saying(str(problem), "refusal"))
    step = done(
        desk,
        act.NoteReading(
            temperature_k=water,
            height_m=height_m,
            aided=desk.state.reading_aid is not None,
            decimal_places=places,
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
