"""Where the spread of the repeats comes from: each source switched off in turn.

A cohort carries out one plan several times under the same random numbers: as it is, with
one source switched off, and with all of them switched off. What a source adds is how much
the variance of the repeats falls without it. What is left with all off is the rest; what
the parts and the rest do not add up to is the interaction: it is there because rounding,
say, does less where the readings are spread out anyhow.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from physics.constants import ZERO_CELSIUS_K
from physics.reading import Camera, Reader
from sim.cohort import cohort
from sim.demonstration import LONG_SOAK_S, NAMES
from sim.procedure import Procedure
from sim.refusal import NotPossible
from sim.state import Setup

FloatArray = NDArray[np.float64]

SPLIT_TEMPERATURES_K = tuple(ZERO_CELSIUS_K + celsius for celsius in (20.0, 40.0, 60.0))
SPLIT_PLAN = Procedure(temperatures_k=SPLIT_TEMPERATURES_K, soak_s=LONG_SOAK_S)
SPLIT_MEMBERS = 8000
"""Students in each run, as many as one block of `sim.chance` holds: the parts are then known
to better than a hundredth of the variance."""

LEAST_COOLING = 0.05
"""Cooling is switched off by taking a twentieth of it, the least that `physics.ball` allows:
a four-hundredth of the variance that it makes stays."""
STILL_FRAMES_PER_S = 1_000_000
"""A camera so fast that it does not miss the apex."""


class Case(NamedTuple):
    """A bench and a plan."""

    setup: Setup
    procedure: Procedure


def _no_cooling(case: Case) -> Case:
    factor = LEAST_COOLING * case.setup.model.cooling_factor
    model = replace(case.setup.model, cooling_factor=max(factor, LEAST_COOLING))
    return case._replace(setup=replace(case.setup, model=model))


def _steady_hand(case: Case) -> Case:
    return case._replace(setup=replace(case.setup, hand_sd_m=0.0))


def _true_instant(case: Case) -> Case:
    observer = case.procedure.observer
    if isinstance(observer, Camera):
        return _read_by(case, replace(observer, frames_per_second=STILL_FRAMES_PER_S))
    return _read_by(case, replace(observer, timing_sd_s=0.0))


def _true_place(case: Case) -> Case:
    return _read_by(case, replace(case.procedure.observer, place_sd_m=0.0))


def _no_rounding(case: Case) -> Case:
    observer = replace(case.procedure.observer, graduation_m=0.0)
    if isinstance(observer, Reader):
        observer = replace(observer, digit_preference=0.0)
    return _read_by(case, observer)


def _no_slips(case: Case) -> Case:
    observer = case.procedure.observer
    return (
        _read_by(case, replace(observer, misreading_chance=0.0))
        if isinstance(observer, Reader)
        else case
    )


def _read_by(case: Case, observer: Reader | Camera) -> Case:
    return case._replace(procedure=replace(case.procedure, observer=observer))


SOURCES: Mapping[str, Callable[[Case], Case]] = MappingProxyType(
    {
        "ball cooling": _no_cooling,
        "hand": _steady_hand,
        "eye: instant": _true_instant,
        "eye: place": _true_place,
        "rounding": _no_rounding,
        "slips": _no_slips,
    }
)
"""Each source by name, and how it is switched off."""
REST = "rest"
"""With all sources off: the eye that is not yet level with the bounce (parallax), and the water
that is not quite as warm each time."""
INTERACTION = "interaction"


class Part(NamedTuple):
    """A variance with its standard uncertainty from the finite cohort, both m², shape (T,)."""

    variance_m2: FloatArray
    uncertainty_m2: FloatArray


@dataclass(frozen=True)
class Split:
    """The variance of the repeats of one procedure, taken apart."""

    name: str
    temperatures_k: tuple[float, ...]
    members: int
    total: Part
    parts: Mapping[str, Part]
    """The sources, the rest and the interaction: they add up to the total."""


def split(setup: Setup, procedure: Procedure, members: int = SPLIT_MEMBERS) -> Split:
    """Take the variance of the repeats apart for one procedure.

    The variance is that of one student's repeats at one temperature, averaged over the
    students. Every run uses the same random numbers, so differences are known better than
    the variances themselves; uncertainties come from the scatter between students.

    Args:
        setup: the bench of the first student.
        procedure: the plan, reheated or not; 2 repeats or more.
        members: how many students, 2 or more.

    Raises:
        NotPossible: the plan has no repeats, or there are too few students.

    """
    if procedure.repeats < 2:
        raise NotPossible("The variance of the repeats needs at least two drops a temperature.")
    if members < 2:
        raise NotPossible("The split of the variance needs at least two students.")
    case = Case(setup, procedure)
    with_all = _variances_m2(case, members)
    bare = case
    parts = {}
    for name, switched_off in SOURCES.items():
        parts[name] = with_all - _variances_m2(switched_off(case), members)
        bare = switched_off(bare)
    parts[REST] = _variances_m2(bare, members)
    parts[INTERACTION] = with_all - np.sum(list(parts.values()), axis=0)
    return Split(
        name=NAMES[procedure.reheat],
        temperatures_k=procedure.temperatures_k,
        members=members,
        total=_part(with_all),
        parts=MappingProxyType({name: _part(each) for name, each in parts.items()}),
    )


def splits(
    setup: Setup, procedure: Procedure = SPLIT_PLAN, members: int = SPLIT_MEMBERS
) -> tuple[Split, Split]:
    """The split with the ball left to cool, and with the ball put back."""
    left, back = (
        split(setup, replace(procedure, reheat=reheat), members) for reheat in (False, True)
    )
    return left, back


def _variances_m2(case: Case, members: int) -> FloatArray:
    """The variance of each student's repeats, shape (members, T)."""
    heights_m = cohort(case.setup, case.procedure, members).heights_m
    variances: FloatArray = heights_m.var(axis=-1, ddof=1)
    return variances


def _part(by_student_m2: FloatArray) -> Part:
    members = len(by_student_m2)
    return Part(by_student_m2.mean(axis=0), by_student_m2.std(axis=0, ddof=1) / np.sqrt(members))
