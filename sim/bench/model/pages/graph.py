"""The page of the graph: the student's own axes, crosses and line on a sheet of graph paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Literal

from analysis.marking.questions import GRAPH
from sim import actions as act
from sim.bench.model.desk import Desk, Field, Step, done
from sim.bench.model.pages.answers import answers_kept, field_name, gone_on, text_of
from sim.bench.model.pages.page import FEEDBACK, Page, feedback_asked, feedback_boxes
from sim.bench.model.pages.table import written_table
from sim.bench.model.plotting import axes_of, line_taken_away, put_down, taken, zoomed
from sim.bench.ui.blocks import (
    Button,
    ButtonBox,
    CellField,
    Heading,
    PageBox,
    PaperBox,
    Paragraph,
    Row,
    TableBox,
)
from sim.bench.ui.fields import NumberField, TextLine
from sim.bench.ui.graph_paper import PAPER, Paper, Tool
from sim.state import Axis, State

Which = Literal["across", "up"]
AXES: tuple[Which, ...] = ("across", "up")
PARTS = ("title", "start", "large square")
AXIS_HEADINGS = ("axis", "title: quantity and unit", "starts at", "a large square is")
HOW = (
    "Write the axes first. Then place a cross for each mean, and lay your line of best fit. "
    "A small square stands for 2 mm of paper, a large one for 2 cm."
)
HANDS = (
    "Mouse: press, move to the place, let go; past the edge the sheet moves along. Keys: arrows "
    "move the pencil by half a small square (Shift: five, Alt: a tenth), Return puts it down, "
    "Delete takes a cross away, + and − go closer and back."
)
CLOSER, BACK, NO_LINE = f"{GRAPH}.closer", f"{GRAPH}.back", f"{GRAPH}.no line"
TOOLS = {f"{GRAPH}.{tool.value.lower()}": tool for tool in Tool}
QUESTIONS = tuple(f"{axis} {part}" for axis in AXES for part in PARTS)
"""What is kept of the axes as it is written; with both numbers it becomes an axis."""
NAMES = tuple(field_name(GRAPH, question) for question in QUESTIONS)
MINE, NO_TABLE = "Your results table", "Your results table is still empty."


def _boxes(desk: Desk) -> tuple[PageBox, ...]:
    return (
        Heading(GRAPH),
        Paragraph(HOW, small=True),
        TableBox(AXIS_HEADINGS, tuple(_axis_row(desk, axis) for axis in AXES)),
        *_tools(desk),
        graph_box(desk, PAPER),
        Paragraph(HANDS, small=True),
        *feedback_boxes(desk, GRAPH),
        Heading(MINE, level=2),
        written_table(desk.state.book) or Paragraph(NO_TABLE),
    )


def _axis_row(desk: Desk, axis: str) -> Row:
    return Row((axis, *(_cell(desk, f"{axis} {part}") for part in PARTS)))


def _cell(desk: Desk, question: str) -> CellField:
    name = field_name(GRAPH, question)
    field = desk.fields[name]
    assert isinstance(field, TextLine)
    focused = desk.focus == name
    return CellField(name, field, focused, desk.composing if focused else "")


def _tools(desk: Desk) -> tuple[PageBox, ...]:
    """What the pencil can do, the task it is set to marked; and how close the sheet is seen."""
    labels = {
        name: ("✎ " if tool is desk.paper.tool else "") + tool.value for name, tool in TOOLS.items()
    }
    labels |= {CLOSER: "Closer", BACK: "Further"}
    if desk.state.book.line:
        labels[NO_LINE] = "Take the line away"
    return tuple(
        ButtonBox(name, Button(label), desk.focus == name) for name, label in labels.items()
    )


def graph_box(desk: Desk, name: str | None) -> PaperBox:
    """The sheet as it is; without a name the whole of it, only to look at."""
    axes, book = axes_of(desk.state), desk.state.book
    return PaperBox(
        name,
        desk.paper if name else Paper(),
        axes,
        tuple(axes.place(cross) for cross in book.crosses) if axes else (),
        tuple(axes.place(point) for point in book.line) if axes else (),
        focused=name is not None and desk.focus == name,
    )


def shown_graph(desk: Desk) -> tuple[PageBox, ...]:
    """The graph on another page, to read off."""
    if axes_of(desk.state) is None:
        return ()
    return (Heading("Your graph", level=2), graph_box(desk, None))


def _fields(state: State) -> Mapping[str, Field]:
    fields: dict[str, Field] = {}
    for axis in AXES:
        for part, drawn in zip(PARTS, _drawn(state.book.axes.get(axis)), strict=True):
            kind = TextLine if part == PARTS[0] else NumberField
            question = f"{axis} {part}"
            written = state.book.answers.get((GRAPH, question), drawn)
            fields[field_name(GRAPH, question)] = kind.holding(written)
    return MappingProxyType(fields)


def _drawn(axis: Axis | None) -> tuple[str, str, str]:
    """An axis as its fields would have it, where only the axis was kept."""
    if axis is None:
        return ("", "", "")
    return (axis.title, f"{axis.start:.10g}", f"{axis.large_square:.10g}")


def _kept(desk: Desk) -> Step:
    """The axes as written; and each that is whole is set, where it differs from the book's."""
    step = answers_kept(desk, GRAPH, QUESTIONS)
    changed = [
        act.SetAxis(axis, found.title, found.start, found.large_square)
        for axis in AXES
        if (found := _axis(desk, axis)) is not None and found != desk.state.book.axes.get(axis)
    ]
    if not changed:
        return step
    further = done(step.desk, *changed)
    return Step(further.desk, (*step.actions, *further.actions))


def _axis(desk: Desk, axis: str) -> Axis | None:
    """An axis as its fields have it, or None while a number is missing or makes no scale."""
    start = desk.fields[field_name(GRAPH, f"{axis} {PARTS[1]}")]
    square = desk.fields[field_name(GRAPH, f"{axis} {PARTS[2]}")]
    assert isinstance(start, NumberField)
    assert isinstance(square, NumberField)
    if start.value is None or square.value is None or square.value <= 0.0:
        return None
    return Axis(text_of(desk, GRAPH, f"{axis} {PARTS[0]}"), start.value, square.value)


def _pressed(desk: Desk, name: str) -> Step:
    step = _kept(desk)
    further = _pressed_on(step.desk, name)
    return Step(further.desk, (*step.actions, *further.actions))


def _pressed_on(desk: Desk, name: str) -> Step:
    if name == PAPER:
        return put_down(desk)
    if name == NO_LINE:
        return line_taken_away(replace(desk, focus=PAPER))
    if name == field_name(GRAPH, FEEDBACK):
        return feedback_asked(desk, GRAPH)
    if name in TOOLS:
        return Step(taken(desk, TOOLS[name]))
    if name in (CLOSER, BACK):
        return Step(zoomed(desk, 1 if name == CLOSER else -1))
    return gone_on(desk, (*NAMES, PAPER), name)


GRAPH_PAGE = Page(GRAPH, _boxes, _fields, _kept, _pressed)
