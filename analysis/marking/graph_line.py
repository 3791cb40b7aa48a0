"""Remarks on the line of the student's graph; its rules stand in `own_line`."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from analysis.marking.criterion import Criterion
from analysis.marking.feedback import Remark, Verdict
from analysis.marking.own_graph import OwnGraph
from analysis.marking.own_line import (
    Gradients,
    drawn_gradient,
    gradients,
    is_dot_to_dot,
    is_forced,
    side,
)
from analysis.marking.questions import GRAPH
from analysis.quantity import significant

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
LINE = (KIND, ORIGIN, BALANCE, GRADIENT)


def mark_line(graph: OwnGraph) -> tuple[Remark, ...]:
    """Mark the line. A line forced through the origin costs that mark alone."""
    if len(graph.line) < 2:
        return tuple(one.missing("There is no line on the graph yet.") for one in LINE)
    if len(np.unique(graph.fitted[:, 0])) < 2:
        said = "There are not enough points to hold the line against."
        return tuple(one.teacher(said) for one in LINE)
    allowed = gradients(graph)
    assert allowed is not None
    forced = is_forced(graph)
    balance, gradient = _balance(graph), _gradient(graph, allowed)
    if forced:
        balance, gradient = (_carried(one) for one in (balance, gradient))
    return (_kind(graph), _origin(graph, forced=forced), balance, gradient)


def _carried(remark: Remark) -> Remark:
    if remark.verdict is not Verdict.WRONG:
        return remark
    said = "This comes of the line being taken through the origin."
    return replace(remark, verdict=Verdict.CARRIED, nudge=said, worked="", where="")


def _kind(graph: OwnGraph) -> Remark:
    if not is_dot_to_dot(graph):
        return KIND.right("straight" if len(graph.line) == 2 else "curve")
    return KIND.wrong(
        "the line",
        "The line goes from cross to cross. What would it look like if every cross may be a "
        "little off?",
        "Draw one straight line, or one smooth curve, that passes close to all the crosses with "
        "some of them on either side.",
    )


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


def _gradient(graph: OwnGraph, allowed: Gradients) -> Remark:
    drawn = drawn_gradient(graph)
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
