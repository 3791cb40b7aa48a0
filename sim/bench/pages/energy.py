"""The page of the energy: potential energy before and after, and where the rest went."""

from __future__ import annotations

from dataclasses import replace

from analysis.energy import GRAVITY_N_PER_KG
from analysis.marking.questions import ENERGY
from sim.bench.boxes import Heading, PageBox, Paragraph
from sim.bench.desk import Desk
from sim.bench.pages.answers import named, question_boxes, question_page
from sim.bench.pages.page import Page
from sim.bench.pages.remarks import feedback_boxes
from sim.bench.pages.table import written_table

HOW = (
    "Work with the mean rebound height at one temperature. Show each value with its unit; heights "
    "go into the formula in metres."
)
GIVEN = "Mass of the ball: {:.0f} g. Gravitational field strength: {} N/kg."
LONG = {"where it went": 3}


def _boxes(desk: Desk) -> tuple[PageBox, ...]:
    table = written_table(desk.state.book)
    return (
        Heading(ENERGY),
        Paragraph(HOW, small=True),
        Paragraph(GIVEN.format(desk.state.ball.mass_kg * 1000.0, GRAVITY_N_PER_KG)),
        Paragraph(named(desk)),
        *question_boxes(desk, ENERGY, LONG),
        *feedback_boxes(desk, ENERGY),
        *((Heading("Your results table", level=2), table) if table else ()),
    )


ENERGY_PAGE: Page = replace(question_page(ENERGY, LONG), boxes=_boxes)
