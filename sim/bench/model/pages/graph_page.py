"""The page of the graph: the student's own axes, crosses and line on a sheet of graph paper.

What the pencil does there stands here too. Its places become values only on the axes that the
student has chosen.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from types import MappingProxyType
from typing import Any

import numpy as np
from msgspec import structs

from analysis.marking.questions import GRAPH
from analysis.marking.work import SIDES, Axis, Side, smooth
from sim import actions as act
from sim.bench.model import intents as want
from sim.bench.model.desk import PAPER, SQUARES, Desk, Step, done
from sim.bench.model.pages.book_page import (
    BookPage,
    feedback_blocks,
    field_name,
    gone_on,
    question_box,
    question_fields,
    questions_of,
    unkept_answers,
    written_table,
)
from sim.bench.ui.blocks import (
    CORNER,
    TAKEN_UP,
    Block,
    ButtonBox,
    PaperAxis,
    PaperBox,
    PaperPoint,
    Pencil,
    TableBox,
    TableRow,
    Tool,
    Words,
    nearest,
)
from sim.bench.ui.fields import NumberField, TextLine
from sim.state import State

NO_AXES = "Write both axes first: title with unit, where it starts, and what a large square is."
NO_CROSS = "There is no cross at the pencil's point."
FIRST_END = "One end is laid: now the other."
CURVE_GOES_ON = "Go on with the next point; put the pencil down twice at the last one to finish."
UNTITLED = "(no title yet)"
DIGITS = 10
"""Significant figures of a value: the dust of binary fractions goes."""


def value_at(axis: Axis, squares: float) -> float:
    """What a place along an axis, in small squares, stands for."""
    return float(f"{axis.start + squares / SQUARES.in_large * axis.large_square:.{DIGITS}g}")


def squares_at(axis: Axis, value: float) -> float:
    """Where a value lies along an axis, in small squares; it may lie off the sheet."""
    return (value - axis.start) / axis.large_square * SQUARES.in_large


@dataclass(frozen=True)
class Axes:
    """Both axes of a graph."""

    across: Axis
    up: Axis

    def values(self, place: PaperPoint) -> tuple[float, float]:
        """What a place stands for."""
        return value_at(self.across, place.across), value_at(self.up, place.up)

    def place(self, values: tuple[float, float]) -> PaperPoint:
        """Where two values lie; it may be off the sheet."""
        return PaperPoint(squares_at(self.across, values[0]), squares_at(self.up, values[1]))

    def places(self, values: tuple[tuple[float, float], ...]) -> tuple[PaperPoint, ...]:
        """Where pairs of values lie."""
        return tuple(self.place(pair) for pair in values)


def axes_of(state: State) -> Axes | None:
    """Both axes as the student has them, or None while one is missing."""
    axes = state.book.axes
    if "across" not in axes or "up" not in axes:
        return None
    return Axes(axes["across"], axes["up"])


@lru_cache(maxsize=8)
def curve(places: tuple[PaperPoint, ...]) -> tuple[PaperPoint, ...]:
    """A smooth line through places, the one that marking reads; two give a straight one."""
    return tuple(PaperPoint(*place) for place in smooth(np.array(places, dtype=float)).tolist())


def paper_box(desk: Desk, name: str | None) -> PaperBox:
    """The sheet as it is; without a name the whole of it, only to look at."""
    axes, book = axes_of(desk.state), desk.state.book
    pencil = desk.pencil if name else Pencil(SQUARES, CORNER)
    if axes is None:
        return PaperBox(name, pencil, tools=_tools(desk) if name else ())
    drawing = pencil.laid and pencil.tool in (Tool.LINE, Tool.CURVE)
    return PaperBox(
        name,
        pencil,
        _marked(axes.across, SQUARES.across),
        _marked(axes.up, SQUARES.up),
        axes.places(book.crosses),
        curve(axes.places(book.line)),
        curve((*pencil.laid, pencil.point)) if drawing else (),
        _tools(desk) if name else (),
    )


def shown_graph(desk: Desk) -> tuple[Block, ...]:
    """The graph on another page, to read off; nothing before there are axes."""
    if axes_of(desk.state) is None:
        return ()
    return (Words("Your graph", "part"), paper_box(desk, None))


def _marked(axis: Axis, squares: int) -> PaperAxis:
    """What is written along an axis of so many small squares."""
    numbers = (value_at(axis, at) for at in range(0, squares + 1, SQUARES.in_large))
    texts = tuple(f"{number:.6g}".replace("-", "−") for number in numbers)
    return PaperAxis(axis.title or UNTITLED, texts)


def _take_up(tool: Tool, desk: Desk) -> Step:
    return Step(replace(desk, pencil=desk.pencil.taken_up(tool)))


def _put_down(desk: Desk) -> Step:
    """The pencil put down at its point."""
    axes = axes_of(desk.state)
    if axes is None:
        return Step(desk.saying(NO_AXES, "refusal"))
    tool = desk.pencil.tool
    if tool is Tool.CROSSES:
        return done(desk, act.PlotPoint(*axes.values(desk.pencil.point)))
    if tool is Tool.RUB_OUT:
        return _rubbed_out(desk)
    return _laid(desk, axes)


def line_begins(desk: Desk) -> bool:
    """Whether a pointer that goes down on the paper begins a straight line there."""
    return desk.pencil.tool is Tool.LINE and not desk.pencil.laid


def _rubbed_out(desk: Desk) -> Step:
    """The cross at the pencil's point is taken away; while a line is laid, its last point."""
    pencil = desk.pencil
    if pencil.laid:
        return Step(replace(desk, pencil=pencil.laying(pencil.laid[:-1])))
    axes = axes_of(desk.state)
    places = axes.places(desk.state.book.crosses) if axes else ()
    number = nearest(places, pencil.point)
    if number is None:
        return Step(desk.saying(NO_CROSS, "refusal"))
    return done(desk, act.RubOutPoint(number))


def _laid(desk: Desk, axes: Axes) -> Step:
    """One more point of a line; the second end of a straight one lays it."""
    laid, point = desk.pencil.laid, desk.pencil.point
    straight = desk.pencil.tool is Tool.LINE
    again = bool(laid) and laid[-1] == point
    if again and (straight or len(laid) < 2):
        return Step(desk)
    if not again:
        laid = (*laid, point)
    if (straight and len(laid) == 2) or again:
        desk = replace(desk, pencil=desk.pencil.laying(()))
        return done(desk, act.LayLine(tuple(axes.values(place) for place in laid)))
    words = FIRST_END if straight else CURVE_GOES_ON
    return Step(replace(desk, pencil=desk.pencil.laying(laid)).saying(words))


def _move_pencil(desk: Desk, intent: want.MovePencil) -> Step:
    at = desk.pencil.point
    return _place_pencil(desk, PaperPoint(at.across + intent.across, at.up + intent.up))


def _place_pencil(desk: Desk, place: PaperPoint) -> Step:
    return Step(replace(desk, pencil=desk.pencil.moved_to(place)))


def _zoomed(desk: Desk, by: int) -> Step:
    """The sheet seen from a step closer (1) or further (-1)."""
    return Step(replace(desk, pencil=desk.pencil.zoomed(by)))


PLOTTING: dict[type[want.OnThePaper], Callable[[Desk, Any], Step]] = {
    want.MovePencil: _move_pencil,
    want.PlacePencil: lambda desk, wish: _place_pencil(desk, PaperPoint(wish.across, wish.up)),
    want.ZoomPaper: lambda desk, wish: _zoomed(desk, wish.by),
    want.RubOut: lambda desk, _: _rubbed_out(desk),
}


HOW = (
    "Write the axes first. Then place a cross for each mean, and lay your line of best fit. "
    "A small square stands for 2 mm of paper, a large one for 2 cm."
)
HANDS = (
    "Mouse or finger: press, move to the place, let go; a line goes from where you press to where "
    "you let go, and past the edge the sheet moves along. Keys: arrows move the pencil by half a "
    "small square (Shift: five, Alt: a tenth), Return puts it down, Delete takes a cross away, + "
    "and − go closer and back."
)
CLOSER, BACK, NO_LINE = (field_name(GRAPH, name) for name in ("closer", "back", "no line"))
TOOLS = {field_name(GRAPH, tool.value.lower()): tool for tool in Tool}
NO_TABLE = "Your results table is still empty."


def _blocks(desk: Desk) -> tuple[Block, ...]:
    return (
        _axes_table(desk),
        *(question_box(desk, asked) for asked in questions_of(GRAPH) if asked.part not in SIDES),
        paper_box(desk, PAPER),
        Words(HOW, "note"),
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


def _tools(desk: Desk) -> tuple[ButtonBox, ...]:
    """What the pencil can do, the task it is set to marked; and how close the sheet is seen."""
    labels = {
        name: (TAKEN_UP if tool is desk.pencil.tool else "") + tool.value
        for name, tool in TOOLS.items()
    }
    labels |= {CLOSER: "+", BACK: "−", NO_LINE: "No line"}
    return tuple(ButtonBox(name, label) for name, label in labels.items())


def _fields(state: State) -> dict[str, TextLine]:
    """What is written of the axes; where only an axis was kept, as its fields would have it."""
    drawn: dict[str, str] = {}
    for side, axis in state.book.axes.items():
        drawn[f"{side} title"] = axis.title
        drawn[f"{side} start"] = f"{axis.start:.10g}"
        drawn[f"{side} large square"] = f"{axis.large_square:.10g}"
    return question_fields(state, GRAPH, MappingProxyType(drawn))


def _unkept(desk: Desk) -> list[act.Action]:
    """The axes as written; and each that is whole is set, where it differs from the book's."""
    found = {side: _axis(desk, side) for side in SIDES}
    axes = [
        act.SetAxis(side, axis.title, axis.start, axis.large_square)
        for side, axis in found.items()
        if axis is not None and axis != desk.state.book.axes.get(side)
    ]
    return [*unkept_answers(desk, GRAPH), *axes]


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


GRAPH_PAGE = BookPage(
    GRAPH,
    _blocks,
    _fields,
    _unkept,
    buttons={
        **{name: partial(_take_up, tool) for name, tool in TOOLS.items()},
        PAPER: _put_down,
        CLOSER: lambda desk: _zoomed(desk, 1),
        BACK: lambda desk: _zoomed(desk, -1),
        NO_LINE: lambda desk: done(desk.at(PAPER), act.LayLine(())),
    },
    returned=lambda desk, name: gone_on(desk, GRAPH, name, last=PAPER),
)
