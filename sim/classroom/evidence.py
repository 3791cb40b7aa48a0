"""What a record says of how it came about: readings, their fit to the drops, and exact acts.

A practical that a student carried out has waits and placings with many decimals, which no other
practical has in the same order; and readings that lie near where the ball truly rose.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from analysis.quantity import celsius, centimetres
from sim import actions as act

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sim.record import Record
    from sim.state import RoughReading

RUN = 6
"""Exact acts in a row that make a print; a set of five drops has about ten."""
LEAST_DIFFERENT = 4
"""Different values among them: an idle bench waits the same whole time again and again."""
WILD_CM = 15.0
"""A reading so far from the true height is more than a slip of the eye. Ours, no source."""
_EXACT = (act.Wait, act.Hold, act.SetEyeLevel, act.PourAway, act.AddHotWater, act.AddColdWater)


@dataclass(frozen=True)
class Reading:
    """A reading that stands on the rough page, in school units."""

    temperature_c: float
    height_cm: float
    places: int


@dataclass(frozen=True)
class Evidence:
    """What the checks and the search for copies go by.

    `misfit_cm` is the root mean square of the readings from the true heights; NaN without any.
    """

    readings: tuple[Reading, ...] = ()
    prints: frozenset[int] = frozenset()
    misfit_cm: float = math.nan


def evidence_of(record: Record) -> Evidence:
    """The evidence of a record."""
    standing = [line for line in record.end.rough if line.struck_out is None]
    off = [float(centimetres(line.height_m - line.drop.apex_m)) for line in standing]
    return Evidence(
        tuple(_reading(line) for line in standing),
        _prints(record.actions),
        math.sqrt(sum(one * one for one in off) / len(off)) if off else math.nan,
    )


def doubts(record: Record) -> tuple[str, ...]:
    """What in the readings of a record needs a teacher's eye, one sentence each."""
    standing = [line for line in record.end.rough if line.struck_out is None]
    other = sum(_not_as_called_out(line) for line in standing)
    wild = sum(abs(line.height_m - line.drop.apex_m) * 100.0 > WILD_CM for line in standing)
    said = []
    if other:
        said.append(f"{_count(other)} not what the reading aid called out for that drop.")
    if wild:
        said.append(f"{_count(wild)} more than {WILD_CM:g} cm from where the ball truly rose to.")
    return tuple(said)


def _count(readings: int) -> str:
    return "1 reading is" if readings == 1 else f"{readings} readings are"


def _not_as_called_out(line: RoughReading) -> bool:
    if not line.aided or line.drop.called_out is None:
        return False
    half_step_m = 0.5 * 10.0**-line.decimal_places / 100.0
    return abs(line.height_m - float(line.drop.called_out.height_m)) > half_step_m + 1e-9


def _reading(line: RoughReading) -> Reading:
    return Reading(
        round(float(celsius(line.temperature_k)), 3),
        round(float(centimetres(line.height_m)), 6),
        line.decimal_places,
    )


def _prints(actions: Iterable[act.Action]) -> frozenset[int]:
    """Hashes of each run of exact acts. Python hashes numbers alike in every process."""
    exact = [value for action in actions if (value := _exact_value(action)) is not None]
    runs = (tuple(exact[start : start + RUN]) for start in range(len(exact) - RUN + 1))
    return frozenset(hash(run) for run in runs if len(set(run)) >= LEAST_DIFFERENT)


def _exact_value(action: act.Action) -> float | None:
    """The number of an act if it has more than four decimals, which nobody sets by intent."""
    if not isinstance(action, _EXACT):
        return None
    value = float(getattr(action, action.__struct_fields__[0]))
    ten_thousandths = value * 1e4
    return value if abs(ten_thousandths - round(ten_thousandths)) > 1e-5 else None
