"""The registry's questions on a page: their fields, their blocks, and how answers are kept.

The registry is asked anew each time, so that a question added to it alone is shown, gets a field
in the order of focus and is kept on record.
"""

from __future__ import annotations

from types import MappingProxyType

from analysis.marking import questions as registry
from analysis.marking.questions import NUMBER, Question
from sim import actions as act
from sim.bench.model.desk import Desk, Step, done
from sim.bench.ui.blocks import FieldBox
from sim.bench.ui.fields import NumberField, TextArea, TextLine
from sim.state import State

SHORT = 14
"""Letters that a quantity with its unit needs."""
NOTHING_DRAWN: MappingProxyType[str, str] = MappingProxyType({})


def questions_of(page: str) -> tuple[Question, ...]:
    """The questions of a page, in their order."""
    return registry.QUESTIONS_OF[page]


def field_name(page: str, name: str) -> str:
    """The name by which a page's field or button is known."""
    return f"{page}.{name}"


def question_fields(
    state: State, page: str, otherwise: MappingProxyType[str, str] = NOTHING_DRAWN
) -> dict[str, TextLine]:
    """A field for each question of a page, holding its answer as far as there is one.

    `otherwise` says what stands in the field of a question that has no answer in words.
    """
    answers = state.book.answers
    return {
        field_name(page, asked.name): _kind(asked).holding(
            answers.get((page, asked.name), otherwise.get(asked.name, ""))
        )
        for asked in questions_of(page)
    }


def _kind(asked: Question) -> type[TextLine]:
    """What an answer is written in; a bare number is read by the bench itself."""
    if asked.answer.form in ("sentences", "choice"):
        return TextArea
    return NumberField if asked.answer == NUMBER else TextLine


def question_box(desk: Desk, asked: Question) -> FieldBox:
    """A question on the page, with as much room as the registry gives it."""
    name = field_name(asked.page, asked.name)
    letters = SHORT if asked.answer.form in ("quantity", "number") else None
    return FieldBox(name, desk.fields[name], asked.words, letters, asked.room.screen)


def answers_kept(desk: Desk, page: str) -> Step:
    """Every answer that differs from the book's is written into the book."""
    written = desk.state.book.answers
    texts = {one.name: desk.fields[field_name(page, one.name)].text for one in questions_of(page)}
    changed = [
        act.WriteAnswer(page, name, text)
        for name, text in texts.items()
        if text != written.get((page, name), "")
    ]
    return done(desk, *changed) if changed else Step(desk)
