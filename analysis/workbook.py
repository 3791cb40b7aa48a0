"""The blank workbook for a practical on paper, sheet by sheet in the order of the work.

Its questions are those of the exercise book, in the same words, with room for the answers; what
does not fit a sheet goes on on the next. Beside them stand the cautions, room for readings, graph
paper, the conventions of tables and graphs, and the words of measurement; never an answer, nor what
would answer a question of the same sheet.
"""

from __future__ import annotations

from math import ceil
from typing import TYPE_CHECKING

from analysis.marking.question import Question
from analysis.marking.questions import (
    CONCLUSION,
    ENERGY,
    EVALUATION,
    HAZARDS,
    METHOD,
    QUESTIONS_OF,
    RANGE_INTERVAL_REPEATS,
    WHAT_COULD_BE_BETTER,
)
from analysis.paper.cautions import CAUTIONS
from analysis.paper.document import (
    Blanks,
    Block,
    Document,
    EmptyTable,
    Listing,
    Paragraph,
    RuledLines,
    Section,
    Space,
    Subheading,
    Terms,
)
from analysis.paper.drawings import graph_paper, heights

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


def workbook(temperatures: int = 5, repeats: int = 5, *, name_line: bool = False) -> Document:
    """Give the workbook with room for so many drops at each of so many temperatures.

    With `name_line` every sheet after the cover asks for the name.
    """
    sections = (
        _cover(),
        _hazards(),
        *_method(),
        _cautions(),
        *_rough(temperatures * repeats + SPARE_LINES),
        _table(temperatures, repeats),
        Section("Graph", graph_sheet()),
        *question_sheets(),
        *_sentences(),
        words_of_measurement(),
    )
    return Document(TITLE, sections, sheets=True, name_line=name_line)


def _asked(question: Question) -> RuledLines:
    """Set one question in the words that the exercise book has for it, with its room and hint."""
    return RuledLines(question.words, question.room.paper, question.hint)


def _split(page: str, part: str) -> tuple[tuple[Question, ...], tuple[Question, ...]]:
    """The questions of a page on two sheets of paper: those of its other parts, and of this one."""
    questions = QUESTIONS_OF[page]
    return (
        tuple(question for question in questions if question.part != part),
        tuple(question for question in questions if question.part == part),
    )


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
    "water bath that keeps its temperature, or a large beaker with hot and cold water; thermometer",
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
BEFORE_ANY_WATER = (
    "Read this sheet with those you work with when your page of hazards has been checked, and keep "
    "it beside you while there is hot water on the bench."
)
NO_SUBSTITUTE = "This workbook does not replace a practical carried out under supervision."


def _cover() -> Section:
    return Section(
        "",
        (
            Paragraph(QUESTION, leading=True),
            Blanks(("Name", "Class or group")),
            Blanks(("Date", "I worked with")),
            Subheading("What it is about"),
            *map(Paragraph, ABOUT),
            heights(),
            Subheading("What you need"),
            Listing(NEEDED),
            Subheading("How to use these pages"),
            Paragraph(USE),
            RuledLines("Before you start: what do you expect to find, and why?", 3),
        ),
    )


def _hazards() -> Section:
    return Section(
        "Hazards",
        (
            *map(Paragraph, HAZARD_WORDS),
            EmptyTable(
                caption="My hazards",
                headings=("hazard", "risk", "control measure"),
                shares=(1, 1, 1),
                rows=len({question.part for question in QUESTIONS_OF[HAZARDS]}),
                row_mm=52.0,
                heading_mm=8.0,
            ),
            Blanks(("Checked by the teacher", "Date")),
        ),
    )


def _cautions() -> Section:
    """The sheet before the rough readings: it would answer the one of the hazards."""
    return Section(
        "Before any water is heated",
        (
            Paragraph(BEFORE_ANY_WATER),
            Subheading("The usual cautions"),
            Listing((*CAUTIONS, NO_SUBSTITUTE)),
            RuledLines("What the rules of your own school add", 9),
        ),
    )


def _method() -> tuple[Section, ...]:
    variables, range_ = _split(METHOD, RANGE_INTERVAL_REPEATS)
    others = RuledLines("Other things that you keep the same, and how", 6)
    steps = RuledLines(
        "What you will do, step by step", 9, "Somebody else should be able to follow it."
    )
    return (
        *_sheets("Method: the variables", (*map(_asked, variables), others)),
        *_sheets(
            "Method: the plan",
            (*map(_asked, range_), steps, Space("Labelled drawing of your apparatus", 64.0)),
        ),
    )


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
    "Numbers and titles stand outside the squares, on the left and at the foot.",
    "Let a large square stand for 1, 2 or 5, or for one of these with noughts (10, 0.2, …). The "
    "points should fill more than half of each axis; an axis need not begin at zero.",
    "Plot the means as small, sharp crosses, to half a small square. Draw the half-range up and "
    "down from each as a bar.",
    "Draw one line of best fit, straight or curved as the points suggest, with points on either "
    "side of it. Do not join the dots, and do not make it go through the origin.",
)
SHEET_NOTE = (
    "Printed at 100 % (“actual size”), each large square is 2 cm wide and each small one 2 mm."
)


def graph_sheet() -> tuple[Block, ...]:
    """Graph paper, and the note on its printing."""
    return (Paragraph(SHEET_NOTE), graph_paper())


def results_to_fill(caption: str, temperatures: int, repeats: int, row_mm: float) -> EmptyTable:
    """An empty results table: the temperature, the repeats, the mean and the half-range."""
    columns = repeats + 3
    return EmptyTable(
        caption=caption,
        headings=("",) * columns,
        shares=(1,) * columns,
        rows=temperatures,
        row_mm=row_mm,
        heading_mm=24.0,
    )


def one_mean(lines: int) -> RuledLines:
    """Room for the working of one mean."""
    return RuledLines("One mean and its half-range uncertainty worked out, as an example", lines)


def _rough(lines: int) -> tuple[Section, ...]:
    sheets = ceil(lines / MOST_LINES)
    each = ceil(lines / sheets)
    return tuple(
        Section(
            "Rough readings" if sheet == 0 else "Rough readings, continued",
            (
                Paragraph(ROUGH if sheet == 0 else ROUGH_MORE),
                Blanks(("Drop height", "Rule, to the nearest", "Thermometer, to the nearest")),
                _rough_lines(range(sheet * each, min(lines, (sheet + 1) * each))),
            ),
        )
        for sheet in range(sheets)
    )


def _rough_lines(lines: range) -> EmptyTable:
    return EmptyTable(
        caption="Every drop, in order",
        headings=ROUGH_HEADINGS,
        shares=(12, 34, 34, 100),
        rows=len(lines),
        row_mm=7.0,
        heading_mm=11.0,
        numbers=tuple(str(line + 1) for line in lines),
    )


def _table(temperatures: int, repeats: int) -> Section:
    row_mm = min(MOST_ROW_MM, ROWS_MM / temperatures)
    return Section(
        "Results table",
        (
            Listing(TABLE_HINTS),
            results_to_fill("Results", temperatures, repeats, row_mm),
            one_mean(lines=3),
            Subheading("Before you draw the graph"),
            Listing(GRAPH_HINTS),
        ),
    )


NAMED = Blanks(("The temperature that your teacher names",))

TRIED = (
    "Try one of your improvements at one temperature, with as many drops as before. Then compare "
    "the two sets."
)
ENERGY_FACTS = (
    "Gravitational potential energy = mass × gravitational field strength × height, with the mass "
    "in kilograms and the height in metres; or weight × height, if the weight is given in newtons.",
    "Show every step: the equation, the numbers put in, the result with its unit.",
)


def question_sheets() -> tuple[Section, ...]:
    """The questions on conclusion, evaluation and energy."""
    judged, improved = _split(EVALUATION, WHAT_COULD_BE_BETTER)
    return (
        *_sheets("Conclusion", _set(QUESTIONS_OF[CONCLUSION])),
        *_sheets("Evaluation: how good are the readings?", _set(judged)),
        *_sheets("Evaluation: what could be better?", (*_set(improved), *_one_tried())),
        *_sheets(
            "Energy",
            (
                *map(Paragraph, ENERGY_FACTS),
                Blanks(("Mass or weight of the ball", "Gravitational field strength")),
                *_set(QUESTIONS_OF[ENERGY]),
            ),
        ),
    )


def words_of_measurement() -> Section:
    """The last page, to which a hint of the questions sends its reader."""
    return Section("The words of measurement", (Terms(MEANINGS), Paragraph(AVOID)))


FINISH = (
    "If an answer is hard to begin, one of these sentences may be it. In every bracket keep the "
    "words that make the whole sentence true, and strike the others out; then write the sentence "
    "below its question. A reason or an improvement has to be about your answer before it."
)


def _sentences() -> tuple[Section, ...]:
    """The sentences to finish, each below the first of its questions; not beside their room."""
    framed = [one for questions in QUESTIONS_OF.values() for one in questions if one.frame]
    first = {one.frame: one for one in reversed(framed)}
    blocks: list[Block] = [Paragraph(FINISH)]
    for question in framed:
        if question.frame and first[question.frame] is question:
            blocks.append(Subheading(f"{question.page}: {question.words}"))
            gaps = [f"[ {'  /  '.join(piece.choices)} ]" for piece in question.frame.pieces]
            blocks.append(Paragraph(question.frame.sentence(gaps)))
    return _sheets("Sentences to finish", blocks)


def _set(questions: Iterable[Question]) -> tuple[Block, ...]:
    """Set questions; before one about "the temperature named here" is room to name it."""
    blocks: list[Block] = []
    for question in questions:
        if question.names_temperature:
            blocks.append(NAMED)
        blocks.append(_asked(question))
    return tuple(blocks)


def _one_tried() -> tuple[Block, ...]:
    return (
        Subheading("If there is time"),
        Paragraph(TRIED),
        EmptyTable(
            caption="Two sets side by side",
            headings=("set", "what was done", "mean, with unit", "half-range, with unit"),
            shares=(22, 82, 38, 38),
            rows=2,
            row_mm=11.0,
            heading_mm=11.0,
            numbers=("before", "after"),
        ),
        Blanks(("What the comparison says",)),
    )


SHEET_MM = 248.0
"""What a sheet holds between its heading and its number."""


def _sheets(title: str, blocks: Sequence[Block]) -> tuple[Section, ...]:
    """Lay blocks on one sheet, and on further ones where they need more room."""
    sheets: list[list[Block]] = [[]]
    filled_mm = 0.0
    for block in blocks:
        filled_mm += block.kept_mm
        if filled_mm > SHEET_MM:
            sheets.append([])
            filled_mm = block.kept_mm
        sheets[-1].append(block)
    first, *more = (tuple(sheet) for sheet in sheets)
    return Section(title, first), *(Section(f"{title} (continued)", sheet) for sheet in more)


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
