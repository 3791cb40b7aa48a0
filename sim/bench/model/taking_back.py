"""What takes a writing back: another act, which goes on the record like every act.

Nothing is erased. A reading is struck out with its reason, an answer is written as it was before,
a cross is rubbed out, a line laid as it lay.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from analysis.marking.questions import ANSWERED
from sim import actions as act
from sim.state import State

TAKEN_BACK = "taken back by its writer"
"""The reason that a reading is struck out for which was written by mistake."""


def _answer_before(before: State, one: act.WriteAnswer) -> act.WriteAnswer | None:
    key = (one.page, one.question)
    if key not in ANSWERED:
        return None  # what the book keeps for itself is no writing of the student's
    return act.WriteAnswer(*key, before.book.answers.get(key, ""))


def _cell_before(before: State, one: act.WriteCell) -> act.WriteCell:
    return act.WriteCell(one.row, one.column, before.book.cells.get((one.row, one.column), ""))


_TAKES_BACK: dict[type, Callable[[State, Any], act.Action | None]] = {
    act.NoteReading: lambda before, _: act.StrikeReading(len(before.rough), TAKEN_BACK),
    act.WriteAnswer: _answer_before,
    act.WriteCell: _cell_before,
    act.PlotPoint: lambda before, _: act.RubOutPoint(len(before.book.crosses)),
    act.RubOutPoint: lambda before, one: act.PlotPoint(*before.book.crosses[one.number]),
    act.LayLine: lambda before, _: act.LayLine(before.book.line),
}
"""An axis follows from what is written of it, so it has no row of its own."""


def taking_back(before: State, action: act.Action) -> act.Action | None:
    """The act that takes a writing back, done in the state before it; None for what is none."""
    found = _TAKES_BACK.get(type(action))
    return None if found is None else found(before, action)
