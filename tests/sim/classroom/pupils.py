"""Scripted pupils: they carry out the practical and keep the exercise book, well or with a fault.

A class of 30 of the invented Larkmere Vale School. Skill differs by reader, procedure and repeats.
"""

from dataclasses import dataclass, replace

from analysis.marking.questions import CONCLUSION, ENERGY, EVALUATION, HAZARDS, METHOD
from analysis.marking.work import Verdict
from physics.reading import CAREFUL, HURRIED
from sim import actions as act
from sim.classroom.class_key import record_name, setup_for
from sim.marking import work_of
from sim.procedure import Procedure
from sim.student import perform
from tests.analysis.marking.right_work import (
    Style,
    right_work,
    with_answers,
    with_axis,
    with_cells,
    with_graph,
)
from tests.sim.recorded import content, timed
from tests.sim.steps import replay

WRITTEN = {
    (HAZARDS, "hazard 1"): "hot water",
    (HAZARDS, "risk 1"): "it scalds the skin",
    (HAZARDS, "control 1"): "use tongs above 50 °C",
    (METHOD, "independent variable"): "the temperature of the ball",
    (METHOD, "dependent variable"): "the rebound height",
    (METHOD, "control variable 1"): "the drop height",
    (METHOD, "reason 1"): "from higher up the ball has more energy and bounces higher",
    (CONCLUSION, "relationship"): "As the temperature increases, the rebound height increases.",
    (CONCLUSION, "shape"): "straight",
    (EVALUATION, "inaccuracy 1"): "the ball cools down between the drops",
    (EVALUATION, "improvement 1"): "put the ball back into the water before each drop",
    (ENERGY, "where it went"): "into the thermal energy store of the ball and the surroundings",
}
SKILLS = (
    Procedure(observer=CAREFUL),
    Procedure(observer=CAREFUL, reheat=True),
    Procedure(observer=HURRIED),
    Procedure(observer=HURRIED, reheat=True),
    Procedure(observer=CAREFUL, soak_s=300.0),
)


FAULTS = {
    "table.heading-unit": lambda w: with_cells(w, {(0, 0): "temperature"}),
    "table.cell-unit": lambda w: with_cells(w, {(3, 0): w.cells[3, 0] + " °C"}),
    "table.heading-quantity": lambda w: with_cells(w, {(0, 1): "h / cm"}),
    "table.rows": lambda w: with_cells(w, {at: None for at in w.cells if at[0] == 3}),
    "table.mean": lambda w: with_cells(w, {(4, max(c for _, c in w.cells)): "12.3"}),
    "graph.scale": lambda w: with_axis(w, "across", large_square=7.0),
    "graph.crosses": lambda w: with_graph(
        w, crosses=((w.graph.crosses[0][0], w.graph.crosses[0][1] + 9.0), *w.graph.crosses[1:])
    ),
    "graph.labels": lambda w: with_axis(w, "up", title="height"),
    "conclusion.gradient": lambda w: with_answers(w, CONCLUSION, gradient="7.7 cm/°C"),
    "conclusion.relationship": lambda w: with_answers(
        w, CONCLUSION, relationship="As the temperature increases, the rebound height decreases."
    ),
}
"""A fault for each criterion that it costs."""


@dataclass(frozen=True)
class Practical:
    """A pupil's bench and everything done at it; `end` where it is known already."""

    setup: object
    label: str
    actions: tuple
    end: object = None


def performed(setup, label, procedure):
    done = perform(setup, procedure)
    return Practical(setup, label, done.actions, done.end)


def end_of(practical):
    return practical.end or replay(practical.setup, practical.actions)


def with_book(practical, spoil=lambda work: work):
    """The practical with its book filled in from its own readings."""
    work = work_of(end_of(practical))
    heights = {}
    for reading in work.rough:
        heights.setdefault(reading.temperature_c, []).append(reading.height_cm)
    places = work.rough[0].decimal_places
    book = right_work(
        {int(t): tuple(h) for t, h in heights.items()}, Style(places=places, mean_places=places)
    )
    book = replace(book, answers={**book.answers, **WRITTEN})
    actions = (*practical.actions, *book_acts(spoil(book)))
    return replace(practical, actions=actions, end=None)


def book_acts(work):
    yield from (act.WriteCell(row, column, text) for (row, column), text in work.cells.items())
    for which, axis in work.graph.axes.items():
        yield act.SetAxis(which, axis.title, axis.start, axis.large_square)
    yield from (act.PlotPoint(*cross) for cross in work.graph.crosses)
    yield act.LayLine(work.graph.line)
    yield from (act.WriteAnswer(*question, text) for question, text in work.answers.items())


def record_bytes(practical):
    """The record as the bench writes it."""
    acts = timed(practical.setup, practical.actions)
    return content(acts, practical.setup, practical.label)


def noting(practical, heights_m):
    """The same practical with other heights noted: copied from a neighbour's rough page."""
    left = list(heights_m)
    acts = [
        act.NoteReading(a.temperature_k, left.pop(0), decimal_places=a.decimal_places)
        if isinstance(a, act.NoteReading)
        else a
        for a in practical.actions
    ]
    return replace(practical, actions=tuple(acts), end=None)


@dataclass(frozen=True)
class HandedIn:
    """A class's folder, and what was planted in it."""

    planted: dict
    copies: set


def hand_in(key, folder):
    """A class of 30: ten faults at 1 to 10, 12 hands in 13's file, 14 notes 15's readings."""
    folder.mkdir(parents=True, exist_ok=True)
    benches = {n: bench(key, n) for n in range(1, 31)}
    heights_m = [line.height_m for line in end_of(benches[15]).rough]
    benches[14] = noting(benches[14], heights_m)
    spoils = dict(enumerate(FAULTS.values(), start=1))
    for number, practical in benches.items():
        done = with_book(practical, spoils.get(number, lambda work: work))
        (folder / record_name(key, number)).write_bytes(record_bytes(done))
    renamed = (folder / record_name(key, 13)).read_bytes()
    (folder / record_name(key, 12)).write_bytes(renamed)
    return HandedIn(dict(enumerate(FAULTS, start=1)), {(12, 13), (14, 15)})


def bench(key, number):
    """A student's practical before the book; 14 and 15 follow one plan."""
    plan = SKILLS[(15 if number == 14 else number) % len(SKILLS)]
    return performed(setup_for(key, number), key.names[number - 1], plan)


def wrong_criteria(student):
    return {r.criterion for r in student.feedback.remarks if r.verdict is Verdict.WRONG}
