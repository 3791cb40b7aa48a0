"""What the pencil does on the graph paper: places become values on the student's own axes.

Values come only from the axes that the student has chosen.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from analysis.marking.work import Axis, smooth
from sim import actions as act
from sim.bench.model import intents as want
from sim.bench.model.desk import SQUARES, Desk, Step, done
from sim.bench.ui.blocks import (
    CORNER,
    Block,
    PaperAxis,
    PaperBox,
    PaperPoint,
    Pencil,
    Tool,
    Words,
    nearest,
)
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
        return PaperBox(name, pencil)
    drawing = pencil.laid and pencil.tool in (Tool.LINE, Tool.CURVE)
    return PaperBox(
        name,
        pencil,
        _marked(axes.across, SQUARES.across),
        _marked(axes.up, SQUARES.up),
        axes.places(book.crosses),
        curve(axes.places(book.line)),
        curve((*pencil.laid, pencil.point)) if drawing else (),
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


def put_down(desk: Desk) -> Step:
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


def zoomed(desk: Desk, by: int) -> Step:
    """The sheet seen from a step closer (1) or further (-1)."""
    return Step(replace(desk, pencil=desk.pencil.zoomed(by)))


PLOTTING: dict[type[want.OnThePaper], Callable[[Desk, Any], Step]] = {
    want.MovePencil: _move_pencil,
    want.PlacePencil: lambda desk, wish: _place_pencil(desk, PaperPoint(wish.across, wish.up)),
    want.ZoomPaper: lambda desk, wish: zoomed(desk, wish.by),
    want.RubOut: lambda desk, _: _rubbed_out(desk),
}
