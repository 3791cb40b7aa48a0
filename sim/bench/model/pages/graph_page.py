"""The page of the graph: the student's own axes, crosses and line on a sheet of graph paper."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

from msgspec import structs

from analysis.marking.questions import GRAPH
from analysis.marking.work import SIDES, Axis, Side
from sim import actions as act
from sim.bench.model.desk import PAPER, Desk, Step, done
from sim.bench.model.pages.book_page import (
    FEEDBACK,
    BookPage,
    answers_kept,
    feedback_blocks,
    field_name,
    gone_on,
    question_box,
    question_fields,
    questions_of,
    written_table,
)
from sim.bench.model.plotting import paper_box, put_down, zoomed
from sim.bench.ui.blocks import Block, ButtonBox, TableBox, TableRow, Tool, Words
from sim.bench.ui.fields import NumberField, TextLine
from sim.state import State

HOW = (
    "Write the axes first. Then place a cross for each mean, and lay your line of best fit. "
    "A small square stands for 2 mm of paper, a large one for 2 cm."
)
HANDS = (
    "Mouse: press, move to the place, let go; past the edge the sheet moves along. Keys: arrows "
    "move the pencil by half a small square (Shift: five, Alt: a tenth), Return puts it down, "
    "Delete takes a cross away, + and − go closer and back."
)
CLOSER, BACK, NO_LINE = (field_name(GRAPH, name) for name in ("closer", "back", "no line"))
TOOLS = {field_name(GRAPH, tool.value.lower()): tool for tool in Tool}
NO_TABLE = "Your results table is still empty."


def _blocks(desk: Desk) -> tuple[Block, ...]:
    return (
        Words(GRAPH, "title"),
        Words(HOW, "note"),
        _axes_table(desk),
        *(question_box(desk, asked) for asked in questions_of(GRAPH) if asked.part not in SIDES),
        *_tools(desk),
        paper_box(desk, PAPER),
        Words(HANDS, "note"),
        *feedback_blocks(desk, GRAPH),
        *written_table(desk.state.book, NO_TABLE),
    )


def _axes_table(desk: Desk) -> TableBox:
    """A row for each axis, a column for each thing that is asked of it."""
    asked = [question for question in questions_of(GRAPH) if question.part in SIDES]
    headings = tuple(dict.fromkeys(question.words for question in asked))
    cells = {
        (one.part, one.words): structs.replace(question_box(desk, one), label="") for one in asked
    }
    rows = (
        TableRow((side, *(cells.get((side, words), "") for words in headings))) for side in SIDES
    )
    return TableBox(("axis", *headings), tuple(rows))


def _tools(desk: Desk) -> tuple[Block, ...]:
    """What the pencil can do, the task it is set to marked; and how close the sheet is seen."""
    labels = {
        name: ("✎ " if tool is desk.pencil.tool else "") + tool.value
        for name, tool in TOOLS.items()
    }
    labels |= {CLOSER: "Closer", BACK: "Further"}
    if desk.state.book.line:
        labels[NO_LINE] = "Take the line away"
    return tuple(ButtonBox(name, label) for name, label in labels.items())


def _fields(state: State) -> dict[str, TextLine]:
    """What is written of the axes; where only an axis was kept, as its fields would have it."""
    drawn: dict[str, str] = {}
    for side, axis in state.book.axes.items():
        drawn[f"{side} title"] = axis.title
        drawn[f"{side} start"] = f"{axis.start:.10g}"
        drawn[f"{side} large square"] = f"{axis.large_square:.10g}"
    return question_fields(state, GRAPH, MappingProxyType(drawn))


def _kept(desk: Desk) -> Step:
    """The axes as written; and each that is whole is set, where it differs from the book's."""
    found = {side: _axis(desk, side) for side in SIDES}
    changed = [
        act.SetAxis(side, axis.title, axis.start, axis.large_square)
        for side, axis in found.items()
        if axis is not None and axis != desk.state.book.axes.get(side)
    ]
    step = answers_kept(desk, GRAPH)
    return step.then(lambda kept: done(kept, *changed)) if changed else step


def _axis(desk: Desk, side: Side) -> Axis | None:
    """An axis as its fields have it, or None while a number is missing or makes no scale."""
    title, start, square = (
        desk.fields[field_name(GRAPH, f"{side} {name}")]
        for name in ("title", "start", "large square")
    )
    assert isinstance(start, NumberField)
    assert isinstance(square, NumberField)
    if start.value is None or square.value is None or square.value <= 0.0:
        return None
    return Axis(title.text, start.value, square.value)


def _pressed(desk: Desk, name: str) -> Step:
    return _kept(desk).then(lambda kept: _pressed_on(kept, name))


def _pressed_on(desk: Desk, name: str) -> Step:
    if name == PAPER:
        return put_down(desk)
    if name == NO_LINE:
        return done(desk.at(PAPER), act.LayLine(()))
    if name == field_name(GRAPH, FEEDBACK):
        return done(desk, act.AskForFeedback(GRAPH))
    if name in TOOLS:
        return Step(replace(desk, pencil=desk.pencil.taken_up(TOOLS[name])))
    if name in (CLOSER, BACK):
        return zoomed(desk, 1 if name == CLOSER else -1)
    names = tuple(field_name(GRAPH, asked.name) for asked in questions_of(GRAPH))
    return gone_on(desk, (*names, PAPER), name)


GRAPH_PAGE = BookPage(GRAPH, _blocks, _fields, _kept, _pressed)
