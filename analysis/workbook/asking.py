"""Questions of the exercise book set on paper: the same words, with room for the answer."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from analysis.marking.questions import QUESTIONS
from analysis.workbook.pages import Answer

if TYPE_CHECKING:
    from collections.abc import Mapping


class Room(NamedTuple):
    """Ruled lines for an answer, and a hint on conventions; never the answer."""

    lines: int
    hint: str = ""


def asked(page: str, name: str, room: Mapping[str, Room]) -> Answer:
    """Set one question in the words that the exercise book has for it."""
    lines, hint = room[name]
    return Answer(dict(QUESTIONS[page])[name], lines, hint)


def questions(page: str, turn: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Names of a page's questions on two sheets of paper: those before `turn`, and the rest."""
    names = tuple(name for name, _ in QUESTIONS[page])
    place = names.index(turn)
    return names[:place], names[place:]
