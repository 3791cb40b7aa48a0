"""The exercise book handed to the marking: a practical's state as a student's work."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from functools import lru_cache
from statistics import median
from types import MappingProxyType

from analysis.marking.questions import ANSWERED, CONCLUSION
from analysis.marking.reading_sets import named_among, reading_sets
from analysis.marking.work import Graph, RoughLine, Work, sets_of_lines
from analysis.quantity.units import celsius, centimetres, fixed, grams, plain
from analysis.readings.sets import MEANT_C, Repeats
from sim import actions as act
from sim.procedure import Procedure
from sim.state import RoughReading, State

NAMED = (CONCLUSION, "named temperature")
"""Where the record keeps which temperature the book has named: an answer that nobody is asked."""
PLAIN_NUMBER = re.compile(r"-?[0-9]{1,3}(\.[0-9]+)?")
DEGREES = " °C"
PLACES = 6
"""Celsius and centimetres are rounded so far: the dust of the change of units goes."""


def work_of(state: State) -> Work:
    """Everything that a student hands in, from a practical as it stands."""
    book = state.book
    return Work(
        cells=book.cells,
        graph=Graph(book.axes, book.crosses, book.line),
        answers=_answers(state),
        rough=_rough(state.rough, state.setup.plan),
        drop_height_cm=_drop_height_cm(state),
        mass_g=round(grams(state.ball.mass_kg), PLACES),
        tries=book.tries,
        named_c=_asked_about_c(state),
    )


def named_temperature(state: State) -> str:
    """The temperature that the book's questions name, "40.0 °C" as it was noted.

    Nothing before it can pick one. Once it has been asked about it stays (`NAMED`).
    """
    named_c = _named_c(_rough(state.rough, state.setup.plan), _asked_about_c(state))
    return "" if math.isnan(named_c) else noted_text(state.rough, named_c)


@lru_cache(maxsize=4)
def _named_c(rough: tuple[RoughLine, ...], asked_c: float | None) -> float:
    return named_among(reading_sets(rough), asked_c)


def _asked_about_c(state: State) -> float | None:
    text = state.book.answers.get(NAMED, "")
    return float(text) if PLAIN_NUMBER.fullmatch(text) else None


def asking_about(state: State) -> act.WriteAnswer | None:
    """What puts on record which temperature is named from now on; None where there is none yet."""
    named = named_temperature(state).removesuffix(DEGREES)
    if not named or state.book.answers.get(NAMED, "") == named:
        return None
    return act.WriteAnswer(*NAMED, named)


def noted_text(rough: Sequence[RoughReading], temperature_c: float) -> str:
    """A temperature as it was written on the rough page, "48.0 °C"."""
    here = (line for line in rough if abs(_noted_c(line) - temperature_c) < 10.0**-PLACES)
    known = [n for line in here if (n := line.temperature_places) is not None]
    text = fixed(temperature_c, max(known)) if known else plain(temperature_c, 2)
    return f"{text}{DEGREES}"


def _noted_c(line: RoughReading) -> float:
    return round(float(celsius(line.temperature_k)), PLACES)


def sets_of(rough: tuple[RoughReading, ...], plan: Procedure | None = None) -> tuple[Repeats, ...]:
    """The lines of a rough page that make one set each, by their places on it."""
    return sets_of_lines(_rough(rough, plan))


def _answers(state: State) -> MappingProxyType[tuple[str, str], str]:
    """The answers to questions; what the pages keep for themselves is left out."""
    found = {asked: text for asked, text in state.book.answers.items() if asked in ANSWERED}
    return MappingProxyType(found)


def _rough(rough: tuple[RoughReading, ...], plan: Procedure | None) -> tuple[RoughLine, ...]:
    return tuple(
        RoughLine(
            _noted_c(line),
            round(float(centimetres(line.height_m)), PLACES),
            line.decimal_places,
            line.struck_out is not None,
            _meant(plan, line),
        )
        for line in rough
    )


def _meant(plan: Procedure | None, line: RoughReading) -> int:
    """What a reading was meant for: a temperature of the plan, or the water as it was prepared.

    The plan's are numbered from -1 downwards, preparations from 0 upwards.
    """
    away_k = [abs(line.temperature_k - one) for one in plan.temperatures_k] if plan else []
    if away_k and min(away_k) <= MEANT_C:
        return -1 - away_k.index(min(away_k))
    return line.drop.soak_preparation


def _drop_height_cm(state: State) -> float:
    """The height that the ball was dropped from, to the centimetre that the mark is set to.

    Before the first reading it is the height that the ball is to be dropped from.
    """
    marks_m = [line.drop.mark_m for line in state.rough if line.struck_out is None]
    if not marks_m:
        return round(float(centimetres(state.setup.drop_height_m)), PLACES)
    return float(round(float(centimetres(median(marks_m)))))
