"""The pages for readings: rough readings, an empty results table, a sheet of graph paper."""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from analysis.document import Listing, Paragraph
from analysis.workbook.pages import Answer, Blanks, Grid, Heading, Page, Squares

if TYPE_CHECKING:
    from analysis.workbook.pages import Plan

ROUGH = (
    "Write every reading here at once, in the order in which you take them. Never rub one out. If "
    "something went wrong, strike the reading out with one line, so that it can still be read, "
    "and say what went wrong."
)
ROUGH_MORE = "Carry on with your rough readings here."
ROUGH_HEADINGS = ("drop", "temperature\nunit:", "rebound height\nunit:", "struck out because")
SPARE_LINES = 3
MOST_LINES = 28
ROWS_MM, MOST_ROW_MM = 80.0, 11.0
"""All rows of the results table together, and the highest of them."""

TABLE_HINTS = (
    "The variable that you change goes into the first column. Each heading says the quantity and "
    "the unit, as quantity / unit. The cells hold numbers only.",
    "All readings of one quantity have the same number of decimal places: as many as you could "
    "truly read, with noughts where they belong.",
    "Only a reading with a good reason against it stays out of the mean. You may not need every "
    "column.",
)
GRAPH_HINTS = (
    "The variable that you change goes across, the one that you measure goes up. Axes carry the "
    "same quantity and unit as the table.",
    "Leave the first large square on the left and at the foot for numbers and titles.",
    "Let a large square stand for 1, 2 or 5, or for one of these with noughts (10, 0.2, …). The "
    "points should fill more than half of each axis; an axis need not begin at zero.",
    "Plot the means as small, sharp crosses, to half a small square. Draw the half-range up and "
    "down from each as a bar.",
    "Draw one line of best fit, straight or curved as the points suggest, with points on either "
    "side of it. Do not join the dots, and do not make it go through the origin.",
)
SHEET = Squares(9, 12)
SHEET_NOTE = (
    "Printed at 100 % (“actual size”), each large square is 2 cm wide and each small one 2 mm."
)


def readings(plan: Plan) -> tuple[Page, ...]:
    """Give the pages in order."""
    return (*_rough(plan), _table(plan), Page("Graph", (Paragraph(SHEET_NOTE), SHEET)))


def _rough(plan: Plan) -> tuple[Page, ...]:
    lines = plan.temperatures * plan.repeats + SPARE_LINES
    sheets = ceil(lines / MOST_LINES)
    each = ceil(lines / sheets)
    return tuple(
        Page(
            "Rough readings" if sheet == 0 else "Rough readings, continued",
            (
                Paragraph(ROUGH if sheet == 0 else ROUGH_MORE),
                Blanks(("Drop height", "Rule, to the nearest", "Thermometer, to the nearest")),
                _rough_grid(range(sheet * each, min(lines, (sheet + 1) * each))),
            ),
        )
        for sheet in range(sheets)
    )


def _rough_grid(lines: range) -> Grid:
    return Grid(
        caption="Every drop, in order",
        headings=ROUGH_HEADINGS,
        shares=(12, 34, 34, 100),
        rows=len(lines),
        row_mm=7.0,
        heading_mm=11.0,
        numbers=tuple(str(line + 1) for line in lines),
    )


def _table(plan: Plan) -> Page:
    columns = plan.repeats + 3  # the temperature, the repeats, the mean and the half-range
    return Page(
        "Results table",
        (
            Listing(TABLE_HINTS),
            Grid(
                caption="Results",
                headings=("",) * columns,
                shares=(1,) * columns,
                rows=plan.temperatures,
                row_mm=min(MOST_ROW_MM, ROWS_MM / plan.temperatures),
                heading_mm=24.0,
            ),
            Answer("One mean and its half-range uncertainty worked out, as an example", 3),
            Heading("Before you draw the graph"),
            Listing(GRAPH_HINTS),
        ),
    )
