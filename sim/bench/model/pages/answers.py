"""Pages of questions: what they share. The questions' names and words come from the marking."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType

from analysis.marking.questions import QUESTIONS_OF
from sim import actions as act
from sim.bench.model.desk import Desk, Field, Step, done
from sim.bench.model.pages.page import FEEDBACK, Page, feedback_asked
from sim.bench.ui.blocks import AreaBox, FieldBox, PageBox
from sim.bench.ui.fields import TextArea, TextLine
from sim.marking import named_temperature
from sim.state import State

NAMED = "The temperature named for you: {}."
NOT_YET = "The book names a temperature as soon as one has two readings on your rough page."
SHORT = 14
"""Letters that a quantity with its unit needs."""


def field_name(page: str, question: str) -> str:
    """The name of a question's field."""
    return f"{page}.{question}"


def text_of(desk: Desk, page: str, question: str) -> str:
    """What stands in a question's field."""
    field = desk.fields[field_name(page, question)]
    return field.text if isinstance(field, TextLine) else ""


def line_box(desk: Desk, page: str, question: str, label: str) -> PageBox:
    """A question that is answered by a quantity."""
    name = field_name(page, question)
    field = desk.fields[name]
    assert isinstance(field, TextLine)
    focused = desk.focus == name
    composing = desk.composing if focused else ""
    return FieldBox(name, label, field, focused, letters=SHORT, composing=composing)


def area_box(desk: Desk, page: str, question: str, label: str, rows: int) -> PageBox:
    """A question that is answered in sentences."""
    name = field_name(page, question)
    field = desk.fields[name]
    assert isinstance(field, TextArea)
    focused = desk.focus == name
    composing = desk.composing if focused else ""
    return AreaBox(name, label, field, focused, rows, composing=composing)


def question_boxes(
    desk: Desk, page: str, long: Mapping[str, int], only: Iterable[str] | None = None
) -> tuple[PageBox, ...]:
    """The questions of a page; `long` says how many lines those answered in sentences get."""
    wanted = set(only) if only is not None else {asked.name for asked in QUESTIONS_OF[page]}
    return tuple(
        area_box(desk, page, asked.name, asked.words, long[asked.name])
        if asked.name in long
        else line_box(desk, page, asked.name, asked.words)
        for asked in QUESTIONS_OF[page]
        if asked.name in wanted
    )


def answer_fields(state: State, page: str, long: Mapping[str, int]) -> Mapping[str, Field]:
    """The fields of a page of questions, as far as they are answered."""
    return MappingProxyType(
        {
            field_name(page, asked.name): (TextArea if asked.name in long else TextLine).holding(
                state.book.answers.get((page, asked.name), "")
            )
            for asked in QUESTIONS_OF[page]
        }
    )


def answers_kept(desk: Desk, page: str, questions: Iterable[str]) -> Step:
    """Every answer that differs from the book's is written into the book."""
    written = desk.state.book.answers
    changed = [
        act.WriteAnswer(page, question, text)
        for question in questions
        if (text := text_of(desk, page, question)) != written.get((page, question), "")
    ]
    return done(desk, *changed) if changed else Step(desk)


def named(desk: Desk) -> str:
    """The temperature that the book picks, in a sentence."""
    temperature = named_temperature(desk.state)
    return NAMED.format(temperature.replace(" ", "\u00a0")) if temperature else NOT_YET


def gone_on(desk: Desk, names: tuple[str, ...], name: str) -> Step:
    """The return key in a field goes on to the next; after the last to the feedback."""
    at = names.index(name) if name in names else -1
    return Step(replace(desk, focus=names[min(at + 1, len(names) - 1)], composing=""))


def question_page(page: str, long: Mapping[str, int]) -> Page:
    """A page of questions with nothing else on it but their boxes; the rest is replaced."""
    names = tuple(asked.name for asked in QUESTIONS_OF[page])
    stops = (*(field_name(page, name) for name in names), field_name(page, FEEDBACK))

    def kept(desk: Desk) -> Step:
        return answers_kept(desk, page, names)

    def pressed(desk: Desk, name: str) -> Step:
        step = kept(desk)
        if name == field_name(page, FEEDBACK):
            asked = feedback_asked(step.desk, page)
            return Step(asked.desk, (*step.actions, *asked.actions))
        went = gone_on(step.desk, stops, name)
        return Step(went.desk, step.actions)

    return Page(
        page,
        lambda desk: question_boxes(desk, page, long),
        lambda state: answer_fields(state, page, long),
        kept,
        pressed,
    )
