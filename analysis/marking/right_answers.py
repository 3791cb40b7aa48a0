"""Answers that earn the mark, worked from a study of the student's own work.

They are what a student gives who works without a slip: from the readings on the rough page, the
own table and the own line. A work without these has no right answer: "". At the foot stands what of
the own work an answer in words is held against, for a teacher to judge by.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Literal, TypeAlias

from analysis.marking.work import Side
from analysis.paper.scales import Scale, choose_scale
from analysis.quantity.units import fixed, kilograms, metres, percent, plain, significant
from analysis.refusal import Refused
from analysis.statistics.energy import Energies, energies

if TYPE_CHECKING:
    from analysis.marking.study import Study

RightAnswer: TypeAlias = "Callable[[Study], str]"


def end_of_range(place: int) -> RightAnswer:
    """The lowest (0) or the highest (-1) temperature of the readings."""

    def end(study: Study) -> str:
        sets = study.standing_sets
        return f"{plain(sets[place].temperature_c)} °C" if sets else ""

    return end


def interval(study: Study) -> str:
    """The mean step from one temperature to the next."""
    sets = study.standing_sets
    if not sets:
        return ""
    span = sets[-1].temperature_c - sets[0].temperature_c
    return f"{plain(span / max(len(sets) - 1, 1), 1)} °C"


def repeats(study: Study) -> str:
    """The drops that every temperature has."""
    return str(min((len(one.standing_cm) for one in study.standing_sets), default=""))


def start(side: Side) -> RightAnswer:
    """Where an axis of the graph is best started."""
    return lambda study: plain(_scale(study, side).start, 9)


def large_square(side: Side) -> RightAnswer:
    """What a large square along an axis best stands for."""
    return lambda study: plain(_scale(study, side).per_large_square, 9)


def _scale(study: Study, side: Side) -> Scale:
    """The scale on which the points of the own table are best drawn."""
    assert study.work.graph is not None
    rows = study.table.rows
    values = [row.temperature_c if side == "across" else row.mean_cm for row in rows]
    squares = study.work.graph.squares[side == "up"]
    return choose_scale(min(values), max(values), squares)


def _per_degree(study: Study) -> str:
    """What the own line goes up by in cm for each °C; "" where it is not straight."""
    per_degree = study.line.gradient_cm_per_c if study.line else math.nan
    return significant(per_degree, 2) if math.isfinite(per_degree) else ""


def gradient(study: Study) -> str:
    """The gradient of the own line."""
    per_degree = _per_degree(study)
    return f"{per_degree} cm/°C" if per_degree else ""


def relationship(study: Study) -> str:
    """How the height changes, with the gradient of the own line."""
    per_degree = _per_degree(study)
    by = f", by about {per_degree} cm for each 1 °C" if per_degree else ""
    return f"As the temperature of the ball increases, the rebound height increases{by}."


def read_off(study: Study) -> str:
    """The own line at the temperature named."""
    height_cm = study.line.line_cm_at(study.named_c) if study.line else math.nan
    return f"{fixed(height_cm, 1)} cm" if math.isfinite(height_cm) else ""


def half_range(study: Study) -> str:
    """Half the range of the readings at the temperature named."""
    standing = study.named_set.standing_cm if study.named_set else ()
    return f"{plain((max(standing) - min(standing)) / 2.0, 2)} cm" if standing else ""


def repeatable(study: Study) -> str:
    """What the readings say of their repeatability."""
    judged = study.readings.verdict
    if judged == "not repeatable":
        return "No, they are not repeatable."
    return "Only some are repeatable." if "partly" in judged else "Yes, they are repeatable."


def repeatable_reason(study: Study) -> str:
    """A reason with the own half-range in it; one that is partly so is for the teacher."""
    if study.readings.verdict == "repeatable":
        beside = "only {}, much smaller than the change from one temperature to the next"
    else:
        beside = "{}, which is large beside the change from one temperature to the next"
    return f"The half-range is {beside.format(half_range(study))}."


def _energies(study: Study) -> Energies | None:
    """Those of the own mean at the temperature named; None where it is none or cannot be."""
    work, row = study.work, study.named_row
    if row is None or not math.isfinite(row.mean_cm):
        return None
    try:
        return energies(kilograms(work.mass_g), metres(work.drop_height_cm), metres(row.mean_cm))
    except Refused:
        return None


def height_after(study: Study) -> str:
    """The own mean at the temperature named, in metres."""
    found = _energies(study)
    return f"{plain(float(found.rebound_height_m), 5)} m" if found else ""


def height_before(study: Study) -> str:
    """The drop height, in metres."""
    return f"{fixed(metres(study.work.drop_height_cm), 2)} m"


def joules(what: Literal["before_j", "after_j", "transferred_j"]) -> RightAnswer:
    """One of the three energies of the bounce."""

    def energy(study: Study) -> str:
        found = _energies(study)
        return f"{significant(float(getattr(found, what)), 3)} J" if found else ""

    return energy


def efficiency(study: Study) -> str:
    """The share that is left, in per cent."""
    found = _energies(study)
    return f"{significant(percent(float(found.fraction)), 3)} %" if found else ""


def own_means(study: Study) -> str:
    """The means by temperature, each with its bar: "20 °C: 23.6 ± 1.5 cm, 30 °C: 30.2 ± 1.0 cm".

    One place more than the readings have: what a mean or a half-range may be written to at most.
    """
    own, places = study.readings, study.standing_places + 1
    said = []
    for celsius, mean_cm in own.means_cm.items():
        bar_cm = own.bars_cm[celsius]
        bar = f" ± {fixed(bar_cm, places)}" if math.isfinite(bar_cm) else ""
        said.append(f"{plain(celsius, 1)} °C: {fixed(mean_cm, places)}{bar} cm")
    return ", ".join(said) or "no readings"


def own_line(study: Study) -> str:
    """What the own line may be called, and the means that it was laid through."""
    shapes = " or ".join(sorted(study.line_shapes, reverse=True)) or "no"
    return f"{shapes} line; {own_means(study)}"


def own_bars(study: Study) -> str:
    """What the bars of neighbouring means say of the readings, and the means with their bars."""
    return f"{study.readings.verdict} by the bars; {own_means(study)}"
