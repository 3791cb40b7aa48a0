"""The questions of the exercise book: the one registry that pages, workbook and marking ask.

A question stands here once, with its words, the kind of its answer, the room it has on the screen
and on paper, its hint, the criterion that marks it, and an answer that earns the mark. Where the
criterion is a row of criteria.toml, that row names page and question as they stand here.
`QUESTIONS_OF` gives them page by page in the order of the book; a page without any has its place.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from analysis.marking import frames
from analysis.marking import right_answers as right
from analysis.marking.question import (
    A_CELL,
    CHOICE,
    COUNT,
    GRADIENT,
    JOULES,
    LENGTH,
    METRES,
    NUMBER,
    PERCENTAGE,
    SENTENCES,
    TEMPERATURE,
    UNCERTAINTY,
    WORDS,
    Question,
    Room,
)
from analysis.marking.work import Side

HAZARDS, METHOD, TABLE, GRAPH = "Hazards", "Method", "Results table", "Graph"
CONCLUSION, EVALUATION, ENERGY = "Conclusion", "Evaluation", "Energy"

CONTROL_VARIABLES, RANGE_INTERVAL_REPEATS = "Control variables", "Range, interval, repeats"
WHAT_COULD_BE_BETTER = "What could be better"


def _before(name: str, number: int) -> tuple[str, ...]:
    """What an answer of a hazard's row builds on: a second hazard has to be another one."""
    if name == "hazard":
        return (f"hazard {number - 1}",) if number > 1 else ()
    return (f"hazard {number}", *([f"risk {number}"] if name == "control" else []))


_HAZARDS = tuple(
    Question(
        HAZARDS,
        f"{name} {number}",
        words,
        WORDS,
        answer,
        optional=number == 3,
        room=A_CELL,
        part=f"Hazard {number}",
        builds_on=_before(name, number),
    )
    for number, answers in enumerate(
        (
            ("hot water", "it can scald a hand", "use tongs and wear eye protection"),
            ("water spilt on the floor", "somebody could slip", "wipe it up at once"),
            ("a broken glass beaker", "somebody could be cut", "sweep it up with a brush"),
        ),
        start=1,
    )
    for (name, words), answer in zip(
        (
            ("hazard", "What could hurt somebody (hazard)"),
            ("risk", "What could happen (risk)"),
            ("control", "What is done about it (control measure)"),
        ),
        answers,
        strict=True,
    )
)

_TITLES: dict[Side, str] = {"across": "temperature / °C", "up": "mean rebound height / cm"}
_AXES = tuple(
    Question(GRAPH, f"{side} {name}", words, answer, gives, criterion, room=A_CELL, part=side)
    for side, title in _TITLES.items()
    for name, words, answer, criterion, gives in (
        ("title", "title: quantity and unit", WORDS, "labels", title),
        ("start", "starts at", NUMBER, "fills", right.start(side)),
        (
            "large square",
            "a large square is",
            NUMBER,
            "scale",
            right.large_square(side),
        ),
    )
)

_REGISTRY = (
    *_HAZARDS,
    Question(
        METHOD,
        "independent variable",
        "Which variable do you change on purpose?",
        SENTENCES,
        "the temperature of the ball",
        hint="Name the quantity exactly; “the ball” is not a variable.",
    ),
    Question(
        METHOD,
        "dependent variable",
        "Which variable do you measure because of it?",
        SENTENCES,
        "the rebound height of the ball",
        room=Room(paper=2),
        hint="Say what you measure, and from where to where.",
    ),
    Question(
        METHOD,
        "control variable 1",
        "A variable that you keep the same",
        SENTENCES,
        "the drop height",
        hint="Something that could change your readings if you let it.",
        part=CONTROL_VARIABLES,
    ),
    Question(
        METHOD,
        "reason 1",
        "Why it has to stay the same",
        SENTENCES,
        "a ball dropped from higher up has more energy and rebounds higher",
        room=Room(2, 4),
        hint="Say what would happen to the readings if it changed.",
        part=CONTROL_VARIABLES,
        builds_on=("control variable 1",),
        frame=frames.REASON,
    ),
    Question(
        METHOD,
        "control variable 2",
        "Another variable that you keep the same",
        SENTENCES,
        "the surface it lands on",
        part=CONTROL_VARIABLES,
        builds_on=("control variable 1",),
    ),
    Question(
        METHOD,
        "reason 2",
        "Why it has to stay the same",
        SENTENCES,
        "a softer floor would take more energy and change the rebound height",
        room=Room(2, 4),
        part=CONTROL_VARIABLES,
        builds_on=("control variable 2",),
        frame=frames.REASON,
    ),
    Question(
        METHOD,
        "lowest temperature",
        "Lowest temperature, with its unit",
        TEMPERATURE,
        right.end_of_range(0),
        marked_as="lowest",
        part=RANGE_INTERVAL_REPEATS,
    ),
    Question(
        METHOD,
        "highest temperature",
        "Highest temperature, with its unit",
        TEMPERATURE,
        right.end_of_range(-1),
        marked_as="highest",
        hint="60 °C or below, unless your teacher says otherwise.",
        part=RANGE_INTERVAL_REPEATS,
    ),
    Question(
        METHOD,
        "interval",
        "Interval between temperatures, with its unit",
        TEMPERATURE,
        right.interval,
        hint="The gap between one temperature and the next.",
        part=RANGE_INTERVAL_REPEATS,
    ),
    Question(
        METHOD,
        "repeats",
        "Number of drops at each temperature",
        COUNT,
        right.repeats,
        hint="Enough to see how far readings spread, and to notice a slip.",
        part=RANGE_INTERVAL_REPEATS,
    ),
    *_AXES,
    Question(
        CONCLUSION,
        "relationship",
        "How does the rebound height change as the temperature rises?",
        SENTENCES,
        right.relationship,
        room=Room(4, 7),
        hint="Say which way it changes, and by about how much for each step of temperature.",
        own_work=right.own_means,
    ),
    Question(
        CONCLUSION,
        "shape",
        "Is your line straight or curved?",
        CHOICE,
        "straight",
        room=Room(paper=3),
        own_work=right.own_line,
        hint="Look at all points together with their bars, not at one point alone.",
    ),
    Question(
        CONCLUSION,
        "read off",
        "Read off your own line at the temperature named here, with its unit",
        LENGTH,
        right.read_off,
        marked_as="read-off",
        room=Room(paper=3),
        hint="Show on the graph where you read: draw the two lines that you used.",
    ),
    Question(
        CONCLUSION,
        "gradient",
        "Gradient of your line, with its unit",
        GRADIENT,
        right.gradient,
        room=Room(paper=8),
        hint="Draw a triangle on more than half of your line; for a curve, on a tangent. Write "
        "down its two sides, then divide. The unit comes from the units of both axes.",
    ),
    Question(
        EVALUATION,
        "half-range",
        "Half-range uncertainty at the temperature named here, with its unit",
        UNCERTAINTY,
        right.half_range,
        room=Room(paper=4),
        hint="Half of the range of the repeats. Give it to one significant figure.",
    ),
    Question(
        EVALUATION,
        "repeatable",
        "Are your readings repeatable?",
        CHOICE,
        right.repeatable,
        room=Room(paper=2),
        own_work=right.own_bars,
    ),
    Question(
        EVALUATION,
        "repeatable reason",
        "What makes you say so? Use your number.",
        SENTENCES,
        right.repeatable_reason,
        room=Room(3, 8),
        builds_on=("repeatable", "half-range"),
        own_work=right.own_bars,
    ),
    Question(
        EVALUATION,
        "resolution",
        "Why would more decimal places not make a better reading by eye?",
        SENTENCES,
        "The eye cannot judge a moving ball to a tenth of a millimetre.",
        room=Room(3, 8),
        frame=frames.RESOLUTION,
        hint="The last page says what resolution and uncertainty are.",
    ),
    Question(
        EVALUATION,
        "inaccuracy 1",
        "Something that made the readings inaccurate",
        SENTENCES,
        "The ball cools down between the drops.",
        room=Room(2, 3),
        hint="Say what it does to the readings; “human error” says too little.",
        part=WHAT_COULD_BE_BETTER,
        frame=frames.INACCURACY,
    ),
    Question(
        EVALUATION,
        "improvement 1",
        "What would improve it, and how",
        SENTENCES,
        "Put the ball back into the water before each drop.",
        room=Room(2, 4),
        hint="Say what you would do or use, and what that would change.",
        part=WHAT_COULD_BE_BETTER,
        builds_on=("inaccuracy 1",),
        frame=frames.IMPROVEMENT,
    ),
    Question(
        EVALUATION,
        "inaccuracy 2",
        "Something else that made the readings inaccurate",
        SENTENCES,
        "My eye was not level with the ball at the top of its bounce.",
        room=Room(2, 3),
        part=WHAT_COULD_BE_BETTER,
        frame=frames.INACCURACY,
        builds_on=("inaccuracy 1",),
    ),
    Question(
        EVALUATION,
        "improvement 2",
        "What would improve that, and how",
        SENTENCES,
        "Kneel so that the eye is at the level of the bounce.",
        room=Room(2, 4),
        part=WHAT_COULD_BE_BETTER,
        builds_on=("inaccuracy 2",),
        frame=frames.IMPROVEMENT,
    ),
    Question(
        ENERGY,
        "height before",
        "Height of the ball before it falls, in metres",
        METRES,
        right.height_before,
        marked_as="height-before",
    ),
    Question(
        ENERGY,
        "height after",
        "Mean rebound height at the temperature named here, in metres",
        METRES,
        right.height_after,
        marked_as="height-after",
        hint="Metres, not centimetres.",
    ),
    Question(
        ENERGY,
        "energy before",
        "Gravitational potential energy before the fall, with its unit",
        JOULES,
        right.joules("before_j"),
        marked_as="before",
        room=Room(paper=3),
    ),
    Question(
        ENERGY,
        "energy after",
        "Gravitational potential energy after the bounce, with its unit",
        JOULES,
        right.joules("after_j"),
        marked_as="after",
        room=Room(paper=3),
    ),
    Question(
        ENERGY,
        "energy transferred",
        "Energy transferred to the surroundings, with its unit",
        JOULES,
        right.joules("transferred_j"),
        marked_as="transferred",
        room=Room(paper=2),
    ),
    Question(
        ENERGY,
        "where it went",
        "Where did that energy go?",
        SENTENCES,
        "It went into the thermal energy store of the ball and the floor.",
        room=Room(3, 3),
        frame=frames.WHERE_IT_WENT,
        hint="Energy is never used up: say where it is stored now, and how it got there.",
    ),
    Question(
        ENERGY,
        "efficiency",
        "Efficiency of the bounce, as a percentage",
        PERCENTAGE,
        right.efficiency,
        room=Room(paper=3),
        hint="The useful share of the energy that there was to begin with.",
    ),
)

QUESTIONS_OF: Mapping[str, tuple[Question, ...]] = MappingProxyType(
    {
        page: tuple(question for question in _REGISTRY if question.page == page)
        for page in (HAZARDS, METHOD, TABLE, GRAPH, CONCLUSION, EVALUATION, ENERGY)
    }
)
"""Each page of the book that is marked, in its order, with its questions in theirs."""

ANSWERED: Mapping[tuple[str, str], Question] = MappingProxyType(
    {(question.page, question.name): question for question in _REGISTRY if question.page != GRAPH}
)
"""By page and name the questions whose answers are kept as answers; an axis is kept as an axis."""
