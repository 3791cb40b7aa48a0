"""Answers that earn the mark, worked from a study of the student's own work.

They are what a student gives who works without a slip: from the readings on the rough page, the
own table and the own line. Table and line must be there; a work without them has no right answer.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Literal, TypeAlias

from analysis.marking.work import Side
from analysis.paper.scales import Scale, choose_scale
from analysis.quantity.units import fixed, kilograms, metres, percent, plain, significant
from analysis.statistics.energy import Energies, energies

if TYPE_CHECKING:
    from analysis.marking.study import Study

RightAnswer: TypeAlias = "Callable[[Study], str]"


def end_of_range(place: int) -> RightAnswer:
    """The lowest (0) or the highest (-1) temperature of the readings."""
    return lambda study: f"{plain(study.standing_sets[place].temperature_c)} °C"


def interval(study: Study) -> str:
    """The mean step from one temperature to the next."""
    steps = max(len(study.standing_sets) - 1, 1)
    span = study.standing_sets[-1].temperature_c - study.standing_sets[0].temperature_c
    return f"{plain(span / steps, 1)} °C"


def repeats(study: Study) -> str:
    """The drops that every temperature has."""
    return str(min(len(one.standing_cm) for one in study.standing_sets))


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
    """What the own line goes up by in cm for each °C."""
    assert study.line is not None
    return significant(study.line.gradient_cm_per_c, 2)


def gradient(study: Study) -> str:
    """The gradient of the own line."""
    return f"{_per_degree(study)} cm/°C"


def relationship(study: Study) -> str:
    """How the height changes, with the gradient of the own line."""
    return (
        "As the temperature of the ball increases, the rebound height increases, by about "
        f"{_per_degree(study)} cm for each 1 °C."
    )


def read_off(study: Study) -> str:
    """The own line at the temperature named."""
    assert study.line is not None
    return f"{fixed(study.line.line_cm_at(study.named_c), 1)} cm"


def half_range(study: Study) -> str:
    """Half the range of the readings at the temperature named."""
    assert study.named_set is not None
    standing = study.named_set.standing_cm
    return f"{plain((max(standing) - min(standing)) / 2.0, 2)} cm"


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


def _energies(study: Study) -> Energies:
    assert study.named_row is not None
    work = study.work
    mean_m = metres(study.named_row.mean_cm)
    return energies(kilograms(work.mass_g), metres(work.drop_height_cm), mean_m)


def height_after(study: Study) -> str:
    """The own mean at the temperature named, in metres."""
    return f"{plain(float(_energies(study).rebound_height_m), 5)} m"


def height_before(study: Study) -> str:
    """The drop height, in metres."""
    return f"{fixed(metres(study.work.drop_height_cm), 2)} m"


def joules(what: Literal["before_j", "after_j", "transferred_j"]) -> RightAnswer:
    """One of the three energies of the bounce."""
    return lambda study: f"{significant(float(getattr(_energies(study), what)), 3)} J"


def efficiency(study: Study) -> str:
    """The share that is left, in per cent."""
    return f"{significant(percent(float(_energies(study).fraction)), 3)} %"
