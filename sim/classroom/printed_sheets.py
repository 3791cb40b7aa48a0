"""The printed sheet of a student without a machine, and the questions that go with every sheet.

One sheet of paper: a scripted student's rough readings and an empty results table in front, graph
paper on the back. The questions are the same for all and come from the paper workbook. Processes
that set a class's sheets load this file and no table or statistics.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from analysis.marking.questions import CONCLUSION, ENERGY, EVALUATION
from analysis.paper.document import Block, Document, Listing, Paragraph, Section, Working
from analysis.paper.pdf import pdf_bytes
from analysis.quantity.units import centimetres, fixed, grams, plain, temperature_text
from analysis.workbook import (
    graph_sheet,
    one_mean,
    question_sheets,
    results_to_fill,
    words_of_measurement,
)
from sim.procedure import BATH_WORDS, Procedure

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from sim.classroom.class_key import Handout

TITLE = "Rebound height and temperature"
MOST_REPEATS, MOST_TEMPERATURES = 12, 12
"""More do not fit on the front of the sheet."""

TASKS = (
    "Put the readings into the results table: a heading with quantity and unit for each column, "
    "the readings, the mean and the half-range uncertainty at each temperature.",
    "Draw the graph on the back: axes, crosses for the means, bars for the half-ranges, and one "
    "line of best fit.",
    f"Answer the questions on {CONCLUSION.lower()}, {EVALUATION.lower()} and {ENERGY.lower()} "
    "on the question sheets.",
)


@dataclass(frozen=True)
class Printed:
    """One student's sheet: who, and the readings in metres, (temperatures, repeats)."""

    number: str
    name: str
    heights_m: NDArray[np.float64]


def sheets_pdf(students: tuple[Printed, ...], handout: Handout) -> bytes:
    """The sheets of some students as one PDF, front and back for each."""
    sections = [
        Section(TITLE, blocks, owner=f"Practical {student.number}    {student.name}")
        for student in students
        for blocks in (_front(student, handout), graph_sheet())
    ]
    return pdf_bytes(Document(TITLE, tuple(sections), sheets=True, numbered=False))


def questions_pdf() -> bytes:
    """The questions that go with every sheet, once, and the words that they refer to."""
    sections = (*question_sheets(), words_of_measurement())
    return pdf_bytes(Document(TITLE, sections, sheets=True, name_line=True))


def fits_on_paper(procedure: Procedure) -> bool:
    """Whether a sheet has room for the readings of a plan."""
    return procedure.repeats <= MOST_REPEATS and len(procedure.temperatures_k) <= MOST_TEMPERATURES


def _front(student: Printed, handout: Handout) -> tuple[Block, ...]:
    procedure = handout.procedure
    places = procedure.observer.decimal_places_cm
    rows = len(procedure.temperatures_k)
    return (
        Paragraph(_told(handout)),
        Working(
            "Rough readings, in the order in which they were taken",
            tuple(
                f"at {temperature_text(temperature_k)}:  {_heights(heights_m, places)}"
                for temperature_k, heights_m in zip(
                    procedure.temperatures_k, student.heights_m, strict=True
                )
            ),
        ),
        Listing(TASKS),
        results_to_fill("Results table", rows, procedure.repeats, min(8.5, 60.0 / rows)),
        one_mean(lines=max(1, min(4, MOST_TEMPERATURES - rows))),
        Paragraph("Each student has other readings. Work on these only.", small=True),
    )


def _told(handout: Handout) -> str:
    procedure = handout.procedure
    drop_cm = plain(float(centimetres(procedure.drop_height_m)), 1)
    again = "put back into the water before each drop" if procedure.reheat else "not put back"
    soaked = f"soaked for {plain(procedure.soak_s, 0)} s in {BATH_WORDS[procedure.bath]}"
    return (
        f"A squash ball was {soaked}, then dropped from {drop_cm} cm beside a rule, "
        f"{procedure.repeats} times at each temperature; between the drops it was {again}. These "
        "are the rebound heights that a student read, worked out by a model. Look at each before "
        f"you trust it. The mass of the ball is {plain(grams(handout.ball.mass_kg), 1)} g."
    )


def _heights(heights_m: NDArray[np.float64], places: int) -> str:
    texts = [fixed(float(height), places) for height in centimetres(heights_m)]
    return ",  ".join(texts) + "  cm"
