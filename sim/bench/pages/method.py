"""The page of the method: the plan, in the student's own words. Nothing forces it."""

from __future__ import annotations

from dataclasses import replace

from analysis.marking.questions import METHOD
from sim.bench.boxes import Heading, PageBox, Paragraph
from sim.bench.desk import Desk
from sim.bench.pages.answers import question_boxes, question_page
from sim.bench.pages.page import Page
from sim.bench.pages.remarks import feedback_boxes

HOW = (
    "Plan before you pour. The question: how does the temperature of the ball change the height "
    "to which it rebounds?"
)
PLAN = (
    "You may change your mind at the bench; say so here as well. Your plan is compared with what "
    "you did."
)
VARIABLES = ("independent variable", "dependent variable")
CONTROLS = (("control variable 1", "reason 1"), ("control variable 2", "reason 2"))
RANGE = ("lowest temperature", "highest temperature", "interval", "repeats")
WORDS = (*VARIABLES, *(name for pair in CONTROLS for name in pair))
LONG = {name: 2 if name.startswith("reason") else 1 for name in WORDS}


def _boxes(desk: Desk) -> tuple[PageBox, ...]:
    boxes: list[PageBox] = [Heading(METHOD), Paragraph(HOW, small=True)]
    boxes += question_boxes(desk, METHOD, LONG, VARIABLES)
    boxes.append(Heading("Control variables", level=2))
    for pair in CONTROLS:
        boxes += question_boxes(desk, METHOD, LONG, pair)
    boxes += [Heading("Range, interval, repeats", level=2), Paragraph(PLAN, small=True)]
    boxes += question_boxes(desk, METHOD, LONG, RANGE)
    return (*boxes, *feedback_boxes(desk, METHOD))


METHOD_PAGE: Page = replace(question_page(METHOD, LONG), boxes=_boxes)
