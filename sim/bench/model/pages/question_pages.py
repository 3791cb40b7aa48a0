"""The pages of questions: one mechanism, fed by the marking's registry of questions.

What stands here is what a page has beside its questions: how to go about it, and what to look at;
nothing that would answer them. So the cautions of hot water stand on the rough page, and the page
of the evaluation says what can be tried at the bench when the worked steps are shown.
There the two ways of the practical come side by side: the ball left to cool, and the ball put back.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from types import MappingProxyType

import numpy as np

from analysis.marking.questions import (
    CONCLUSION,
    ENERGY,
    EVALUATION,
    HAZARDS,
    METHOD,
    RANGE_INTERVAL_REPEATS,
)
from analysis.marking.work import TRIES_FOR_THE_STEP
from analysis.paper.cautions import LOCAL_RULES
from analysis.quantity.units import grams, kelvin, metres
from analysis.readings.sets import RepeatTable, heights_table
from analysis.statistics.energy import GRAVITY_N_PER_KG
from sim.bench.model.desk import Desk, Step, by_hand
from sim.bench.model.pages.book_page import (
    FEEDBACK,
    QUESTION,
    BookPage,
    feedback_blocks,
    field_name,
    gone_on,
    plan_blocks,
    question_box,
    question_fields,
    questions_of,
    unkept_answers,
    written_table,
)
from sim.bench.model.pages.graph_page import shown_graph
from sim.bench.model.pages.sentence_frames import frame_blocks, frame_buttons
from sim.bench.ui.blocks import Block, ButtonBox, Words
from sim.marking import named_temperature, sets_of
from sim.state import RoughReading

Blocks = Callable[[Desk], tuple[Block, ...]]
NAMED = "The temperature named for you: {}."
NOT_YET = "The book names a temperature as soon as one has two readings on your rough page."
IF_ANOTHER = " (if you see another)"
"""Said of a part of the page that nobody has to answer."""


def question_page(
    page: str,
    how: Words,
    given: Blocks = lambda _: (),
    foot: Blocks = lambda _: (),
    under: Mapping[str, str] = MappingProxyType({}),
    below: tuple[Block, ...] = (),
) -> BookPage:
    """A page of questions: how to go about them, what is given for them, and its foot below.

    `under` has words for under the headings of its parts; `below` stands below the questions,
    before the button for feedback.
    """

    def blocks(desk: Desk) -> tuple[Block, ...]:
        asked = (*_asked(desk, page, under), *below, *feedback_blocks(desk, page))
        return (Words(page, "title"), how, *given(desk), *asked, *foot(desk))

    def returned(desk: Desk, name: str) -> Step:
        return gone_on(desk, page, name, last=field_name(page, FEEDBACK))

    return BookPage(
        page,
        blocks,
        lambda state: question_fields(state, page),
        lambda desk: unkept_answers(desk, page),
        {},
        returned,
        rewritten=frame_buttons(page),
    )


def _asked(desk: Desk, page: str, under: Mapping[str, str]) -> Iterator[Block]:
    """The questions in their parts, with the temperature where one asks about it first."""
    part, named = "", False
    for asked in questions_of(page):
        if asked.part not in ("", part):
            part = asked.part
            yield Words(part + (IF_ANOTHER if asked.optional else ""), "part")
            if part in under:
                yield Words(under[part], "note")
        if asked.names_temperature and not named:
            named = True
            yield _named(desk)
        yield question_box(desk, asked)
        yield from frame_blocks(desk, asked)


def _named(desk: Desk) -> Words:
    """The temperature that the book picks, in a sentence."""
    temperature = named_temperature(desk.state)
    return Words(NAMED.format(temperature.replace(" ", "\u00a0")) if temperature else NOT_YET)


HAZARDS_PAGE = question_page(
    HAZARDS,
    Words(
        "Before you begin, name at least two hazards of this practical. Say for each what "
        "could happen, and what you do so that it does not."
    ),
    below=(
        Words(
            f"{LOCAL_RULES} This bench is no substitute for a supervised practical. The usual "
            "cautions stand on the page of rough readings.",
            "note",
        ),
    ),
)

PLAN = (
    "You may change your mind at the bench; say so here as well. Your plan is compared with what "
    "you did."
)
METHOD_PAGE = question_page(
    METHOD,
    Words(f"Plan before you pour. {QUESTION}", "note"),
    plan_blocks,
    under={RANGE_INTERVAL_REPEATS: PLAN},
)

CONCLUSION_PAGE = question_page(
    CONCLUSION,
    Words(
        "Look at your graph. In a sentence, name both quantities and say which way they go "
        "together; then by how much, degree by degree.",
        "note",
    ),
    foot=shown_graph,
)

GIVEN = "Mass of the ball: {:.0f} g. Gravitational field strength: {} N/kg."
ENERGY_PAGE = question_page(
    ENERGY,
    Words(
        "Work with the mean rebound height at one temperature. Show each value with its unit; "
        "heights go into the formula in metres.",
        "note",
    ),
    lambda desk: (Words(GIVEN.format(grams(desk.state.ball.mass_kg), GRAVITY_N_PER_KG)),),
    foot=lambda desk: written_table(desk.state.book),
)

TRY = by_hand(
    "Much of what you suggest can be tried at once at the bench; [F1|Help] says what can be done "
    "there. Write the new readings on the rough page as before."
)
SUGGESTED = by_hand(
    "These can be tried: put the ball back into the water before each drop[ (B, V)|]; soak it "
    "longer, or in the bath, which does not cool; dry it with the towel[ (T)|]; bring "
    "your eye to the level of the bounce[ (Page ↑ ↓)|]; read from the camera[ (K)|]."
)
LEFT_ONLY = (
    "To see what putting the ball back does, take repeats both ways at the same temperatures: "
    "drops one after another, and drops with the ball put back into the water before each. "
    "The two sets then stand side by side here."
)
DEMONSTRATE = field_name(EVALUATION, "demonstrate")
FOR_THE_CLASS = (
    "Two ways of doing the practical, for a whole class to see (Ctrl+D). It shows true values of "
    "another one, and asks before it does."
)


def _evaluation_foot(desk: Desk) -> tuple[Block, ...]:
    return (
        Words("Try an improvement", "part"),
        Words(desk.worded(TRY)),
        *(
            _suggested(desk)
            if desk.state.book.tries.get(EVALUATION, 0) >= TRIES_FOR_THE_STEP
            else ()
        ),
        *_compared(desk),
        *written_table(desk.state.book),
        *(() if desk.in_browser else _for_the_teacher()),
    )


def _for_the_teacher() -> tuple[Block, ...]:
    """The demonstration is part of the installed program, not of a page in a browser."""
    return (
        Words("For the teacher", "part"),
        Words(FOR_THE_CLASS, "note"),
        ButtonBox(DEMONSTRATE, "Demonstrate it"),
    )


def _suggested(desk: Desk) -> tuple[Block, ...]:
    """What can be tried, once the worked steps may say as much."""
    return (Words(desk.worded(SUGGESTED)), Words(LEFT_ONLY))


def _compared(desk: Desk) -> tuple[Block, ...]:
    """Both sets side by side once there are both."""
    found = side_by_side(desk.state.rough)
    if not found:
        return ()
    return (Words("Both sets side by side", "part"), *(Words(text) for text in found))


NOT_HERE = "This page cannot hold the two ways together: your teacher's program does."
LEAST = 2
"""Repeats of one way at one temperature that can be held against the other."""


@lru_cache(maxsize=4)
def side_by_side(rough: tuple[RoughReading, ...]) -> tuple[str, ...]:
    """What the analysis says of both ways; nothing until both have repeats at one temperature."""
    standing = tuple(line for line in rough if line.struck_out is None)
    left, back = parted(standing)
    if not any(temperature_k in back for temperature_k in left):
        return ()
    try:
        # The analysis comes with the first two sets to hold together; no frame waits for it before.
        from analysis.report.contrast_sentences import contrast_sentences
        from analysis.statistics.two_procedures import contrast
    except ImportError:  # a browser's Python has not the libraries that this takes
        return (NOT_HERE,)

    places = max(line.decimal_places for line in standing)
    found = contrast(_table(left), _table(back), float(metres(10.0**-places)))
    return contrast_sentences(found)


def parted(lines: tuple[RoughReading, ...]) -> tuple[dict[float, list[float]], ...]:
    """Which heights in metres, by temperature in kelvin, are of a ball left to cool and put back.

    A drop right after another, without the water between, is of a ball left to cool, and so
    is the drop that began that run. Every other reading is of a ball put back. A way counts
    at a temperature where it has repeats.
    """
    left: dict[float, list[float]] = {}
    back: dict[float, list[float]] = {}
    set_of = {at: one for one in sets_of(lines) for at in one.standing}
    reheated = [line.drop.reheated for line in lines]
    for at, line in enumerate(lines):
        runs_on = at + 1 in set_of and set_of[at + 1] is set_of[at] and not reheated[at + 1]
        way = left if runs_on or not reheated[at] else back
        way.setdefault(float(kelvin(set_of[at].temperature_c)), []).append(line.height_m)
    return tuple({k: h for k, h in way.items() if len(h) >= LEAST} for way in (left, back))


def _table(heights_m: dict[float, list[float]]) -> RepeatTable:
    temperatures_k = sorted(heights_m)
    rows = heights_table([heights_m[k] for k in temperatures_k])
    return RepeatTable(np.array(temperatures_k), rows)


EVALUATION_PAGE = replace(
    question_page(
        EVALUATION,
        Words("How good are your readings? Use numbers from your own table.", "note"),
        foot=_evaluation_foot,
    ),
    buttons={DEMONSTRATE: lambda desk: Step(replace(desk, demonstrating=True))},
)
