"""The page of rough readings: written at once, struck out if need be, never erased."""

from __future__ import annotations

from collections.abc import Mapping
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
from analysis.refusal import Refused
from sim import actions as act
from sim.bench.model.desk import ROUGH, Desk, Step, done
from sim.bench.model.pages.book_page import BookPage, plan_blocks
from sim.bench.ui.blocks import Block, ButtonBox, FieldBox, TableBox, TableRow, Words
from sim.bench.ui.fields import NumberField, TextLine
from sim.state import RoughReading, State

HIGHEST_READING_M = 2.5


def height(text: str) -> tuple[float, int]:
    """A height with its unit, in metres, and its decimal places in cm; raises Refused."""
    value, unit, decimals = _quantity(text, "length", "height")
    if not 0.0 <= value <= HIGHEST_READING_M:
        raise Refused(f"A height of {text.strip()} is not on this rule: check number and unit.")
    return value, places_in_cm(decimals, unit)


def temperature(text: str) -> float:
    """A temperature of water with its unit, in kelvin; raises Refused."""
    value, _, _ = _quantity(text, "temperature", "temperature")
    if not kelvin(0.0) <= value <= kelvin(100.0):
        raise Refused(f"Water at {text.strip()} would be ice or steam: check number and unit.")
    return value


def _quantity(text: str, kind: Kind, name: str) -> tuple[float, str, int]:
    """The value in SI, the unit that it is written in, and its decimal places in that unit."""
    found = number_and_unit(text)
    if found is None:
        raise Refused(f"Write the {name} as a number and its unit, such as {_example(kind)}.")
    if not found.unit_text:
        digits = normalised(text).replace(",", ".")
        raise Refused(f"The {name} has no unit yet: {digits} what?")
    if found.unit is None or KIND_OF[found.unit] != kind:
        raise Refused(f"{found.unit_text!r} is no unit of {name}; {school_unit(kind)} is one.")
    return to_si(found.value, found.unit), found.unit, found.decimals


def _example(kind: Kind) -> str:
    return f"{57 if kind == 'length' else 35} {school_unit(kind)}"


TEMPERATURE, HEIGHT, WRITE = "rough.temperature", "rough.height", "rough.write"
LINE, REASON, STRIKE = "rough.line", "rough.reason", "rough.strike"

HOW = (
    "Write each reading down at once, number and unit, as your own eye read the lowest point of "
    "the ball."
)
NOTHING_YET = "No readings yet."


def _blocks(desk: Desk) -> tuple[Block, ...]:
    fields = desk.fields
    return (
        Words(ROUGH, "title"),
        Words(HOW, "note"),
        *plan_blocks(desk),
        FieldBox(TEMPERATURE, fields[TEMPERATURE], "Water was at", letters=12),
        FieldBox(HEIGHT, fields[HEIGHT], "Rebound height", letters=12),
        ButtonBox(WRITE, "Write it down"),
        *_readings(desk),
        Words("Strike a reading out", "part"),
        FieldBox(LINE, fields[LINE], "Line", letters=4),
        FieldBox(REASON, fields[REASON], "Why it is struck out"),
        ButtonBox(STRIKE, "Strike it out"),
    )


def _readings(desk: Desk) -> tuple[Block, ...]:
    """The readings so far, the newest first, so that it is seen without scrolling."""
    lines = desk.state.rough
    if not lines:
        return (Words(NOTHING_YET),)
    rows = tuple(_row(number, line) for number, line in enumerate(lines, start=1))
    return (TableBox(("line", "water", "rebound", "read by"), rows[::-1]),)


def _row(number: int, line: RoughReading) -> TableRow:
    return TableRow(
        (
            str(number),
            f"{plain(float(celsius(line.temperature_k)), 2)} °C",
            f"{fixed(float(centimetres(line.height_m)), line.decimal_places)} cm",
            "aid" if line.aided else "own eye",
        ),
        struck_out=line.struck_out,
    )


def _fields(_: State) -> Mapping[str, TextLine]:
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
        return _strike(desk) if name != LINE else Step(desk.at(REASON))
    if name == TEMPERATURE:
        return Step(desk.at(HEIGHT))
    return _write(desk)


def _write(desk: Desk) -> Step:
    """The reading goes on the rough page; the height's field is then free for the next."""
    try:
        water = temperature(desk.fields[TEMPERATURE].text)
    except Refused as problem:
        return Step(desk.at(TEMPERATURE).saying(str(problem), "refusal"))
    try:
        height_m, places = height(desk.fields[HEIGHT].text)
    except Refused as problem:
        return Step(desk.at(HEIGHT).saying(str(problem), "refusal"))
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
        return Step(desk.at(LINE).saying(words, "refusal"))
    step = done(desk, act.StrikeReading(int(number) - 1, desk.fields[REASON].text))
    if not step.desk.state.rough or step.desk.state.rough == desk.state.rough:
        return Step(step.desk.at(REASON), step.actions)
    return Step(_emptied(step.desk, LINE, REASON), step.actions)


def _emptied(desk: Desk, *names: str) -> Desk:
    empty = _fields(desk.state)
    return desk.writing({name: empty[name] for name in names})


ROUGH_PAGE = BookPage(ROUGH, _blocks, _fields, kept=Step, pressed=_pressed)
