"""The last page: the words of measurement as schools use them, in our own words."""

from __future__ import annotations

from analysis.document import Paragraph
from analysis.workbook.pages import Page, Terms

# Common practice in schools; the terms are those of the ASE booklet The Language of Measurement
# (Hatfield 2010), every explanation is ours.
MEANINGS = (
    ("independent variable", "What you change on purpose, step by step."),
    ("dependent variable", "What you measure each time to see whether it has changed."),
    ("control variable", "What you hold steady, because it too could change the readings."),
    ("valid", "Said of a test in which only the independent variable was free to act."),
    ("range", "From the smallest value to the largest."),
    ("interval", "The gap between one value that you chose and the next."),
    ("true value", "What a perfect measurement would give. Nobody ever knows it exactly."),
    ("accuracy", "How close a result is thought to be to the true value."),
    (
        "precision",
        "How close together repeats lie. Readings can be precise and still all be wrong by the "
        "same amount.",
    ),
    ("repeatable", "The same person with the same apparatus and method gets similar readings."),
    ("reproducible", "Somebody else, or another apparatus or method, gets similar readings."),
    (
        "resolution",
        "The smallest change that an instrument, and the eye reading it, can show.",
    ),
    (
        "uncertainty",
        "How far to either side of a result the true value may well lie, written with ±.",
    ),
    (
        "half-range uncertainty",
        "Half of the range of the repeats: a simple estimate of the uncertainty.",
    ),
    ("measurement error", "What was measured minus the true value. It is not a mistake."),
    (
        "random error",
        "Differs from reading to reading and cannot be foretold. A mean of several readings makes "
        "it smaller, never nothing.",
    ),
    (
        "systematic error",
        "Shifts all readings the same way. More readings do not help; a better method does. A "
        "zero error is one kind.",
    ),
    (
        "anomaly",
        "A reading that does not fit in with the spread of the others. Look for its cause, take "
        "it again, and leave it out of the mean only for a reason.",
    ),
    (
        "line of best fit",
        "One smooth line, straight or curved, that runs as near to all points as it can.",
    ),
    ("gradient", "How steep a line is: what it goes up by, divided by what it goes along by."),
)
AVOID = (
    "A word to do without: “reliable”. It can mean several of these at once. Say the one that you "
    "mean."
)


def words() -> Page:
    """Give the page."""
    return Page("The words of measurement", (Terms(MEANINGS), Paragraph(AVOID)))
