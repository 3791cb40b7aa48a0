"""How a numeric answer is judged: against the right value, then against the student's own.

Every answer has up to two criteria, its value and its unit. A number that fits in the unit asked
for, but carries another unit or none, is right in value and loses the unit's mark; so the unit is
never paid for twice.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from analysis.marking.remark import Criterion, Remark
from analysis.marking.work import Question, Work
from analysis.quantity.written import AnswerKind, Given, read_answer, rounds_to

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
    own: tuple[float, ...] = ()
    right_range: Range | None = None
    own_range: Range | None = None
    slips: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    near: Near = rounds_to
    nudge: str = "The value does not follow from your own work: go through it again."


@dataclass(frozen=True)
class Asked:
    """One question: where its answer is, what it is, and the criteria of value and unit."""

    question: Question
    kind: AnswerKind
    unit: str
    value: Criterion
    with_unit: Criterion | None = None


def given(work: Work, asked: Asked) -> Given | None:
    """The answer, read; None where it is blank or cannot be read."""
    text = work.answers.get(asked.question, "")
    return read_answer(text, asked.kind, asked.unit) if text.strip() else None


def judge(work: Work, asked: Asked, expected: Expected | None) -> tuple[Remark, ...]:
    """Remarks on value and unit; `expected` is None where there is nothing to compare with."""
    text = work.answers.get(asked.question, "").strip()
    criteria = [one for one in (asked.value, asked.with_unit) if one]
    if not text:
        return tuple(one.missing("This question is not answered yet.") for one in criteria)
    answer = given(work, asked)
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
    return asked.value.wrong(f"'{asked.question[1]}'", nudge, worked, answer.text)


def _unit(asked: Asked, answer: Given) -> Remark:
    assert asked.with_unit is not None
    if answer.factor is not None:
        return asked.with_unit.right(answer.text)
    where = f"'{asked.question[1]}'"
    nudge = "The number has no unit: a number of what?"
    if answer.unit_text:
        nudge = f"'{answer.unit_text}' does not go with this number: what is it measured in?"
    unit = {"energy": "J", "temperature": "°C", "gradient": f"{asked.unit}/°C"}.get(asked.kind)
    worked = f"The unit here is {unit or asked.unit}."
    return asked.with_unit.wrong(where, nudge, worked, answer.text)
