"""What in one record needs a teacher's eye: each a sentence, and each worth a talk, no verdict.

Readings are held against what the reading aid called out, against the true rebound, and their
temperatures against ball and water; what was done is held against the plan.

A noted temperature is borne out by the ball's own at the release and by the water of its last
soak: as it was found, as it was made ready, as the ball went in and as it came out. So a reading
of the water before it was adjusted, or a ball that cools over many drops off one soak, is in order;
a ball that was never so warm, and in no water that was, is not.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from analysis.quantity.units import celsius, centimetres, metres, plain, temperature_text

if TYPE_CHECKING:
    from sim.procedure import Procedure
    from sim.record.replay import Record
    from sim.state import RoughReading

DROP_HEIGHT_AGREES_M = 0.01
"""A ball held so near the plan's height is held at it. Ours, no source."""
TEMPERATURE_AGREES_K = 5.0
"""Half of the usual step between temperatures: nearer to the planned one than to the next."""
WILD_CM = 15.0
"""A reading so far from the true height is more than a slip of the eye. Ours, no source."""
ANOTHER_MODEL = (
    "It was begun with another version of the program, whose model gave other heights: its "
    "readings are marked as they are, and not held against where the ball rose to."
)


def doubts(record: Record) -> tuple[str, ...]:
    """What in the readings of a record needs a teacher's eye, one sentence each.

    Where another model of the physics gave the readings, nothing true is known of them here.
    """
    standing = [line for line in record.end.rough if line.struck_out is None]
    if standing and not record.true_then:
        return (*_departures(record), ANOTHER_MODEL)
    other = sum(_not_as_called_out(line) for line in standing)
    wild = sum(centimetres(abs(line.height_m - line.drop.apex_m)) > WILD_CM for line in standing)
    said = _departures(record)
    if other:
        said.append(f"{_count(other)} not what the reading aid called out for that drop.")
    said += _temperatures(standing)
    if wild:
        said.append(f"{_count(wild)} more than {WILD_CM:g} cm from where the ball truly rose to.")
    return tuple(said)


def _temperatures(standing: list[RoughReading]) -> list[str]:
    """What is said where a noted temperature is neither the ball's nor its water's."""
    odd = [line for line in standing if not _borne_out(line)]
    if not odd:
        return []
    first = odd[0]
    had = f"the ball was at {_degrees(first.drop.ball_k)}"
    if first.drop.soak_k is None:
        had += " and had been in no water"
    else:
        coldest, warmest = (_degrees(one) for one in first.drop.soak_k)
        had += f", the water of its last soak at {coldest}"
        had += f" to {warmest}" if coldest != warmest else ""
    noted = f"{float(celsius(first.temperature_k)):.4g} °C"  # which may be any number at all
    return [
        f"{_count(len(odd))} noted at a temperature that neither the ball nor the water it was in "
        f"had: where the first says {noted}, {had}. Worth a talk."
    ]


def _borne_out(line: RoughReading) -> bool:
    had_k = (line.drop.ball_k, *(line.drop.soak_k or ()))
    too_cold = line.temperature_k < min(had_k) - TEMPERATURE_AGREES_K
    return not (too_cold or line.temperature_k > max(had_k) + TEMPERATURE_AGREES_K)


def _degrees(temperature_k: float) -> str:
    return f"{float(celsius(temperature_k)):.0f} °C"


def _departures(record: Record) -> list[str]:
    """Where what was done is not the plan that the record was handed out with.

    Of an empty or a damaged record nothing is said: why something is lacking is told already.
    """
    plan = record.setup.plan
    if plan is None or record.notices or not record.end.rough:
        return []
    standing = [line for line in record.end.rough if line.struck_out is None]
    elsewhere = [
        line
        for line in standing
        if abs(line.drop.mark_m - plan.drop_height_m) > DROP_HEIGHT_AGREES_M
    ]
    said = []
    if elsewhere:
        planned = plain(float(centimetres(plan.drop_height_m)), 1)
        did = plain(float(centimetres(elsewhere[0].drop.mark_m)), 1)
        said.append(
            f"{_count(len(elsewhere))} of drops from another height than the plan's {planned} cm, "
            f"the first from {did} cm."
        )
    few = [
        temperature_text(planned_k)
        for planned_k in plan.temperatures_k
        if sum(_nearest_k(line, plan) == planned_k for line in standing) < plan.repeats
    ]
    if few:
        said.append(
            f"The plan asks for {plan.repeats} at each temperature; fewer readings stand at "
            f"{', '.join(few)}."
        )
    return said


def _nearest_k(line: RoughReading, plan: Procedure) -> float:
    """The planned temperature that a reading is nearest to, or NaN where all are far off."""
    nearest = min(plan.temperatures_k, key=lambda planned_k: abs(planned_k - line.temperature_k))
    return nearest if abs(nearest - line.temperature_k) <= TEMPERATURE_AGREES_K else math.nan


def _count(readings: int) -> str:
    return "1 reading is" if readings == 1 else f"{readings} readings are"


def _not_as_called_out(line: RoughReading) -> bool:
    return line.aided and line.drop.called_out is not None and not as_called_out(line)


def as_called_out(line: RoughReading) -> bool:
    """Whether an aided reading is what was called out for its drop, as finely as it is written."""
    called = line.drop.called_out
    if called is None or not line.aided:
        return False
    half_step_m = metres(0.5 * 10.0**-line.decimal_places)
    return not abs(line.height_m - float(called.height_m)) > half_step_m + 1e-9
