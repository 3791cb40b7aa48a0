"""The page of the conclusion: the relationship, and two values from the student's own line."""

from __future__ import annotations

from dataclasses import replace

from analysis.marking.questions import CONCLUSION
from sim.bench.boxes import Heading, PageBox, Paragraph
from sim.bench.desk import Desk
from sim.bench.pages.answers import named, question_boxes, question_page
from sim.bench.pages.graph import shown_graph
from sim.bench.pages.page import Page
from sim.bench.pages.remarks import feedback_boxes

HOW = (
    "Look at your graph. Say in a sentence what happens to one quantity as the other rises, and "
    "about how much for each degree."
)
LONG = {"relationship": 4, "shape": 1}


def _boxes(desk: Desk) -> tuple[PageBox, ...]:
    return (
        Heading(CONCLUSION),
        Paragraph(HOW, small=True),
        *question_boxes(desk, CONCLUSION, LONG, ("relationship", "shape")),
        Paragraph(named(desk)),
        *question_boxes(desk, CONCLUSION, LONG, ("read off", "gradient")),
        *feedback_boxes(desk, CONCLUSION),
        *shown_graph(desk),
    )


CONCLUSION_PAGE: Page = replace(question_page(CONCLUSION, LONG), boxes=_boxes)
