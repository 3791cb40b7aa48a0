"""The plan of a practical, what a scripted student makes of it, and how files keep it.

Last stands the invented scenario that the commands use when they are told nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from analysis.quantity.text import counted, plain
from analysis.quantity.units import celsius, centimetres, kelvin
from physics.number import Number
from physics.reading import CAMERAS, HURRIED, READERS, Camera, Reader
from sim.actions import NotPossible

KETTLE_K = kelvin(95.0)
"""The kettle is kept hot, a little below the boil. Stated assumption."""
JUG_K = kelvin(5.0)
"""The cold jug has stood in a refrigerator. Stated assumption."""
USUAL_DROP_HEIGHT_M = 1.0
"""The length of the rule, and what the ball falls from where no plan says otherwise."""
DAWDLE_S = 3.0
DAWDLE_SD_S = 1.0
"""The time between picking the ball up and bringing it to the mark varies so from drop to
drop. Stated assumption."""
SETTLE_S = 20.0
"""How long a student watches the thermometer before trusting it. Stated assumption."""
WATER_KG = 0.250
"""How full the beaker is kept. Stated assumption: enough to cover the ball well."""
FIRST_GUESS_M = 0.30
"""Where the eye goes for the first drop of all, before any rebound has been seen."""
CAMERA_HEIGHT_M = 0.35
"""Where the camera stands when nobody says otherwise: amid the usual rebounds."""
MOST_TEMPERATURES, MOST_REPEATS = 50, 200
"""Of one plan: more than any school day holds."""
LONGEST_WAIT_S = 24 * 3600.0
NEAR_ENOUGH_K = 0.25
"""A thermometer read to half a degree cannot ask for a finer adjustment."""


@dataclass(frozen=True)
class Procedure:
    """A plan for a whole set of readings.

    Attributes:
        temperatures_k: the planned temperatures of the water, in the order of the set.
        repeats: drops at each temperature.
        drop_height_m: where the ball's lowest point is held.
        reheat: whether the ball goes back into the water between the drops of a set.
        soak_s: how long the ball stays in the water each time.
        towel: whether the ball is dried after each soak.
        observer: who reads, a Reader by eye or a Camera.
        eye_height_m: the height of the eye (or the camera); None keeps the eye at the
            level of the bounce before, and the camera at 0.35 m.

    """

    temperatures_k: tuple[float, ...] = tuple(
        kelvin(each) for each in (20.0, 30.0, 40.0, 50.0, 60.0)
    )
    repeats: int = 5
    drop_height_m: float = USUAL_DROP_HEIGHT_M
    reheat: bool = False
    soak_s: float = 120.0
    towel: bool = True
    observer: Reader | Camera = HURRIED
    eye_height_m: float | None = None

    def __post_init__(self) -> None:
        """Refuse a plan that the bench cannot carry out."""
        if not 1 <= len(self.temperatures_k) <= MOST_TEMPERATURES:
            raise NotPossible(
                "A practical needs at least one temperature, and has "
                f"{MOST_TEMPERATURES} at most; {len(self.temperatures_k)} are asked for."
            )
        for temperature_k in self.temperatures_k:
            if not JUG_K < temperature_k < KETTLE_K:
                raise NotPossible(
                    f"Water at {celsius(temperature_k):g} °C cannot be mixed from a jug "
                    f"at {celsius(JUG_K):g} °C and a kettle at "
                    f"{celsius(KETTLE_K):g} °C; choose a temperature between them."
                )
        if not 1 <= self.repeats <= MOST_REPEATS:
            raise NotPossible(
                "A practical needs at least one drop at each temperature, and has "
                f"{MOST_REPEATS} at most; {self.repeats} are asked for."
            )
        if not 0.0 <= self.soak_s <= LONGEST_WAIT_S:
            raise NotPossible(
                f"A soak takes from 0 s to {LONGEST_WAIT_S:.0f} s, not {self.soak_s:g} s."
            )
        if not 0.05 <= self.drop_height_m <= 2.0:
            raise NotPossible(
                f"The ball can be dropped from 5 cm to 200 cm, not from "
                f"{centimetres(self.drop_height_m):g} cm."
            )


class KeptPlan(Struct, frozen=True, forbid_unknown_fields=True):
    """A plan as the key of a class set and the records of its students keep it."""

    temperatures_k: tuple[float, ...]
    repeats: int
    drop_height_m: float
    reheat: bool
    soak_s: float
    towel: bool
    reader: str | None
    camera: int | None
    eye_height_m: float | None


def kept_plan(procedure: Procedure) -> KeptPlan:
    """A plan in the form that files keep."""
    observer = procedure.observer
    return KeptPlan(
        temperatures_k=procedure.temperatures_k,
        repeats=procedure.repeats,
        drop_height_m=procedure.drop_height_m,
        reheat=procedure.reheat,
        soak_s=procedure.soak_s,
        towel=procedure.towel,
        reader=None if isinstance(observer, Camera) else observer.name,
        camera=observer.frames_per_second if isinstance(observer, Camera) else None,
        eye_height_m=procedure.eye_height_m,
    )


def procedure_of(kept: KeptPlan) -> Procedure:
    """The plan that a file keeps.

    Raises NotPossible for a plan of no bench, LookupError for a reader or camera there is not.
    """
    return Procedure(
        temperatures_k=kept.temperatures_k,
        repeats=kept.repeats,
        drop_height_m=kept.drop_height_m,
        reheat=kept.reheat,
        soak_s=kept.soak_s,
        towel=kept.towel,
        observer=CAMERAS[kept.camera] if kept.camera is not None else READERS[kept.reader or ""],
        eye_height_m=kept.eye_height_m,
    )


def plan_sentence(procedure: Procedure) -> str:
    """What a student at the bench has to know of the plan; who reads is the student.

    Numbers stay on one line with their units.
    """
    temperatures = [plain(each, 1) for each in celsius(procedure.temperatures_k).tolist()]
    water = " and ".join([", ".join(temperatures[:-1]), temperatures[-1]]).removeprefix(" and ")
    drops = counted(procedure.repeats, "drop")
    dried = "dry it" if procedure.towel else "leave it wet"
    again = (
        "put it back before each drop" if procedure.reheat else "do not put it back between drops"
    )
    return (
        f"The plan of your class: water at {water}\u00a0°C, {drops} at each, from "
        f"{plain(float(centimetres(procedure.drop_height_m)), 1)}\u00a0cm. Soak the ball "
        f"{plain(procedure.soak_s, 0)}\u00a0s, {dried}; {again}."
    )


def dawdle_s(handling: Number) -> Number:
    """The time lost between picking up and the mark, from a standard normal; never negative."""
    dawdled: Number = np.maximum(DAWDLE_S + DAWDLE_SD_S * handling, 0.0)
    return dawdled


def hot_share(target_k: float) -> float:
    """The share of kettle water that makes a fresh beaker of a wanted temperature."""
    return (target_k - JUG_K) / (KETTLE_K - JUG_K)


class Exchange(NamedTuple):
    """Water to pour away and to pour in again, 0 kg where none is asked for, and whence."""

    mass_kg: Number
    source_k: Number


def exchange_for(target_k: float, read_k: Number) -> Exchange:
    """What a thermometer's reading asks for: kettle or jug water for some of the beaker's."""
    source_k = np.where(read_k < target_k, KETTLE_K, JUG_K)
    renewed_kg = WATER_KG * (target_k - read_k) / (source_k - read_k)
    asks = np.abs(read_k - target_k) >= NEAR_ENOUGH_K
    return Exchange(np.where(asks, renewed_kg, 0.0), source_k)


def watching_height_m(procedure: Procedure, seen_m: Number) -> Number:
    """Where the camera stands, or where the eye goes that saw the last rebound at `seen_m`."""
    if procedure.eye_height_m is not None:
        return procedure.eye_height_m
    return CAMERA_HEIGHT_M if isinstance(procedure.observer, Camera) else seen_m


CLUB = "Larkmere Vale School lunchtime club"
"""An invented club at an invented school."""
DEMO_SEED = 1
DEMO_PROCEDURE = Procedure()
"""Five temperatures, five repeats, one metre, a hurried eye, the ball not put back."""
LONG_SOAK_S = 300.0
"""How long the ball is soaked where two procedures are held side by side. After the usual two
minutes it is 2 °C short of a bath 10 °C warmer than the last one and still warms from drop to drop
when it is put back, which hides what is to be shown; after five minutes 0.4 °C are missing."""
