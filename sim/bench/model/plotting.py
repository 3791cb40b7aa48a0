"""What the pencil does on the graph paper: places become actions of the practical. No pygame."""

from __future__ import annotations

from dataclasses import replace

from sim import actions as act
from sim.bench.model.desk import Desk, Step, done
from sim.bench.ui.graph_paper import Axes, Place, Tool, View, nearest
from sim.state import State

NO_AXES = "Write both axes first: title with unit, where it starts, and what a large square is."
NO_CROSS = "There is no cross at the pencil's point."
FIRST_END = "One end is laid: now the other."
CURVE_GOES_ON = "Go on with the next point; put the pencil down twice at the last one to finish."


def axes_of(state: State) -> Axes | None:
    """Both axes as the student has them, or None while one is missing."""
    axes = state.book.axes
    if "across" not in axes or "up" not in axes:
        return None
    return Axes(axes["across"], axes["up"])


def moved(desk: Desk, across: float, up: float) -> Desk:
    """The pencil's point moved by so many small squares."""
    at = desk.paper.point
    return replace(desk, paper=desk.paper.moved_to(Place(at.across + across, at.up + up)))


def zoomed(desk: Desk, by: int) -> Desk:
    """The sheet seen from closer (1) or further (-1)."""
    return replace(desk, paper=desk.paper.zoomed(by))


def taken(desk: Desk, tool: Tool) -> Desk:
    """The pencil set to another task; a line half laid is given up."""
    return replace(desk, paper=replace(desk.paper, tool=tool, laid=()))


def pointed(desk: Desk, view: View, point: tuple[int, int], what: str) -> Step:
    """The pointer on the sheet: the pencil follows it, and is put down where it comes up.

    Past the edge of the view the sheet moves along; coming up there puts nothing down.
    """
    paper = desk.paper.moved_to(view.to_place(*point))
    desk = replace(desk, paper=replace(paper, down=what != "up"))
    if what != "up" or not view.grid.inset(-2).holds(point):
        return Step(desk)
    return put_down(desk)


def put_down(desk: Desk) -> Step:
    """The pencil put down at its point."""
    axes = axes_of(desk.state)
    if axes is None:
        return Step(desk.saying(NO_AXES, "refusal"))
    tool = desk.paper.tool
    if tool is Tool.CROSSES:
        return done(desk, act.PlotPoint(*axes.values(desk.paper.point)))
    if tool is Tool.RUB_OUT:
        return rubbed_out(desk)
    return _laid(desk, axes)


def rubbed_out(desk: Desk) -> Step:
    """The cross at the pencil's point is taken away; while a line is laid, its last point."""
    if desk.paper.laid:
        return Step(replace(desk, paper=replace(desk.paper, laid=desk.paper.laid[:-1])))
    axes = axes_of(desk.state)
    places = tuple(axes.place(cross) for cross in desk.state.book.crosses) if axes else ()
    number = nearest(places, desk.paper.point)
    if number is None:
        return Step(desk.saying(NO_CROSS, "refusal"))
    return done(desk, act.RubOutPoint(number))


def line_taken_away(desk: Desk) -> Step:
    """The line is rubbed out."""
    return done(desk, act.LayLine(()))


def _laid(desk: Desk, axes: Axes) -> Step:
    """One more point of a line; the second end of a straight one lays it."""
    laid, point = desk.paper.laid, desk.paper.point
    straight = desk.paper.tool is Tool.LINE
    again = bool(laid) and laid[-1] == point
    if again and (straight or len(laid) < 2):
        return Step(desk)
    if not again:
        laid = (*laid, point)
    if (straight and len(laid) == 2) or again:
        desk = replace(desk, paper=replace(desk.paper, laid=()))
        return done(desk, act.LayLine(tuple(axes.values(place) for place in laid)))
    words = FIRST_END if straight else CURVE_GOES_ON
    return Step(replace(desk, paper=replace(desk.paper, laid=laid)).saying(words))
