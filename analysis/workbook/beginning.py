"""The first pages: what the practical is about, its hazards, and the student's own plan."""

from __future__ import annotations

from analysis.cautions import CAUTIONS
from analysis.document import Listing, Paragraph
from analysis.marking.questions import METHOD
from analysis.workbook.asking import Room, asked, questions
from analysis.workbook.drawing import heights
from analysis.workbook.pages import Answer, Blanks, Grid, Heading, Page, Space

TITLE = "Bounce and warmth"
QUESTION = "How does the temperature of a squash ball change its rebound height?"
ABOUT = (
    "Before a match, squash players knock the ball about until it is warm. What does its "
    "temperature do to its bounce? You find out by measuring.",
    "You warm a squash ball in water of known temperature, lift it out with tongs, and let it fall "
    "beside an upright metre rule. By eye you read how high it comes back. You do that several "
    "times at each of several temperatures.",
    "Both heights are taken from the floor to the lowest point of the ball. The drop height is "
    "where that point is before you let go; the rebound height is where it is at the top of the "
    "first bounce.",
)
NEEDED = (
    "squash ball, and a balance to find its mass",
    "metre rule, clamped upright on a hard, level floor",
    "large beaker, thermometer, hot and cold water",
    "tongs, towel, stopwatch, eye protection",
)
USE = (
    "The pages follow the work: hazards, method, rough readings, results table, graph, "
    "conclusion, evaluation, energy. The last page explains the words of measurement. Nobody "
    "else's readings will be quite like yours: what counts is what you make of your own."
)

HAZARD_WORDS = (
    "A hazard is something that could hurt somebody. The risk is what harm it could do, and how "
    "likely that is. A control measure is what you do to make the harm less likely or less bad.",
    "Fill in one row for each hazard that you see in this practical, and show the page to your "
    "teacher before any water is heated.",
)
# The last caution speaks of the pages of a report; this workbook says it for itself.
USUAL = (
    *CAUTIONS[:-1],
    "This workbook does not replace a practical carried out under supervision.",
)

ROOM = {
    "independent variable": Room(1, "Name the quantity exactly; “the ball” is not a variable."),
    "dependent variable": Room(2, "Say what you measure, and from where to where."),
    "control variable 1": Room(1, "Something that could change your readings if you let it."),
    "reason 1": Room(4, "Say what would happen to the readings if it changed."),
    "control variable 2": Room(1),
    "reason 2": Room(4),
    "lowest temperature": Room(1),
    "highest temperature": Room(1, "60 °C or below, unless your teacher says otherwise."),
    "interval": Room(1, "The gap between one temperature and the next."),
    "repeats": Room(1, "Enough to see how far readings spread, and to notice a slip."),
}


def beginning() -> tuple[Page, ...]:
    """Give the pages in order: the cover, the hazards and the method."""
    variables, range_ = questions(METHOD, "lowest temperature")
    return (
        Page(
            TITLE,
            (
                Paragraph(QUESTION, leading=True),
                Blanks(("Name", "Class or group")),
                Blanks(("Date", "I worked with")),
                Heading("What it is about"),
                *map(Paragraph, ABOUT),
                heights(),
                Heading("What you need"),
                Listing(NEEDED),
                Heading("How to use these pages"),
                Paragraph(USE),
                Answer("Before you start: what do you expect to find, and why?", 3),
            ),
        ),
        _hazards(),
        Page(
            "Method: the variables",
            (
                *(asked(METHOD, name, ROOM) for name in variables),
                Answer("Other things that you keep the same, and how", 6),
            ),
        ),
        Page(
            "Method: the plan",
            (
                *(asked(METHOD, name, ROOM) for name in range_),
                Answer(
                    "What you will do, step by step",
                    9,
                    "Somebody else should be able to follow it.",
                ),
                Space("Labelled drawing of your apparatus", 64.0),
            ),
        ),
    )


def _hazards() -> Page:
    return Page(
        "Hazards",
        (
            *map(Paragraph, HAZARD_WORDS),
            Grid(
                caption="My hazards",
                headings=("hazard", "risk", "control measure"),
                shares=(1, 1, 1),
                rows=3,
                row_mm=34.0,
                heading_mm=8.0,
            ),
            Heading("The usual cautions"),
            Listing(USUAL),
            Blanks(("Checked by the teacher", "Date")),
        ),
    )
