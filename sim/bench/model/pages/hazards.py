"""The page of hazards: what could hurt, how, and what is done about it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from analysis.paper.cautions import IN_ONE_PARAGRAPH, LOCAL_RULES
from sim import actions as act
from sim.bench.model.desk import Desk, Field, Step, done
from sim.bench.model.pages.answers import gone_on
from sim.bench.model.pages.page import FEEDBACK, Page, feedback_asked, feedback_boxes
from sim.bench.ui.blocks import Caution, FieldBox, Heading, PageBox, Paragraph
from sim.bench.ui.fields import TextLine
from sim.state import State

NAME = "Hazards"
COUNT = 3
PARTS = (
    ("hazard", "What could hurt somebody (hazard)"),
    ("risk", "What could happen (risk)"),
    ("control", "What is done about it (control measure)"),
)
HOW = (
    "Before you begin, name at least two hazards of this practical. Say for each what could "
    "happen, and what you do so that it does not."
)
LOCAL = f"{LOCAL_RULES} This bench is no substitute for a supervised practical."


def _boxes(desk: Desk) -> tuple[PageBox, ...]:
    boxes: list[PageBox] = [Heading(NAME), Paragraph(HOW)]
    for number in range(1, COUNT + 1):
        title = f"Hazard {number}" + ("" if number <= 2 else " (if you see another)")
        boxes.append(Heading(title, level=2))
        boxes.extend(_field(desk, number, part, label) for part, label in PARTS)
    return (
        *boxes,
        Caution(IN_ONE_PARAGRAPH),
        Paragraph(LOCAL, small=True),
        *feedback_boxes(desk, NAME),
    )


def _field(desk: Desk, number: int, part: str, label: str) -> FieldBox:
    name = f"hazards.{part} {number}"
    field = desk.fields[name]
    assert isinstance(field, TextLine)
    focused = desk.focus == name
    return FieldBox(name, label, field, focused, composing=desk.composing if focused else "")


def _questions() -> Iterator[str]:
    return (f"{part} {number}" for number in range(1, COUNT + 1) for part, _ in PARTS)


def _fields(state: State) -> Mapping[str, Field]:
    answers = state.book.answers
    return MappingProxyType(
        {
            f"hazards.{question}": TextLine.holding(answers.get((NAME, question), ""))
            for question in _questions()
        }
    )


def _kept(desk: Desk) -> Step:
    """Every answer that differs from the book's is written into the book."""
    writing = []
    for question in _questions():
        field = desk.fields[f"hazards.{question}"]
        text = field.text if isinstance(field, TextLine) else ""
        if text != desk.state.book.answers.get((NAME, question), ""):
            writing.append(act.WriteAnswer(NAME, question, text))
    return done(desk, *writing) if writing else Step(desk)


def _pressed(desk: Desk, name: str) -> Step:
    step = _kept(desk)
    if name == f"{NAME}.{FEEDBACK}":
        asked = feedback_asked(step.desk, NAME)
        return Step(asked.desk, (*step.actions, *asked.actions))
    names = (*(f"hazards.{question}" for question in _questions()), f"{NAME}.{FEEDBACK}")
    return Step(gone_on(step.desk, names, name).desk, step.actions)


HAZARDS = Page(NAME, _boxes, _fields, _kept, _pressed)
