"""The exercise book handed to the marking: a practical's state as a student's work."""

from __future__ import annotations

import math
from functools import lru_cache
from statistics import median
from types import MappingProxyType

from analysis.marking.questions import ANSWERED
from analysis.marking.work import Graph, RoughLine, Work
from analysis.quantity.units import celsius, centimetres, grams, plain
from analysis.readings.sets import Repeats, sets_of_repeats
from sim.state import RoughReading, State

PLACES = 6
"""Celsius and centimetres are rounded so far: the dust of the change of units goes."""


def work_of(state: State) -> Work:
    """Everything that a student hands in, from a practical as it stands."""
    book = state.book
    return Work(
        cells=book.cells,
        graph=Graph(book.axes, book.crosses, book.line),
        answers=_answers(state),
        rough=_rough(state.rough),
        drop_height_cm=_drop_height_cm(state),
        mass_g=round(grams(state.ball.mass_kg), PLACES),
        tries=book.tries,
    )


def named_temperature(state: State) -> str:
    """The temperature that the book's questions name, "40 °C"; nothing before it can pick one."""
    return _named(_rough(state.rough))


@lru_cache(maxsize=4)
def _named(rough: tuple[RoughLine, ...]) -> str:
    from analysis.marking.study import Study  # no frame waits for it before

    temperature_c = Study(Work(rough=rough)).named_c
    return "" if math.isnan(temperature_c) else f"{plain(temperature_c, 2)} °C"


def sets_of(rough: tuple[RoughReading, ...]) -> tuple[Repeats, ...]:
    """The lines of a rough page that make one set each, by their places on it."""
    lines = _rough(rough)
    noted_c = [line.temperature_c for line in lines]
    return sets_of_repeats(noted_c, [line.struck_out for line in lines])


def _answers(state: State) -> MappingProxyType[tuple[str, str], str]:
    """The answers to questions; what the pages keep for themselves is left out."""
    found = {asked: text for asked, text in state.book.answers.items() if asked in ANSWERED}
    return MappingProxyType(found)


def _rough(rough: tuple[RoughReading, ...]) -> tuple[RoughLine, ...]:
    return tuple(
        RoughLine(
            round(float(celsius(line.temperature_k)), PLACES),
            round(float(centimetres(line.height_m)), PLACES),
            line.decimal_places,
            line.struck_out is not None,
        )
        for line in rough
    )


def _drop_height_cm(state: State) -> float:
    """The height that the ball was dropped from, to the centimetre that the mark is set to.

    Before the first reading it is the height that the ball is to be dropped from.
    """
    marks_m = [line.drop.mark_m for line in state.rough if line.struck_out is None]
    if not marks_m:
        return round(float(centimetres(state.setup.drop_height_m)), PLACES)
    return float(round(float(centimetres(median(marks_m)))))
