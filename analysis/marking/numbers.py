"""Numeric answers: the plan, what was taken from the own graph, half-range, energy.

Each file states its tolerance rules: `plan`, `line_answers`, `half_range`, `energy_answers`; how
value, unit and earlier slips share the marks stands in `judging`, how answers are read in `answer`.

The plan of the Method page against what was done.

Rule: the lowest and highest temperature and each step between neighbours lie within half the
planned interval of what was planned (5 °C where no interval can be read): nearer to it than to
the next step. At every temperature there are at least as many drops as planned, struck-out ones
counted. "Done" is the rough page, or the own table where there is none.

Answers taken from the own graph: a read-off and the gradient.

Rules. Read-off: within half a small square, along the height axis, of the own line at the
temperature named. Gradient: that of the own straight line; two readings of a height, each half a
small square off, over a triangle of half the points' span may lie between, and rounding to two
significant figures. Rounding: a read-off has no more decimal places than half a small square
needs, a gradient no more than three significant figures. The line is the student's own, whatever
its faults: those have cost their marks on the graph.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from analysis.marking.energy_answers import mark_energy
from analysis.marking.half_range import mark_half_range
from analysis.marking.judging import Asked, Expected, given, judge
from analysis.marking.own_graph import OwnGraph, in_unit, own_graph, unit_of
from analysis.marking.own_table import OwnTable, ReadingSet, own_table, reading_sets, to_school
from analysis.marking.questions import CONCLUSION, METHOD
from analysis.marking.remark import Criterion, Remark, listed
from analysis.marking.study import Study
from analysis.marking.work import Work
from analysis.quantity.text import fixed, plain, significant, significant_places
from analysis.quantity.units import KIND_OF
from analysis.quantity.written import Given, decimals_needed, read_answer

LOWEST = Criterion(METHOD, "method.lowest", "The lowest temperature is the one planned.")
HIGHEST = Criterion(METHOD, "method.highest", "The highest temperature is the one planned.")
INTERVAL = Criterion(METHOD, "method.interval", "The temperatures are spaced as planned.")
REPEATS = Criterion(METHOD, "method.repeats", "Each temperature has the drops planned.")
UNITS = Criterion(METHOD, "method.units", "Range and interval of the plan carry their unit.")
ALL = (LOWEST, HIGHEST, INTERVAL, REPEATS, UNITS)
_QUESTIONS = ("lowest temperature", "highest temperature", "interval")
_USUAL_INTERVAL_C = 10.0


def mark_plan(work: Work) -> tuple[Remark, ...]:
    """Mark the numbers of the plan."""
    sets = reading_sets(work)
    planned = {name: _planned(work, name) for name in _QUESTIONS}
    interval = planned["interval"]
    allowed = (interval.number if interval and interval.number > 0 else _USUAL_INTERVAL_C) / 2
    temperatures = [one.temperature_c for one in sets]
    ends = (temperatures[:1], temperatures[-1:])
    steps = [float(step) for step in np.diff(temperatures)] if len(temperatures) > 1 else []
    compared = (
        _compared(LOWEST, work, "lowest temperature", (list(ends[0]), allowed)),
        _compared(HIGHEST, work, "highest temperature", (list(ends[1]), allowed)),
        _compared(INTERVAL, work, "interval", (steps, allowed)),
    )
    return (*compared, _repeats(work, sets), _units(work, planned))


def _planned(work: Work, name: str) -> Given | None:
    return read_answer(work.answers.get((METHOD, name), ""), "temperature")


def _compared(
    criterion: Criterion, work: Work, name: str, done: tuple[list[float], float]
) -> Remark:
    values, allowed = done
    text = work.answers.get((METHOD, name), "").strip()
    if not text:
        return criterion.missing("The plan does not say this yet.")
    planned = _planned(work, name)
    if planned is None or not values:
        return criterion.teacher("The plan cannot be compared with readings here.", text)
    off = [value for value in values if abs(value - planned.number) > allowed + 1e-9]
    if not off:
        return criterion.right(text)
    did = listed([f"{plain(value, 1)} °C" for value in off])
    return criterion.wrong(
        f"'{name}'",
        f"What was done differs from the plan in its {name}: change the plan, or say why.",
        f"The plan says {text}; the readings say {did}.",
        text,
    )


def _repeats(work: Work, sets: tuple[ReadingSet, ...]) -> Remark:
    text = work.answers.get((METHOD, "repeats"), "").strip()
    if not text:
        return REPEATS.missing("The plan does not say this yet.")
    planned = read_answer(text, "count")
    if planned is None or not sets:
        return REPEATS.teacher("The plan cannot be compared with readings here.", text)
    drops = {one.temperature_c: len(one.standing_cm) + len(one.struck_out_cm) for one in sets}
    few = {temperature: count for temperature, count in drops.items() if count < planned.number}
    if not few:
        return REPEATS.right(text)
    where = listed([f"{plain(temperature, 1)} °C" for temperature in few])
    did = listed([f"{count} at {plain(temperature, 1)} °C" for temperature, count in few.items()])
    return REPEATS.wrong(
        "'repeats'",
        f"At {where} there are fewer drops than the plan asks for.",
        f"The plan says {text}; there are {did}.",
        text,
    )


def _units(work: Work, planned: dict[str, Given | None]) -> Remark:
    texts = {name: work.answers.get((METHOD, name), "").strip() for name in _QUESTIONS}
    if not any(texts.values()):
        return UNITS.missing("The plan does not say this yet.")
    read = {name: one for name, one in planned.items() if one}
    without = [name for name, one in read.items() if one.factor is None and texts[name]]
    if without:
        where = listed([f"'{name}'" for name in without])
        nudge = f"The unit is missing, or is none of temperature, in {where}."
        return UNITS.wrong(where, nudge, "The unit is °C.", *(texts[name] for name in without))
    if not read:
        return UNITS.teacher("No single number can be read from the plan.", *texts.values())
    return UNITS.right(*(text for text in texts.values() if text))


READ_OFF = Asked(
    (CONCLUSION, "read off"),
    "length",
    "cm",
    Criterion(CONCLUSION, "conclusion.read-off", "The value is read off the own line."),
    Criterion(CONCLUSION, "conclusion.read-off-unit", "The value read off has its unit."),
)
GRADIENT = Asked(
    (CONCLUSION, "gradient"),
    "gradient",
    "cm",
    Criterion(CONCLUSION, "conclusion.gradient", "The gradient is that of the own line."),
    Criterion(CONCLUSION, "conclusion.gradient-unit", "The gradient has its unit."),
)
ROUNDING = Criterion(
    CONCLUSION, "conclusion.rounding", "The answers claim no more figures than the graph gives."
)
MOST_FIGURES = 3


@dataclass(frozen=True)
class _Lines:
    """The own graph's line in cm and °C: `up_cm` is a small square's worth of height."""

    graph: OwnGraph
    temperature_unit: str
    height_unit: str

    def cm(self, height: float) -> float:
        return to_school(height, self.height_unit)

    @property
    def up_cm(self) -> float:
        return self.cm(self.graph.height.small_square)

    def at_cm(self, temperature_c: float) -> float:
        at = in_unit(temperature_c, self.temperature_unit)
        height = float(self.graph.line_at(at))
        return self.cm(height) if math.isfinite(height) else math.nan

    @property
    def gradient_cm_per_c(self) -> float:
        per_c = 9 / 5 if self.temperature_unit == "°F" else 1.0
        gradient = self.graph.gradient
        return self.cm(gradient) * per_c if math.isfinite(gradient) else math.nan

    @property
    def span_c(self) -> float:
        across = self.graph.fitted[:, 0]
        across = across if len(across) else self.graph.line[:, 0]
        return float(np.ptp(across)) / (9 / 5 if self.temperature_unit == "°F" else 1.0)


def mark_line_answers(work: Work) -> tuple[Remark, ...]:
    """Mark read-off, gradient and their rounding."""
    lines = _lines(work, own_table(work))
    return (
        *judge(work, READ_OFF, _read_off(work, lines)),
        *judge(work, GRADIENT, _gradient(lines)),
        _rounding(work, lines),
    )


def _lines(work: Work, table: OwnTable) -> _Lines | None:
    graph = own_graph(work.graph, table) if work.graph else None
    if graph is None or len(graph.line) < 2:
        return None
    height = unit_of(graph.height, table)
    if KIND_OF.get(height) != "length":
        return None
    return _Lines(graph, unit_of(graph.temperature, table), height)


def _read_off(work: Work, lines: _Lines | None) -> Expected | None:
    temperature = Study(work).named_c
    exact = lines.at_cm(temperature) if lines and not math.isnan(temperature) else math.nan
    if lines is None or math.isnan(exact):
        return None
    allowed = lines.up_cm / 2

    def near(answer: Given, height_cm: float) -> bool:
        return abs(answer.value - height_cm) <= allowed * (1 + 1e-6)

    return Expected(
        right=(exact,),
        worked=f"Go up from {plain(temperature, 1)} °C to your line and across to the other axis: "
        f"{fixed(exact, decimals_needed(allowed))} cm.",
        near=near,
        nudge="This is more than half a small square from your own line at the temperature named: "
        "lay a ruler on the paper.",
    )


def _gradient(lines: _Lines | None) -> Expected | None:
    exact = lines.gradient_cm_per_c if lines else math.nan
    if lines is None or math.isnan(exact) or lines.span_c <= 0:
        return None
    reading = 2 * (lines.up_cm / 2) / (lines.span_c / 2)
    rounding = 0.5 * 10.0 ** -significant_places(exact, 2)

    def near(answer: Given, gradient: float) -> bool:
        return abs(answer.value - gradient) <= max(reading, rounding) + 1e-9

    low, high = (float(end) for end in np.sort(lines.graph.line[:, 0])[[0, -1]])
    return Expected(
        right=(exact,),
        worked="Rise over run of a large triangle on your line: from "
        f"{plain(low, 1)} to {plain(high, 1)} the run is {plain(high - low, 1)} and the rise "
        f"{significant(lines.graph.gradient * (high - low), 3)}, so the gradient is "
        f"{significant(exact, 2)} cm/°C.",
        slips={
            "This looks like run over rise: which of the two is divided by the other?": (1 / exact,)
            if exact
            else (),
            "The number is a hundred times off: centimetres and metres are mixed, so look at the "
            "centimetre-to-metre conversion.": (exact / 100, exact * 100),
        },
        near=near,
        nudge="This is not the gradient of your own line: take a triangle over at least half of "
        "it, and read both corners.",
    )


def _rounding(work: Work, lines: _Lines | None) -> Remark:
    read_off, gradient = given(work, READ_OFF), given(work, GRADIENT)
    if read_off is None and gradient is None:
        return ROUNDING.missing("There is no number to judge yet.")
    faults = []
    if gradient and gradient.figures > MOST_FIGURES:
        faults.append(("'gradient'", f"{MOST_FIGURES} significant figures at most"))
    if read_off and lines:
        finest = lines.up_cm / 2
        if read_off.value_step < 10.0 ** -decimals_needed(finest) * (1 - 1e-6):
            faults.append(("'read off'", f"no finer than half a small square, {finest:g} cm"))
    texts = [one.text for one in (read_off, gradient) if one]
    if not faults:
        return ROUNDING.right(*texts)
    where = listed([name for name, _ in faults])
    nudge = f"The answer to {where} claims more than a graph can be read to."
    return ROUNDING.wrong(where, nudge, " ".join(f"{n}: {rule}." for n, rule in faults), *texts)


def mark_numbers(work: Work) -> tuple[Remark, ...]:
    """Mark every numeric answer, in the order of the book."""
    return (
        *mark_plan(work),
        *mark_line_answers(work),
        *mark_half_range(work),
        *mark_energy(work),
    )
