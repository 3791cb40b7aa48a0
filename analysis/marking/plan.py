"""The plan of the Method page against what was done.

Rule: the lowest and highest temperature and each step between neighbours lie within half the
planned interval of what was planned (5 °C where no interval can be read): nearer to it than to
the next step. At every temperature there are at least as many drops as planned, struck-out ones
counted. "Done" is the rough page, or the own table where there is none.
"""

from __future__ import annotations

import numpy as np

from analysis.marking.answer import Given, read_answer
from analysis.marking.criterion import Criterion, listed
from analysis.marking.feedback import Remark
from analysis.marking.picked import ReadingSet, reading_sets
from analysis.marking.questions import METHOD
from analysis.marking.work import Work
from analysis.quantity import plain

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
