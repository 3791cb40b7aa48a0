"""Remarks on the student's graph: axes, labels, scales, crosses and line, against the own table.

Everything is held against the table as the student wrote it: a wrong mean that is plotted where it
says is right here. Rules of single faults stand with the functions that find them; those of the
crosses and of the line stand in `own_graph`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import takewhile

import numpy as np

from analysis.marking.own_graph import (
    OwnAxis,
    OwnGraph,
    drawn_gradient,
    gradients,
    is_dot_to_dot,
    is_forced,
    is_wavering,
    on_sheet,
    plotted,
    side,
)
from analysis.marking.questions import GRAPH
from analysis.marking.study import Study
from analysis.marking.work import SIDES, Axis, Criterion, Remark, Verdict, listed
from analysis.paper.scales import SMALL_SQUARES, round_steps
from analysis.quantity.units import fixed, plain, significant

AXES = Criterion(
    GRAPH, "graph.axes", "The variable that was changed is on the axis across, the other one up."
)
LABELS = Criterion(
    GRAPH, "graph.labels", "Each axis carries quantity and unit, as in the results table."
)
SCALE = Criterion(
    GRAPH, "graph.scale", "A large square stands for 1, 2 or 5 (or ten, a hundred ... times that)."
)
FILLS = Criterion(GRAPH, "graph.fills", "The points take up at least half of each axis.")
CROSSES = Criterion(
    GRAPH, "graph.crosses", "Each row of the table has its cross, right to half a small square."
)
KIND = Criterion(
    GRAPH, "graph.line", "One smooth line, straight or curved, shows the trend of the points."
)
ORIGIN = Criterion(
    GRAPH,
    "graph.line-origin",
    "The line goes where the points lead, not through 0, 0 for its sake.",
)
BALANCE = Criterion(GRAPH, "graph.line-balance", "The line has points on both of its sides.")
GRADIENT = Criterion(
    GRAPH,
    "graph.line-gradient",
    "The line is no steeper and no shallower than the half-range bars allow.",
)
_LINE = (KIND, ORIGIN, BALANCE, GRADIENT)
ALL = (AXES, LABELS, SCALE, FILLS, CROSSES, *_LINE)
_WAY = {"across": "across", "up": "upwards"}
_AXIS_NAME = {"across": "the axis across", "up": "the axis upwards"}


def mark_graph(study: Study) -> Iterator[Remark]:
    """Mark the graph, one criterion after another; all are missing while no axes have a scale."""
    graph = study.graph
    if graph is None:
        said = "There are no two axes with a scale yet."
        yield from (one.missing(said) for one in ALL)
        return
    yield _axes(graph)
    yield _labels(graph, study)
    yield _scale(graph)
    yield _fills(graph)
    yield _crosses(graph)
    yield from _line(graph)


def _axes(graph: OwnGraph) -> Remark:
    titles = (graph.temperature.heading.text, graph.height.heading.text)
    if not graph.swapped:
        return AXES.right(*titles)
    return AXES.wrong(
        "both axes",
        "Think which variable you changed on purpose: it has an axis of its own. The axes are not "
        "that way round.",
        "The temperature was changed on purpose, so it goes across; the rebound height goes up.",
        *titles,
    )


def _labels(graph: OwnGraph, study: Study) -> Remark:
    """Quantity and unit, the same as in the table; what the table lacks is asked for all the same.

    The unit may be missing in the table only (its mark is lost there). "mean rebound height" and
    "rebound height" are alike. A quantity in short is like the table when it is short there too.
    """
    pairs = ((graph.temperature, ("temperature",)), (graph.height, ("height", "mean")))
    faults = [(axis, said) for axis, roles in pairs if (said := _label_fault(axis, roles, study))]
    if not faults:
        return LABELS.right(graph.temperature.heading.text, graph.height.heading.text)
    where = listed([_AXIS_NAME[axis.side] for axis, _ in faults])
    nudge = " ".join(f"The label of {_AXIS_NAME[axis.side]} {said}." for axis, said in faults)
    worked = " ".join(_label_working(axis, roles, study) for axis, roles in pairs)
    return LABELS.wrong(where, nudge, worked, *(axis.heading.text for axis, _ in faults))


def _label_fault(axis: OwnAxis, roles: tuple[str, ...], study: Study) -> str:
    heading = axis.heading
    columns = [one.heading for one in study.table.having(*roles)]
    units = {one.unit for one in columns if one.unit}
    if not heading.text:
        return "is missing"
    if not heading.name:
        return "has a unit but no quantity"
    if heading.unit is None:
        return "has no unit" if not heading.unit_text else "has a unit that does not fit it"
    if units and heading.unit not in units:
        return "has another unit than the heading in the table"
    if heading.short and not any(one.short for one in columns):
        return "is in short, unlike the heading in the table"
    names = {one.name for one in columns}
    known = heading.role in roles or heading.name in names
    return "" if known else "does not name the quantity that the heading in the table names"


def _label_working(axis: OwnAxis, roles: tuple[str, ...], study: Study) -> str:
    texts = [one.heading.text for one in study.table.having(*roles) if one.heading.unit]
    example = "temperature / °C" if roles == ("temperature",) else "rebound height / cm"
    return f"{_AXIS_NAME[axis.side].capitalize()}: '{texts[-1] if texts else example}'."


def is_awkward(axis: Axis) -> bool:
    """Whether a large square is not 1, 2 or 5 x 10^n, or the axis starts between small squares."""
    if not math.isclose(axis.large_square, next(round_steps(axis.large_square)), rel_tol=1e-9):
        return True
    small_squares = axis.start / axis.large_square * SMALL_SQUARES
    return abs(small_squares - round(small_squares)) > 1e-6


def _scale(graph: OwnGraph) -> Remark:
    axes = {one.side: one.axis for one in (graph.temperature, graph.height)}
    awkward = [side for side in SIDES if is_awkward(axes[side])]
    if not awkward:
        return SCALE.right(*(f"{axes[side].large_square:g}" for side in SIDES))
    where = listed([_AXIS_NAME[side] for side in awkward])
    better = next(round_steps(axes[awkward[0]].large_square))
    return SCALE.wrong(
        where,
        f"The scale of {where} makes values between the lines hard to read: what does a small "
        "square stand for?",
        f"Let a large square {_WAY[awkward[0]]} stand for {better:g}, so that a small one stands "
        f"for {better / SMALL_SQUARES:g}, and start on a line of the paper.",
        *(f"{axes[side].large_square:g}" for side in awkward),
    )


def _fills(graph: OwnGraph) -> Remark:
    """At least half of each axis, unless no finer scale of 1, 2 or 5 would hold the points.

    "Hold": a small square from the ends, with a large square's line at the start.

    That exception is needed: from 2 to 5 a large square, points may fill two fifths of an axis
    at best. Points beyond the end of an axis count here as well.
    """
    points = graph.fitted
    if len(points) < 2:
        return FILLS.teacher("There are not enough points to tell how much of the paper they fill.")
    off = len(graph.points) > 0 and not on_sheet(graph).all()
    narrow = [
        axis
        for place, axis in enumerate((graph.temperature, graph.height))
        if _too_narrow(axis, float(points[:, place].min()), float(points[:, place].max()))
    ]
    if not off and not narrow:
        return FILLS.right()
    if off:
        return FILLS.wrong(
            "both axes",
            "Not every row of the table has room on these axes.",
            f"The temperatures go from {plain(points[:, 0].min())} to {plain(points[:, 0].max())} "
            f"and the means from {plain(points[:, 1].min())} to {plain(points[:, 1].max())}.",
        )
    where = listed([_AXIS_NAME[axis.side] for axis in narrow])
    place = 0 if narrow[0] is graph.temperature else 1
    low, high = plain(points[:, place].min()), plain(points[:, place].max())
    return FILLS.wrong(
        where,
        f"The points take up less than half of {where}.",
        f"The values along {_AXIS_NAME[narrow[0].side]} go from {low} to {high}: the axis need not "
        "start at 0, and a finer scale still holds them.",
    )


def _too_narrow(axis: OwnAxis, low: float, high: float) -> bool:
    length = axis.squares * axis.axis.large_square
    if high - low >= length / 2 * (1 - 1e-9) or high == low:
        return False
    finer = takewhile(
        lambda step: step < axis.axis.large_square * (1 - 1e-9),
        round_steps((high - low) / axis.squares),
    )
    return any(_holds(step, axis.squares, low, high) for step in finer)


def _holds(step: float, squares: int, low: float, high: float) -> bool:
    """Whether an axis of this step, started on a large square, keeps the points off its ends."""
    margin = 1 / SMALL_SQUARES - 1e-9
    return math.ceil(high / step + margin) - math.floor(low / step - margin) <= squares


def _crosses(graph: OwnGraph) -> Remark:
    if not len(graph.points):
        return CROSSES.teacher("There is no results table to hold the crosses against.")
    if not len(graph.crosses):
        return CROSSES.missing("There are no crosses on the graph yet.")
    found = plotted(graph)
    if not (found.astray or found.missing or found.extra):
        return CROSSES.right(f"{found.fitting} crosses")
    faults = [
        f"cross {cross + 1} is more than half a small square off" for cross, _ in found.astray
    ]
    unplotted = [f"{plain(graph.points[at, 0])}" for at in found.missing]
    unit = graph.temperature.heading.unit or "°C"
    faults += [f"the row for {temperature} {unit} has no cross" for temperature in unplotted]
    faults += [f"cross {cross + 1} belongs to no row of the table" for cross in found.extra]
    where = listed([f"cross {cross + 1}" for cross, _ in found.astray])
    steps = [
        f"Cross {cross + 1} belongs at {_pair(graph.points[at])}." for cross, at in found.astray
    ]
    steps += [f"A cross is missing at {_pair(graph.points[at])}." for at in found.missing]
    steps += [f"Rub cross {cross + 1} out." for cross in found.extra]
    where = where or listed([f"cross {cross + 1}" for cross in found.extra]) or "the crosses"
    nudge = f"Against your own table: {listed(faults)}."
    placed = [f"cross {c + 1}: {_pair(graph.crosses[c])}" for c, _ in found.astray]
    return CROSSES.wrong(where, nudge, " ".join(steps), *placed)


def _pair(pair: np.ndarray) -> str:
    return f"({plain(float(pair[0]))}, {fixed(float(pair[1]), 1)})"


def _line(graph: OwnGraph) -> Iterator[Remark]:
    """Mark the line. A line forced through the origin costs that mark alone."""
    if len(graph.line) < 2:
        yield from (one.missing("There is no line on the graph yet.") for one in _LINE)
        return
    if len(np.unique(graph.fitted[:, 0])) < 2:
        said = "There are not enough points to hold the line against."
        yield from (one.teacher(said) for one in _LINE)
        return
    yield _kind(graph)
    forced = is_forced(graph)
    yield _origin(graph, forced=forced)
    for marked in (_balance, _gradient):
        yield _carried(marked(graph), forced=forced)


def _carried(remark: Remark, *, forced: bool) -> Remark:
    if not forced or remark.verdict is not Verdict.WRONG:
        return remark
    said = "This comes of the line being taken through the origin."
    return replace(remark, verdict=Verdict.CARRIED, nudge=said, worked="", where="")


_SMOOTH = (
    "Draw one straight line, or one smooth curve, that passes close to all the crosses with some "
    "of them on either side."
)


def _kind(graph: OwnGraph) -> Remark:
    if is_dot_to_dot(graph):
        return KIND.wrong(
            "the line",
            "The line goes from cross to cross. What would it look like if every cross may be a "
            "little off?",
            _SMOOTH,
        )
    if is_wavering(graph):
        return KIND.wrong(
            "the line",
            "The line bends one way and back again. Would the ball's bounce really do that between "
            "two of your temperatures?",
            _SMOOTH,
        )
    return KIND.right("straight" if len(graph.line) == 2 else "curve")


def _origin(graph: OwnGraph, *, forced: bool) -> Remark:
    if not forced:
        return ORIGIN.right()
    return ORIGIN.wrong(
        "the line",
        "The line is made to pass through 0, 0. Do your points lead there?",
        "Lay the line by the points alone. A ball at 0 °C still bounces a little, so the line "
        "need not meet the origin.",
    )


def _balance(graph: OwnGraph) -> Remark:
    found = side(graph)
    if not found:
        return BALANCE.right()
    word, move = ("above", "up") if found > 0 else ("below", "down")
    return BALANCE.wrong(
        "the line",
        "The points all lie on one side of the line.",
        f"The points lie {word} the line: move it {move} without turning it, until as many lie "
        "above as below.",
    )


def _gradient(graph: OwnGraph) -> Remark:
    drawn, allowed = drawn_gradient(graph), gradients(graph)
    assert allowed is not None
    if allowed.low <= drawn <= allowed.high:
        return GRADIENT.right(significant(drawn, 3))
    if not np.isfinite(drawn):
        return GRADIENT.wrong(
            "the line",
            "The line stands upright on the temperature axis: it shows no trend.",
            "Lay the line along the points.",
        )
    limits = (
        "the steepest and shallowest lines through the half-range bars"
        if allowed.from_bars
        else "lines that the scatter of the points allows"
    )
    word = "steeper" if drawn > allowed.high else "shallower"
    return GRADIENT.wrong(
        "the line",
        f"The line is turned too far: compare it with {limits}.",
        f"Yours has the gradient {significant(drawn, 2)} and is {word} than {limits}, which have "
        f"{significant(allowed.low, 2)} to {significant(allowed.high, 2)}.",
        significant(drawn, 3),
    )
