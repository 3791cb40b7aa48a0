"""What the student's own line and readings say, for written answers that must agree with them."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np

from analysis.marking.own_table import ReadingSet, own_table, reading_sets
from analysis.marking.work import Graph, Work
from analysis.paper.scales import SMALL_SQUARES
from analysis.quantity.units import KIND_OF, centimetres, kelvin, metres, restated, school_unit
from analysis.quantity.written import Number, numbers_in
from analysis.statistics.spread import Spread, spread
from analysis.statistics.trend import repeatability, verdict

STRAIGHT, CURVED = "straight", "curved"
_LARGEST, _MOST_PLACES = 1e9, 9
"""Numbers above, and places beyond, which nothing was read off a rule; such sets are left out."""

_NUMBER_WORD = re.compile(
    r"\b(one|two|three|four|five|six|seven|eight|nine|ten|quarter|zero|half(?![\s-]*rang))\b"
)
_COUNTED = re.compile(r"times?|drops?|repeats?|readings?|goes")


@dataclass(frozen=True)
class Quoted:
    """A number in an answer, in cm or in per cent, with what one unit of its last place is."""

    value: float
    step: float
    percent: bool
    text: str


@dataclass(frozen=True)
class OwnReadings:
    """What the readings say of themselves.

    `verdict` as `analysis.statistics.trend` gives it. `spreads_cm` are the half-ranges,
    uncertainties and ranges; `percentages` the uncertainties in per cent; `others_cm` the other
    numbers that a reason may quote: readings, means and the changes of the mean between neighbours.
    """

    verdict: str = "cannot be told"
    spreads_cm: tuple[float, ...] = ()
    percentages: tuple[float, ...] = ()
    others_cm: tuple[float, ...] = ()


def line_shapes(graph: Graph | None) -> frozenset[str]:
    """What the own line may be called; nothing where there is none.

    Two points lay a straight line. A free curve that leaves its chord by no more than half a small
    square may be called either.
    """
    if graph is None or len(graph.line) < 2:
        return frozenset()
    if len(graph.line) == 2:
        return frozenset({STRAIGHT})
    x, y = np.array(sorted(graph.line), dtype=np.float64).T
    if not (np.abs(np.stack((x, y))) < _LARGEST).all():
        return frozenset()
    run = x[-1] - x[0]
    if run == 0:
        return frozenset({CURVED})
    chord = y[0] + (y[-1] - y[0]) * (x - x[0]) / run
    up = graph.axes.get("up")
    half_square = up.large_square / SMALL_SQUARES / 2.0 if up else 0.0
    flat = bool(np.max(np.abs(y - chord)) <= half_square)
    return frozenset({STRAIGHT, CURVED} if flat else {CURVED})


def own_readings(work: Work) -> OwnReadings:
    """Judge the readings that stand: of the rough page, or of the table where there is none."""
    sets = [one for one in reading_sets(work) if one.standing_cm and _is_reading(one)]
    if not sets:
        return OwnReadings()
    longest = max(len(one.standing_cm) for one in sets)
    heights = np.full((len(sets), longest), np.nan)
    for row, one in enumerate(sets):
        heights[row, : len(one.standing_cm)] = one.standing_cm
    spreads = spread(metres(heights), metres(10.0 ** -_places(work)))
    found = repeatability(kelvin([one.temperature_c for one in sets]), spreads)
    return OwnReadings(verdict(found), *_numbers(spreads, heights))


def _is_reading(one: ReadingSet) -> bool:
    return all(abs(value) < _LARGEST for value in (one.temperature_c, *one.standing_cm))


def _places(work: Work) -> int:
    if work.rough is None:
        return min(own_table(work).places, _MOST_PLACES)
    places = (one.decimal_places for one in work.rough if not one.struck_out)
    return min(max(places, default=0), _MOST_PLACES)


def _numbers(
    spreads: Spread, heights_cm: np.ndarray
) -> tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]:
    means = spreads.mean_m
    wide = np.concatenate((spreads.half_range_m, spreads.uncertainty_m, spreads.range_m))
    changes = np.abs(np.diff(means))
    others = np.concatenate((metres(heights_cm.ravel()), means, changes))
    return _known(centimetres(wide)), _known(spreads.percentage), _known(centimetres(others))


def _known(values: np.ndarray) -> tuple[float, ...]:
    return tuple(float(value) for value in values if np.isfinite(value))


def quoted(text: str) -> tuple[Quoted, ...]:
    """The numbers of an answer that may be lengths or percentages; counts and °C are left out."""
    return tuple(
        _quoted(number, text)
        for number, text in numbers_in(text)
        if KIND_OF.get(number.unit or "", "length") in ("length", "percentage")
        and not _COUNTED.match(number.unit_text)
    )


def _quoted(number: Number, text: str) -> Quoted:
    unit = number.unit or "cm"
    school = school_unit(KIND_OF[unit])
    value, step = (restated(each, unit, school) for each in (number.value, 10.0**-number.decimals))
    return Quoted(value, step, school == "%", text)


def spells_a_number(text: str) -> bool:
    """Whether a number stands there in words; the "half" of "half-range" is none."""
    return bool(_NUMBER_WORD.search(text.lower()))


def is_one_of(number: Quoted, values: tuple[float, ...]) -> bool:
    """Whether one of the values rounds to the number as it is written."""
    return any(abs(number.value - value) <= number.step / 2.0 + 1e-9 for value in values)
