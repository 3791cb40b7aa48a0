"""The pages of conclusion, evaluation and energy: questions, conventions and ruled lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from analysis.document import Paragraph
from analysis.marking.questions import CONCLUSION, ENERGY, EVALUATION, QUESTIONS
from analysis.workbook.asking import Room, asked, questions
from analysis.workbook.pages import Blanks, Grid, Heading, Page

if TYPE_CHECKING:
    from collections.abc import Mapping

    from analysis.workbook.pages import Block

NAMED = Blanks(("The temperature that your teacher names",))

CONCLUSION_ROOM = {
    "relationship": Room(
        7, "Say which way it changes, and by about how much for each step of temperature."
    ),
    "shape": Room(3, "Look at all points together with their bars, not at one point alone."),
    "read off": Room(3, "Show on the graph where you read: draw the two lines that you used."),
    "gradient": Room(
        8,
        "Draw a triangle on more than half of your line; for a curve, on a tangent. Write down its "
        "two sides, then divide. The unit comes from the units of both axes.",
    ),
}
EVALUATION_ROOM = {
    "half-range": Room(4, "Half of the range of the repeats. Give it to one significant figure."),
    "repeatable": Room(2),
    "repeatable reason": Room(8),
    "resolution": Room(8, "The last page says what resolution and uncertainty are."),
    "inaccuracy 1": Room(3, "Say what it does to the readings; “human error” says too little."),
    "improvement 1": Room(4, "Say what you would do or use, and what that would change."),
    "inaccuracy 2": Room(3),
    "improvement 2": Room(4),
}
TRIED = (
    "Try one of your improvements at one temperature, with as many drops as before. Then compare "
    "the two sets."
)
ENERGY_FACTS = (
    "Gravitational potential energy = mass × gravitational field strength × height, with the mass "
    "in kilograms and the height in metres; or weight × height, if the weight is given in newtons.",
    "Show every step: the equation, the numbers put in, the result with its unit.",
)
ENERGY_ROOM = {
    "height before": Room(1),
    "height after": Room(1, "Metres, not centimetres."),
    "energy before": Room(3),
    "energy after": Room(3),
    "energy transferred": Room(2),
    "where it went": Room(
        3, "Energy is never used up: say where it is stored now, and how it got there."
    ),
    "efficiency": Room(3, "The useful share of the energy that there was to begin with."),
}


def answers() -> tuple[Page, ...]:
    """Give the pages in order."""
    judged, improved = questions(EVALUATION, "inaccuracy 1")
    return (
        Page("Conclusion", _all(CONCLUSION, CONCLUSION_ROOM)),
        Page(
            "Evaluation: how good are the readings?",
            _set(EVALUATION, judged, EVALUATION_ROOM),
        ),
        Page(
            "Evaluation: what could be better?",
            (
                *_set(EVALUATION, improved, EVALUATION_ROOM),
                Heading("If there is time"),
                Paragraph(TRIED),
                _tried(),
                Blanks(("What the comparison says",)),
            ),
        ),
        Page(
            "Energy",
            (
                *map(Paragraph, ENERGY_FACTS),
                Blanks(("Mass or weight of the ball", "Gravitational field strength")),
                *_all(ENERGY, ENERGY_ROOM),
            ),
        ),
    )


def _all(page: str, room: Mapping[str, Room]) -> tuple[Block, ...]:
    return _set(page, tuple(name for name, _ in QUESTIONS[page]), room)


def _set(page: str, names: tuple[str, ...], room: Mapping[str, Room]) -> tuple[Block, ...]:
    """Set questions; before one about "the temperature named here" is room to name it."""
    blocks: list[Block] = []
    for name in names:
        answer = asked(page, name, room)
        if "named here" in answer.question:
            blocks.append(NAMED)
        blocks.append(answer)
    return tuple(blocks)


def _tried() -> Grid:
    return Grid(
        caption="Two sets side by side",
        headings=("set", "what was done", "mean, with unit", "half-range, with unit"),
        shares=(22, 82, 38, 38),
        rows=2,
        row_mm=11.0,
        heading_mm=11.0,
        numbers=("before", "after"),
    )
