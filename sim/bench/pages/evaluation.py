"""The page of the evaluation: uncertainty, repeatability, and improvements that can be tried."""

from __future__ import annotations

from dataclasses import replace

from analysis.marking.questions import EVALUATION
from sim.bench.boxes import ButtonBox, Heading, PageBox, Paragraph
from sim.bench.choosing import Button
from sim.bench.desk import Desk, Step
from sim.bench.pages.answers import named, question_boxes, question_page
from sim.bench.pages.page import Page
from sim.bench.pages.remarks import feedback_boxes
from sim.bench.pages.sets import side_by_side
from sim.bench.pages.table import written_table

HOW = "How good are your readings? Use numbers from your own table."
TRY = (
    "These can be tried at once at the bench: put the ball back into the water before each drop "
    "(B); soak it longer; dry it with the towel (T); bring your eye to the level of the bounce "
    "(Page ↑ ↓); read from the camera (K). Write the new readings on the rough page as before."
)
LEFT_ONLY = (
    "To see what putting the ball back does, take repeats both ways at the same temperatures: "
    "drops one after another, and drops with the ball put back into the water before each. "
    "The two sets then stand side by side here."
)
LONG = {
    "repeatable": 1,
    "repeatable reason": 3,
    "resolution": 3,
    "inaccuracy 1": 2,
    "improvement 1": 2,
    "inaccuracy 2": 2,
    "improvement 2": 2,
}
DEMONSTRATE = f"{EVALUATION}.demonstrate"
FOR_THE_CLASS = (
    "What putting the ball back does, for a whole class to see (Ctrl+D). It shows true values of "
    "another practical, and asks before it does."
)
NUMBERS = ("half-range", "repeatable", "repeatable reason", "resolution")
BETTER = ("inaccuracy 1", "improvement 1", "inaccuracy 2", "improvement 2")


def _boxes(desk: Desk) -> tuple[PageBox, ...]:
    table = written_table(desk.state.book)
    return (
        Heading(EVALUATION),
        Paragraph(HOW, small=True),
        Paragraph(named(desk)),
        *question_boxes(desk, EVALUATION, LONG, NUMBERS),
        Heading("What could be better", level=2),
        *question_boxes(desk, EVALUATION, LONG, BETTER),
        *feedback_boxes(desk, EVALUATION),
        Heading("Try an improvement", level=2),
        Paragraph(TRY),
        *_compared(desk),
        *((Heading("Your results table", level=2), table) if table else ()),
        Heading("For the teacher", level=2),
        Paragraph(FOR_THE_CLASS, small=True),
        ButtonBox(DEMONSTRATE, Button("Demonstrate it"), desk.focus == DEMONSTRATE),
    )


def _compared(desk: Desk) -> tuple[PageBox, ...]:
    """Both sets side by side once there are both; before that, what to do."""
    found = side_by_side(desk.state.rough)
    if not found:
        return (Paragraph(LEFT_ONLY),)
    return (Heading("Both sets side by side", level=2), *(Paragraph(text) for text in found))


QUESTIONS_ALONE = question_page(EVALUATION, LONG)


def _pressed(desk: Desk, name: str) -> Step:
    if name != DEMONSTRATE:
        return QUESTIONS_ALONE.pressed(desk, name)
    step = QUESTIONS_ALONE.kept(desk)
    return Step(replace(step.desk, demonstrating=True), step.actions)


EVALUATION_PAGE: Page = replace(QUESTIONS_ALONE, boxes=_boxes, pressed=_pressed)
