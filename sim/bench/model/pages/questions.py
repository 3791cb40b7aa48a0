"""The page of the evaluation: uncertainty, repeatability, and improvements that can be tried.

The page of the conclusion: the relationship, and two values from the student's own line.

The page of the energy: potential energy before and after, and where the rest went.

The page of the method: the plan, in the student's own words. Nothing forces it.

The two ways of the practical side by side: ball left to cool, and ball put back.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from analysis.marking.questions import CONCLUSION, ENERGY, EVALUATION, METHOD
from analysis.quantity.units import celsius, grams, kelvin
from analysis.readings.sets import sets_of_repeats
from analysis.statistics.energy import GRAVITY_N_PER_KG
from sim.bench.model.desk import Desk, Step
from sim.bench.model.pages.answers import named, question_boxes, question_page
from sim.bench.model.pages.graph import shown_graph
from sim.bench.model.pages.page import Page, feedback_boxes, plan_boxes
from sim.bench.model.pages.table import written_table
from sim.bench.ui.blocks import Button, ButtonBox, Heading, PageBox, Paragraph
from sim.state import RoughReading

HOW_CONCLUSION = (
    "Look at your graph. Say in a sentence what happens to one quantity as the other rises, and "
    "about how much for each degree."
)
LONG_CONCLUSION = {"relationship": 4, "shape": 1}


def _conclusion_boxes(desk: Desk) -> tuple[PageBox, ...]:
    return (
        Heading(CONCLUSION),
        Paragraph(HOW_CONCLUSION, small=True),
        *question_boxes(desk, CONCLUSION, LONG_CONCLUSION, ("relationship", "shape")),
        Paragraph(named(desk)),
        *question_boxes(desk, CONCLUSION, LONG_CONCLUSION, ("read off", "gradient")),
        *feedback_boxes(desk, CONCLUSION),
        *shown_graph(desk),
    )


CONCLUSION_PAGE: Page = replace(question_page(CONCLUSION, LONG_CONCLUSION), boxes=_conclusion_boxes)

HOW_ENERGY = (
    "Work with the mean rebound height at one temperature. Show each value with its unit; heights "
    "go into the formula in metres."
)
GIVEN = "Mass of the ball: {:.0f} g. Gravitational field strength: {} N/kg."
LONG_ENERGY = {"where it went": 3}


def _energy_boxes(desk: Desk) -> tuple[PageBox, ...]:
    table = written_table(desk.state.book)
    return (
        Heading(ENERGY),
        Paragraph(HOW_ENERGY, small=True),
        Paragraph(GIVEN.format(grams(desk.state.ball.mass_kg), GRAVITY_N_PER_KG)),
        Paragraph(named(desk)),
        *question_boxes(desk, ENERGY, LONG_ENERGY),
        *feedback_boxes(desk, ENERGY),
        *((Heading("Your results table", level=2), table) if table else ()),
    )


ENERGY_PAGE: Page = replace(question_page(ENERGY, LONG_ENERGY), boxes=_energy_boxes)

HOW_METHOD = (
    "Plan before you pour. The question: how does the temperature of the ball change the height "
    "to which it rebounds?"
)
PLAN = (
    "You may change your mind at the bench; say so here as well. Your plan is compared with what "
    "you did."
)
VARIABLES = ("independent variable", "dependent variable")
CONTROLS = (("control variable 1", "reason 1"), ("control variable 2", "reason 2"))
RANGE = ("lowest temperature", "highest temperature", "interval", "repeats")
WORDS = (*VARIABLES, *(name for pair in CONTROLS for name in pair))
LONG_METHOD = {name: 2 if name.startswith("reason") else 1 for name in WORDS}


def _method_boxes(desk: Desk) -> tuple[PageBox, ...]:
    boxes: list[PageBox] = [Heading(METHOD), Paragraph(HOW_METHOD, small=True), *plan_boxes(desk)]
    boxes += question_boxes(desk, METHOD, LONG_METHOD, VARIABLES)
    boxes.append(Heading("Control variables", level=2))
    for pair in CONTROLS:
        boxes += question_boxes(desk, METHOD, LONG_METHOD, pair)
    boxes += [Heading("Range, interval, repeats", level=2), Paragraph(PLAN, small=True)]
    boxes += question_boxes(desk, METHOD, LONG_METHOD, RANGE)
    return (*boxes, *feedback_boxes(desk, METHOD))


METHOD_PAGE: Page = replace(question_page(METHOD, LONG_METHOD), boxes=_method_boxes)

LEAST = 2
"""Repeats of one way at one temperature that can be held against the other."""


class Tables(NamedTuple):
    """Readings of the two ways by temperature in kelvin, heights in metres."""

    left: dict[float, list[float]]
    back: dict[float, list[float]]


@dataclass(frozen=True)
class Grid:
    """Temperatures (T,) and heights (T, R); an `analysis.statistics.contrast.Table`."""

    temperatures_k: NDArray[np.float64]
    heights_m: NDArray[np.float64]


class Line(NamedTuple):
    """What counts of a line of the rough page."""

    temperature_k: float
    height_m: float
    reheated: bool
    decimal_places: int


def side_by_side(rough: tuple[RoughReading, ...]) -> tuple[str, ...]:
    """What the analysis says of both ways; nothing until both have repeats at one temperature."""
    return _said(
        tuple(
            Line(line.temperature_k, line.height_m, line.drop.reheated, line.decimal_places)
            for line in rough
            if line.struck_out is None
        )
    )


@lru_cache(maxsize=4)
def _said(lines: tuple[Line, ...]) -> tuple[str, ...]:
    tables = parted(lines)
    if not any(temperature_k in tables.back for temperature_k in tables.left):
        return ()
    # The analysis is imported for the first comparison; no frame waits for it before.
    from analysis.quantity.units import metres
    from analysis.report.contrast_sentences import contrast_sentences
    from analysis.statistics.contrast import contrast

    places = max(line.decimal_places for line in lines)
    found = contrast(_grid(tables.left), _grid(tables.back), float(metres(10.0**-places)))
    return contrast_sentences(found)


def parted(lines: tuple[Line, ...]) -> Tables:
    """Which readings are of which way.

    A drop right after another, without the water between, is of a ball left to cool, and so
    is the drop that began that run. Every other reading is of a ball put back. A way counts
    at a temperature where it has repeats.
    """
    left: dict[float, list[float]] = {}
    back: dict[float, list[float]] = {}
    noted_c = [float(celsius(line.temperature_k)) for line in lines]
    set_of = {at: one for one in sets_of_repeats(noted_c) for at in one.standing}
    for at, line in enumerate(lines):
        runs_on = at + 1 in set_of and set_of[at + 1] is set_of[at] and not lines[at + 1].reheated
        table = left if runs_on or not line.reheated else back
        table.setdefault(float(kelvin(set_of[at].temperature_c)), []).append(line.height_m)
    return Tables(*({k: h for k, h in way.items() if len(h) >= LEAST} for way in (left, back)))


def _grid(table: dict[float, list[float]]) -> Grid:
    """One way's readings as the contrast takes them: a row a temperature, NaN where none is."""
    temperatures_k = sorted(table)
    repeats = max(len(heights) for heights in table.values())
    rows = [table[k] + [np.nan] * (repeats - len(table[k])) for k in temperatures_k]
    return Grid(np.array(temperatures_k), np.array(rows))


HOW = "How good are your readings? Use numbers from your own table."
TRY = (
    "These can be tried at once at the bench: put the ball back into the water before each drop "
    "(B); soak it longer; dry it with the towel (T); bring your eye to the level of the bounce "
    "(Page ↑ ↓); read from the camera (K). Write the new readings on the rough page as before."
)
LEFT_ONLY = (
    "To see what putting the ball back does, take repeats both ways at the same temperatures: "
    "drops one after another, and drops with the ball put back into the water before each. "
    "The two sets then stand side by side here."
)
LONG = {
    "repeatable": 1,
    "repeatable reason": 3,
    "resolution": 3,
    "inaccuracy 1": 2,
    "improvement 1": 2,
    "inaccuracy 2": 2,
    "improvement 2": 2,
}
DEMONSTRATE = f"{EVALUATION}.demonstrate"
FOR_THE_CLASS = (
    "What putting the ball back does, for a whole class to see (Ctrl+D). It shows true values of "
    "another practical, and asks before it does."
)
NUMBERS = ("half-range", "repeatable", "repeatable reason", "resolution")
BETTER = ("inaccuracy 1", "improvement 1", "inaccuracy 2", "improvement 2")


def _boxes(desk: Desk) -> tuple[PageBox, ...]:
    table = written_table(desk.state.book)
    return (
        Heading(EVALUATION),
        Paragraph(HOW, small=True),
        Paragraph(named(desk)),
        *question_boxes(desk, EVALUATION, LONG, NUMBERS),
        Heading("What could be better", level=2),
        *question_boxes(desk, EVALUATION, LONG, BETTER),
        *feedback_boxes(desk, EVALUATION),
        Heading("Try an improvement", level=2),
        Paragraph(TRY),
        *_compared(desk),
        *((Heading("Your results table", level=2), table) if table else ()),
        Heading("For the teacher", level=2),
        Paragraph(FOR_THE_CLASS, small=True),
        ButtonBox(DEMONSTRATE, Button("Demonstrate it"), desk.focus == DEMONSTRATE),
    )


def _compared(desk: Desk) -> tuple[PageBox, ...]:
    """Both sets side by side once there are both; before that, what to do."""
    found = side_by_side(desk.state.rough)
    if not found:
        return (Paragraph(LEFT_ONLY),)
    return (Heading("Both sets side by side", level=2), *(Paragraph(text) for text in found))


QUESTIONS_ALONE = question_page(EVALUATION, LONG)


def _pressed(desk: Desk, name: str) -> Step:
    if name != DEMONSTRATE:
        return QUESTIONS_ALONE.pressed(desk, name)
    step = QUESTIONS_ALONE.kept(desk)
    return Step(replace(step.desk, demonstrating=True), step.actions)


EVALUATION_PAGE: Page = replace(QUESTIONS_ALONE, boxes=_boxes, pressed=_pressed)
