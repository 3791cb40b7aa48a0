"""What is written and drawn in the exercise book. Writing costs no time at the bench."""

from __future__ import annotations

import math
from types import MappingProxyType
from typing import TypeVar

from analysis.marking.work import Axis
from sim import actions as act
from sim.actions import NotPossible
from sim.state import State, replace

Key = TypeVar("Key")


LARGEST_TABLE = 40
"""Rows and columns of the results table; a whole set needs six rows and seven columns."""
LONGEST_TEXT = 4000
"""Characters in one answer: about two pages."""
LONGEST_NAME = 80
MOST_ANSWERS = 500
MOST_POINTS = 200
MOST_PAGES = 20
"""Bounds that no honest practical meets. Every answer copies those before it, so without a
limit a record made by hand could keep its reader busy for minutes."""


def write_cell(state: State, action: act.WriteCell) -> State:
    """A cell of the results table is written, or emptied with an empty text."""
    if not (0 <= action.row < LARGEST_TABLE and 0 <= action.column < LARGEST_TABLE):
        raise NotPossible(
            f"The table has {LARGEST_TABLE} rows and columns at most; row {action.row + 1}, "
            f"column {action.column + 1} lies outside."
        )
    _short_enough(action.text)
    cells = _written(state.book.cells, (action.row, action.column), action.text)
    return replace(state, book=replace(state.book, cells=cells))


def write_answer(state: State, action: act.WriteAnswer) -> State:
    """An answer is written, or taken back with an empty text."""
    _short_enough(action.text)
    if max(len(action.page), len(action.question)) > LONGEST_NAME:
        raise NotPossible(f"Pages and questions have names of {LONGEST_NAME} letters at most.")
    key = (action.page, action.question)
    if key not in state.book.answers and len(state.book.answers) >= MOST_ANSWERS:
        raise NotPossible(f"The book has room for {MOST_ANSWERS} answers.")
    answers = _written(state.book.answers, key, action.text)
    return replace(state, book=replace(state.book, answers=answers))


def set_axis(state: State, action: act.SetAxis) -> State:
    """An axis gets its title, its start and its scale."""
    if not (math.isfinite(action.start) and math.isfinite(action.large_square)):
        raise NotPossible("An axis starts at a number and a large square stands for a number.")
    if action.large_square <= 0.0:
        raise NotPossible("A large square must stand for more than nothing.")
    _short_enough(action.title)
    axis = Axis(action.title, action.start, action.large_square)
    axes = MappingProxyType({**state.book.axes, action.axis: axis})
    return replace(state, book=replace(state.book, axes=axes))


def plot_point(state: State, action: act.PlotPoint) -> State:
    """A cross is placed."""
    cross = (action.across, action.up)
    if len(state.book.crosses) >= MOST_POINTS:
        raise NotPossible(f"The graph has room for {MOST_POINTS} crosses.")
    _finite((cross,))
    return replace(state, book=replace(state.book, crosses=(*state.book.crosses, cross)))


def rub_out_point(state: State, action: act.RubOutPoint) -> State:
    """A cross is rubbed out."""
    crosses = state.book.crosses
    if not 0 <= action.number < len(crosses):
        raise NotPossible(f"The graph has no cross number {action.number + 1}.")
    left = crosses[: action.number] + crosses[action.number + 1 :]
    return replace(state, book=replace(state.book, crosses=left))


def lay_line(state: State, action: act.LayLine) -> State:
    """The line of best fit is laid; no points take it away again."""
    if len(action.points) == 1:
        raise NotPossible("A line needs two ends.")
    if len(action.points) > MOST_POINTS:
        raise NotPossible(f"A curve is drawn through {MOST_POINTS} points at most.")
    _finite(action.points)
    return replace(state, book=replace(state.book, line=action.points))


def ask_for_feedback(state: State, action: act.AskForFeedback) -> State:
    """A try at a page is counted; what the feedback says is worked out by whoever shows it."""
    if len(action.page) > LONGEST_NAME:
        raise NotPossible(f"Pages have names of {LONGEST_NAME} letters at most.")
    before = state.book.tries
    if action.page not in before and len(before) >= MOST_PAGES:
        raise NotPossible(f"The book has {MOST_PAGES} pages at most.")
    tries = MappingProxyType({**before, action.page: before.get(action.page, 0) + 1})
    return replace(state, book=replace(state.book, tries=tries))


def _written(texts: MappingProxyType[Key, str], key: Key, text: str) -> MappingProxyType[Key, str]:
    """The texts with one of them written anew, last of all, or taken out."""
    written = texts.copy()
    written.pop(key, None)
    if text:
        written[key] = text
    return MappingProxyType(written)


def _short_enough(text: str) -> None:
    if len(text) > LONGEST_TEXT:
        raise NotPossible(f"The page holds {LONGEST_TEXT} characters; {len(text)} were written.")


def _finite(points: tuple[tuple[float, float], ...]) -> None:
    if not all(math.isfinite(value) for point in points for value in point):
        raise NotPossible("A point on the graph is two numbers.")
