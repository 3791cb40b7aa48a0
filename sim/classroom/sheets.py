"""Printed sheets: a scripted student's rough readings to process, for those without a machine.

A student has one sheet of paper: readings and an empty results table in front, graph paper on
the back. The questions are the same for all and are printed once, from the paper workbook.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from fpdf.prefs import ViewerPreferences

from analysis.marking.questions import CONCLUSION, ENERGY, EVALUATION
from analysis.paper.document import MARGIN_MM, Answer, Grid, Listing, Page, Paragraph, Workbook
from analysis.paper.drawings import graph_paper
from analysis.paper.pdf import BODY_MM, BODY_POINTS, SMALL_POINTS, Sheets, font_folder, printed, put
from analysis.quantity.text import fixed, plain, temperature_text
from analysis.quantity.units import centimetres, grams
from analysis.workbook.workbook import SHEET_NOTE, answers

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from sim.classroom.class_key import Handout
    from sim.procedure import Procedure

FONT_FILE = "DejaVuSans-Bold.ttf"
"""The names are set in it."""
TITLE = "Rebound height and temperature"
TITLE_POINTS, NAME_POINTS = 14.0, 11.0
NAME_MM = 130.0
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
    pdf = Sheets()
    pdf.set_title(TITLE)
    pdf.set_lang("en-GB")
    pdf.viewer_preferences = ViewerPreferences(print_scaling="None")  # else 2 mm shrink
    for student in students:
        _entitle(pdf, student)
        _front(pdf, student, handout)
        _entitle(pdf, student)
        put(Paragraph(SHEET_NOTE), pdf)
        put(graph_paper(), pdf)
    return bytes(pdf.output())


def questions_pdf() -> bytes:
    """The questions that go with every sheet, once."""
    pages: tuple[Page, ...] = answers()
    return printed(Workbook(TITLE, pages, name_line=True))


def fits_on_paper(procedure: Procedure) -> bool:
    """Whether a sheet has room for the readings of a plan."""
    return procedure.repeats <= MOST_REPEATS and len(procedure.temperatures_k) <= MOST_TEMPERATURES


def unprintable(name: str) -> bool:
    """Whether a name holds a letter that the printed font lacks; the number tells whose it is."""
    return any(ord(letter) not in _letters() for letter in name)


@cache
def _letters() -> frozenset[int]:
    from matplotlib.ft2font import FT2Font

    return frozenset(FT2Font(str(font_folder() / FONT_FILE)).get_charmap())


def _entitle(pdf: Sheets, student: Printed) -> None:
    pdf.add_page()
    pdf.lettered(TITLE_POINTS, bold=True)
    pdf.cell(0, 7, TITLE)
    pdf.ln(7.5)
    pdf.lettered(NAME_POINTS, bold=True)
    pdf.cell(34, 6, f"Practical {student.number}")
    _write_name(pdf, student.name)
    pdf.ln(7)
    pdf.ruled_line(0.4)
    pdf.ln(2.5)


def _write_name(pdf: Sheets, name: str) -> None:
    """A name, in its own direction and with its letters joined where the script joins them."""
    shown = "".join(letter if ord(letter) in _letters() else "□" for letter in name)
    pdf.set_text_shaping(use_shaping_engine=True)
    while shown and pdf.get_string_width(shown) > NAME_MM:
        shown = f"{shown.rstrip('…')[:-1]}…"
    pdf.cell(NAME_MM, 6, shown)
    pdf.set_text_shaping(use_shaping_engine=False)


def _front(pdf: Sheets, student: Printed, handout: Handout) -> None:
    procedure = handout.procedure
    put(Paragraph(_told(handout)), pdf)
    pdf.lettered(BODY_POINTS, bold=True)
    pdf.cell(0, 6, "Rough readings, in the order in which they were taken")
    pdf.ln(7)
    for temperature_k, heights_m in zip(procedure.temperatures_k, student.heights_m, strict=True):
        pdf.lettered(NAME_POINTS)
        pdf.cell(28, 6, f"at {temperature_text(temperature_k)}:")
        pdf.cell(0, 6, _heights(heights_m, procedure.observer.decimal_places_cm))
        pdf.ln(6)
    pdf.ln(2.5)
    put(Listing(TASKS), pdf)
    put(_empty_table(procedure), pdf)
    put(Answer("One mean and its half-range uncertainty worked out, as an example", 4), pdf)
    pdf.lettered(SMALL_POINTS)
    pdf.set_x(MARGIN_MM)
    pdf.multi_cell(0, BODY_MM, "Each student has other readings. Work on these only.")


def _told(handout: Handout) -> str:
    procedure = handout.procedure
    drop_cm = plain(float(centimetres(procedure.drop_height_m)), 1)
    again = "put back into the water before each drop" if procedure.reheat else "not put back"
    return (
        f"A squash ball was kept in warm water, then dropped from {drop_cm} cm beside a rule, "
        f"{procedure.repeats} times at each temperature; between the drops it was {again}. These "
        "are the rebound heights that a student read, worked out by a model. Look at each before "
        f"you trust it. The mass of the ball is {plain(grams(handout.ball.mass_kg), 1)} g."
    )


def _heights(heights_m: NDArray[np.float64], places: int) -> str:
    texts = [fixed(float(height), places) for height in centimetres(heights_m)]
    return ",  ".join(texts) + "  cm"


def _empty_table(procedure: Procedure) -> Grid:
    columns = procedure.repeats + 3  # the temperature, the repeats, the mean and the half-range
    rows = len(procedure.temperatures_k)
    return Grid(
        caption="Results table",
        headings=("",) * columns,
        shares=(1,) * columns,
        rows=rows,
        row_mm=min(8.5, 60.0 / rows),
        heading_mm=20.0,
    )
