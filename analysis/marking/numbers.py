"""Numeric answers: how one is judged, the plan, what the own line gives, and the half-range.

A number is judged against the right value, then against what the student's own earlier answers
give. It has up to two criteria, its value and its unit: a number that fits in the unit asked for,
but carries another unit or none, is right in value and loses the unit's mark; so the unit is never
paid for twice. The answers of the Energy page, which build on each other, stand in
`energy_answers`.

The plan against what was done. Rule: the lowest and highest temperature and each step between
neighbours lie within half the planned interval of what was planned (5 °C where no interval can be
read): nearer to it than to the next step. The steps on the whole are within a quarter of the
planned one: 20 °C planned and 15 °C done is another interval. At every temperature at which a
reading stands there are at least as many drops as planned. Readings that were struck out count for
the plan, never against it. "Done" is the rough page, or the own table where there is none.

From the own line. Read-off: within half a small square, along the height axis, of the own line at
the temperature named. Gradient: that of the own straight line; two readings of a height, each half
a small square off, over a triangle of half the points' span may lie between, and rounding to two
significant figures. Rounding: a read-off has no more decimal places than half a small square
needs, a gradient no more than three significant figures. The line is the student's own, whatever
its faults: those have cost their marks on the graph.

The half-range uncertainty at the temperature named: half of the range of the readings that stand,
rounded half up to the places it is written to; where all the repeats agree, 0 or half a unit of the
readings' last place. It has at most one decimal place more than the readings. The readings are
those of the rough page; those of the own table, if miscopied, are carried, and so is a range that
keeps a struck-out reading which the own mean keeps too.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from analysis.marking.question import Question
from analysis.marking.questions import ANSWERED, CONCLUSION, EVALUATION, METHOD
from analysis.marking.study import Study
from analysis.marking.work import Criterion, Remark, listed
from analysis.quantity.units import fixed, plain, rounded, significant, significant_places
from analysis.quantity.written import Given, decimals_needed, read_answer, rounds_to

Range = tuple[float, float]
Near = Callable[[Given, float], bool]
_NOT_READ = "No single number can be read from this answer, so it cannot be marked here."


@dataclass(frozen=True)
class Expected:
    """What an answer may be, in the unit asked for.

    `right` follow from the readings, `own` from the student's own earlier answers; `slips` are
    values that give a known slip away, by the nudge that names it. `near` is the tolerance rule.
    The ranges hold what follows from earlier answers whatever was rounded off them; an answer
    fits if it is the rounding of a value in the range.
    """

    right: tuple[float, ...]
    worked: str
    nudge: str
    own: tuple[float, ...] = ()
    right_range: Range | None = None
    own_range: Range | None = None
    slips: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    near: Near = rounds_to


@dataclass(frozen=True)
class Asked:
    """A question that is answered by a number, and the criteria of its value and its unit."""

    question: Question
    value: Criterion
    with_unit: Criterion | None = None

    @property
    def where(self) -> str:
        """The question as a remark names it."""
        return f"'{self.question.name}'"

    def given(self, study: Study) -> Given | None:
        """The answer, read; None where it is blank or cannot be read."""
        page, name, kind = self.question.page, self.question.name, self.question.answer.quantity
        text = study.answer(page, name)
        return read_answer(text, kind, self.question.answer.unit) if text and kind else None


def asked(page: str, name: str, asks: str, with_unit: str = "") -> Asked:
    """A question of the registry, what its value has to be, and what has to have its unit."""
    question = ANSWERED[page, name]
    asks_unit = f"The {with_unit} has its unit."
    return Asked(
        question,
        Criterion(page, question.criterion, asks, question=name),
        Criterion(page, f"{question.criterion}-unit", asks_unit, question=name)
        if with_unit
        else None,
    )


def judge(study: Study, asked: Asked, expected: Expected | None) -> tuple[Remark, ...]:
    """Remarks on value and unit; `expected` is None where there is nothing to compare with."""
    text = study.answer(asked.question.page, asked.question.name)
    criteria = [one for one in (asked.value, asked.with_unit) if one]
    if not text:
        return tuple(one.missing("This question is not answered yet.") for one in criteria)
    answer = asked.given(study)
    if answer is None:
        return tuple(one.teacher(_NOT_READ, text) for one in criteria)
    if expected is None:
        said = "There is nothing in the work to hold this answer against."
        value = asked.value.teacher(said, text)
    else:
        value, answer = _value(asked, answer, expected)
    return (value, _unit(asked, answer)) if asked.with_unit else (value,)


def _value(asked: Asked, answer: Given, expected: Expected) -> tuple[Remark, Given]:
    """The remark on the value, and the answer with its unit crossed out where it does not fit."""
    bare = replace(answer, factor=None)
    readings: tuple[Given, ...] = (answer, bare)
    if not asked.with_unit:
        # A height asked for in metres must be in metres: "100 cm" and "1.00 cm" earn nothing.
        readings = (bare,) if answer.factor in (None, 1.0) else ()
    for one in readings:
        if _fits(one, expected.right, expected.right_range, expected.near):
            return asked.value.right(answer.text), one
    for one in readings:
        if _fits(one, expected.own, expected.own_range, expected.near):
            said = "This follows from an earlier slip, which has been marked there."
            return asked.value.carried(said, answer.text), one
    for name, values in expected.slips.items():
        if any(expected.near(one, value) for one in (answer, bare) for value in values):
            return _wrong(asked, answer, name, expected.worked), answer
    return _wrong(asked, answer, expected.nudge, expected.worked), answer


def _fits(answer: Given, values: tuple[float, ...], within: Range | None, near: Near) -> bool:
    if any(near(answer, value) for value in values):
        return True
    half = answer.value_step / 2 * (1 + 1e-9)
    return within is not None and within[0] - half <= answer.value <= within[1] + half


def _wrong(asked: Asked, answer: Given, nudge: str, worked: str) -> Remark:
    return asked.value.wrong(asked.where, nudge, worked, answer.text)


def _unit(asked: Asked, answer: Given) -> Remark:
    assert asked.with_unit is not None
    if answer.factor is not None:
        return asked.with_unit.right(answer.text)
    nudge = "The number has no unit: a number of what?"
    if answer.unit_text:
        nudge = f"'{answer.unit_text}' does not go with this number: what is it measured in?"
    unit = asked.question.answer.unit
    if asked.question.answer.quantity == "gradient":
        unit = f"{unit}/°C"
    return asked.with_unit.wrong(asked.where, nudge, f"The unit here is {unit}.", answer.text)


_PLANNED = (
    asked(METHOD, "lowest temperature", "The lowest temperature is the one planned."),
    asked(METHOD, "highest temperature", "The highest temperature is the one planned."),
    asked(METHOD, "interval", "The temperatures are spaced as planned."),
)
_REPEATS = asked(METHOD, "repeats", "Each temperature has the drops planned.")
_PLAN_UNITS = Criterion(METHOD, "method.units", "Range and interval of the plan carry their unit.")
_USUAL_INTERVAL_C = 10.0
_OTHER_INTERVAL, _DUST_C = 0.25, 1e-9
"""From this share of the planned interval on, the steps are those of another. Ours, no source."""
_NOTHING_TO_ROUND = "There is no number yet whose rounding could be judged."
_UNPLANNED = "The plan does not say this yet."
_NOTHING_DONE = "The plan cannot be compared with readings here."


def mark_plan(study: Study) -> tuple[Remark, ...]:
    """Mark the numbers of the plan: range and interval, repeats, units."""
    interval = _PLANNED[2].given(study)
    allowed = (interval.number if interval and interval.number > 0 else _USUAL_INTERVAL_C) / 2
    sets = (study.standing_sets, study.sets)
    done = zip(*(_range_done([one.temperature_c for one in each]) for each in sets), strict=True)
    compared = (
        _compared(study, one, [values for values in ways if values], allowed)
        for one, ways in zip(_PLANNED, done, strict=True)
    )
    return (*compared, _repeats(study), _plan_units(study))


def _keeps(planned_c: float, done_c: list[float], allowed_c: float) -> bool:
    """Whether each value that was done is near enough to the planned one."""
    return all(abs(value - planned_c) <= allowed_c + _DUST_C for value in done_c)


def _is_interval(planned_c: float, steps_c: list[float]) -> bool:
    """Whether the steps on the whole are those of the planned interval."""
    off_c = abs(sum(steps_c) / len(steps_c) - planned_c)
    return off_c < planned_c * _OTHER_INTERVAL - _DUST_C


def _range_done(sets_c: list[float]) -> tuple[list[float], list[float], list[float]]:
    """Lowest and highest temperature, and the steps between neighbours, in °C."""
    return sets_c[:1], sets_c[-1:], [float(step) for step in np.diff(sets_c)]


def _compared(study: Study, one: Asked, done: list[list[float]], allowed: float) -> Remark:
    """The plan beside what was done: the sets that stand first, then all of them."""
    text = study.answer(METHOD, one.question.name)
    if not text:
        return one.value.missing(_UNPLANNED)
    planned = one.given(study)
    if planned is None or not done:
        return one.value.teacher(_NOTHING_DONE, text)
    kept = [values for values in done if _keeps(planned.number, values, allowed)]
    if one is _PLANNED[2]:
        kept = [steps for steps in kept if _is_interval(planned.number, steps)]
    if kept:
        return one.value.right(text)
    did = listed([f"{plain(value, 1)} °C" for value in done[0]])
    return one.value.wrong(
        one.where,
        f"What was done differs from the plan in its {one.question.name}: change the plan, or say "
        "why.",
        f"The plan says {text}; the readings say {did}.",
        text,
    )


def _repeats(study: Study) -> Remark:
    criterion, text = _REPEATS.value, study.answer(METHOD, "repeats")
    if not text:
        return criterion.missing(_UNPLANNED)
    planned = _REPEATS.given(study)
    if planned is None or not study.standing_sets:
        return criterion.teacher(_NOTHING_DONE, text)
    few = [
        (f"{plain(one.temperature_c, 1)} °C", one.drops)
        for one in study.standing_sets
        if one.drops < planned.number
    ]
    if not few:
        return criterion.right(text)
    where = listed([temperature for temperature, _ in few])
    did = listed([f"{count} at {temperature}" for temperature, count in few])
    return criterion.wrong(
        _REPEATS.where,
        f"At {where} there are fewer drops than the plan asks for.",
        f"The plan says {text}; there are {did}.",
        text,
    )


def _plan_units(study: Study) -> Remark:
    texts = {one.where: study.answer(METHOD, one.question.name) for one in _PLANNED}
    if not any(texts.values()):
        return _PLAN_UNITS.missing("The plan names no temperature yet that could have a unit.")
    read = {one.where: found for one in _PLANNED if (found := one.given(study))}
    without = [where for where, one in read.items() if one.factor is None]
    if without:
        where = listed(without)
        nudge = f"The unit is missing, or is none of temperature, in {where}."
        return _PLAN_UNITS.wrong(where, nudge, "The unit is °C.", *(texts[one] for one in without))
    if not read:
        return _PLAN_UNITS.teacher("No single number can be read from the plan.", *texts.values())
    return _PLAN_UNITS.right(*(text for text in texts.values() if text))


_READ_OFF = asked(CONCLUSION, "read off", "The value is read off the own line.", "value read off")
_GRADIENT = asked(CONCLUSION, "gradient", "The gradient is that of the own line.", "gradient")
_LINE_ROUNDING = Criterion(
    CONCLUSION, "conclusion.rounding", "The answers claim no more figures than the graph gives."
)
_MOST_FIGURES = 3


def mark_line_answers(study: Study) -> tuple[Remark, ...]:
    """Mark read-off, gradient and their rounding."""
    return (
        *judge(study, _READ_OFF, _read_off(study)),
        *judge(study, _GRADIENT, _gradient(study)),
        _line_rounding(study),
    )


def _read_off(study: Study) -> Expected | None:
    line, temperature = study.line, study.named_c
    exact = line.line_cm_at(temperature) if line and not math.isnan(temperature) else math.nan
    if line is None or math.isnan(exact):
        return None
    allowed = line.small_square_cm / 2
    return Expected(
        right=(exact,),
        worked=f"Go up from {plain(temperature, 1)} °C to your line and across to the other axis: "
        f"{fixed(exact, decimals_needed(allowed))} cm.",
        near=_within(allowed * (1 + 1e-6)),
        nudge="This is more than half a small square from your own line at the temperature named: "
        "lay a ruler on the paper.",
    )


def _gradient(study: Study) -> Expected | None:
    line = study.line
    exact = line.gradient_cm_per_c if line else math.nan
    if line is None or math.isnan(exact) or line.span_c <= 0:
        return None
    reading = 2 * (line.small_square_cm / 2) / (line.span_c / 2)
    rounding = 0.5 * 10.0 ** -significant_places(exact, 2)
    low, high = (float(end) for end in np.sort(line.line[:, 0])[[0, -1]])
    return Expected(
        right=(exact,),
        worked="Rise over run of a large triangle on your line: from "
        f"{plain(low, 1)} to {plain(high, 1)} the run is {plain(high - low, 1)} and the rise "
        f"{significant(line.gradient * (high - low), 3)}, so the gradient is "
        f"{significant(exact, 2)} cm/°C.",
        slips={
            "This looks like run over rise: which of the two is divided by the other?": (1 / exact,)
            if exact
            else (),
            "The number is a hundred times off: centimetres and metres are mixed, so look at the "
            "centimetre-to-metre conversion.": (exact / 100, exact * 100),
        },
        near=_within(max(reading, rounding) + 1e-9),
        nudge="This is not the gradient of your own line: take a triangle over at least half of "
        "it, and read both corners.",
    )


def _within(allowed: float) -> Near:
    return lambda answer, value: abs(answer.value - value) <= allowed


def _line_rounding(study: Study) -> Remark:
    read_off, gradient, line = _READ_OFF.given(study), _GRADIENT.given(study), study.line
    if read_off is None and gradient is None:
        return _LINE_ROUNDING.missing(_NOTHING_TO_ROUND)
    faults = []
    if gradient and gradient.figures > _MOST_FIGURES:
        faults.append((_GRADIENT.where, f"{_MOST_FIGURES} significant figures at most"))
    if read_off and line:
        finest = line.small_square_cm / 2
        if read_off.value_step < 10.0 ** -decimals_needed(finest) * (1 - 1e-6):
            faults.append((_READ_OFF.where, f"no finer than half a small square, {finest:g} cm"))
    texts = [one.text for one in (read_off, gradient) if one]
    if not faults:
        return _LINE_ROUNDING.right(*texts)
    where = listed([name for name, _ in faults])
    nudge = f"The answer to {where} claims more than a graph can be read to."
    return _LINE_ROUNDING.wrong(
        where, nudge, " ".join(f"{n}: {rule}." for n, rule in faults), *texts
    )


_HALF_RANGE = asked(
    EVALUATION, "half-range", "The half-range is that of the readings named.", "half-range"
)
_HALF_RANGE_ROUNDING = Criterion(
    EVALUATION,
    "evaluation.rounding",
    "The uncertainty claims at most one decimal place more than the readings.",
)


def mark_half_range(study: Study) -> tuple[Remark, ...]:
    """Mark the half-range and its rounding."""
    return (*judge(study, _HALF_RANGE, _half_range(study)), _half_range_rounding(study))


def _half_range(study: Study) -> Expected | None:
    source = study.named_set
    if source is None:
        return None
    places = study.reading_places
    standing = source.standing_cm
    half = (max(standing) - min(standing)) / 2
    width = f"({plain(max(standing))} − {plain(min(standing))}) cm"
    return Expected(
        right=_halves(standing, places),
        own=_own_halves(study),
        worked=f"Largest less smallest reading at {plain(source.temperature_c, 1)} °C, halved: "
        f"{width} ÷ 2 = {fixed(half, places + 1)} cm.",
        slips={
            "This is the whole range: the uncertainty goes either way from the mean.": (2 * half,)
        }
        if half
        else {},
        near=_near_half,
        nudge="This is not half of the range of the readings that stand at the temperature named.",
    )


def _near_half(answer: Given, half_cm: float) -> bool:
    """Half up as school rounds, so that 1.5 is 2 and never 1."""
    unit = answer.value_step / answer.step
    return abs(rounded(half_cm / unit, answer.places) - answer.number) <= answer.step * 1e-6


def _halves(heights_cm: tuple[float, ...], places: int) -> tuple[float, ...]:
    half = (max(heights_cm) - min(heights_cm)) / 2
    return (half,) if half > 0 else (0.0, 10.0**-places / 2)


def _own_halves(study: Study) -> tuple[float, ...]:
    """Half-ranges of the own row as it stands, and of what the own mean was worked from."""
    row, check, source = study.named_row, study.named_check, study.named_set
    if row is None or not row.heights_cm:
        return ()
    kept = check.values_cm if check and check.values_cm else row.heights_cm
    sets = [kept]
    if check and check.follows == "struck kept":
        sets.append(row.heights_cm)
        sets.append((*kept, *(source.struck_out_cm if source else ())))
    if check and check.follows == "one left out" and not math.isnan(check.left_out_cm):
        rest = list(kept)
        rest.remove(check.left_out_cm)
        sets.append(tuple(rest))
    return tuple(half for one in sets for half in _halves(one, study.reading_places))


def _half_range_rounding(study: Study) -> Remark:
    answer = _HALF_RANGE.given(study)
    if answer is None:
        return _HALF_RANGE_ROUNDING.missing(_NOTHING_TO_ROUND)
    places = max(study.reading_places, study.table.places)
    finest = 10.0 ** -(places + 1)
    if answer.value_step >= finest * (1 - 1e-6):
        return _HALF_RANGE_ROUNDING.right(answer.text)
    return _HALF_RANGE_ROUNDING.wrong(
        _HALF_RANGE.where,
        "The uncertainty claims more decimal places than half a difference of such readings has.",
        f"Readings to {places} decimal places in cm give a half-range to {places + 1} at most.",
        answer.text,
    )
