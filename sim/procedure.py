"""What is to be done: the plan of a practical, how files keep it, and how much it is.

With it the invented scenario that the commands use when they are told nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

from msgspec import Struct

from analysis.quantity.units import celsius, centimetres, counted, kelvin, plain
from physics.reading import CAMERAS, CAREFUL, READERS, USUAL, Camera, Reader
from sim.actions import NotPossible

KETTLE_K = kelvin(95.0)
"""The kettle is kept hot, a little below the boil. Stated assumption."""
JUG_K = kelvin(5.0)
"""The cold jug has stood in a refrigerator. Stated assumption."""
COLDEST_BATH_K, HOTTEST_BATH_K = JUG_K, KETTLE_K
"""The ends of the bath's dial, so that both ways of warming reach the same temperatures."""
Bath = Literal["kept", "beaker"]
"""What the ball is warmed in: the bath that a thermostat keeps at its temperature, or a beaker of
water mixed from kettle and jug."""
BATH_WORDS: dict[Bath, str] = {
    "kept": "a bath kept at its temperature",
    "beaker": "a beaker of water that cools",
}
USUAL_DROP_HEIGHT_M = 1.0
"""The length of the rule, and what the ball falls from where no plan says otherwise."""
MOST_TEMPERATURES, MOST_REPEATS = 50, 200
"""Of one plan: more than any school day holds."""
LONGEST_WAIT_S = 24 * 3600.0


@dataclass(frozen=True)
class Procedure:
    """A plan for a whole set of readings; by default the usual way (`USUAL_WAY`).

    Attributes:
        temperatures_k: the planned temperatures of the water, in the order of the set.
        repeats: drops at each temperature.
        drop_height_m: where the ball's lowest point is held.
        bath: what the ball is warmed in.
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
    soak_s: float = 300.0
    towel: bool = True
    observer: Reader | Camera = USUAL
    eye_height_m: float | None = None
    bath: Bath = "kept"

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
                    f"Water at {celsius(temperature_k):g} °C can be neither kept in the bath nor "
                    f"mixed from jug and kettle; choose a temperature between "
                    f"{celsius(JUG_K):g} °C and {celsius(KETTLE_K):g} °C."
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
    bath: Bath = "beaker"
    """Plans from before there was a bath do not say it."""


_KEPT_AS_PLANNED = tuple(
    name for name in KeptPlan.__struct_fields__ if name in Procedure.__dataclass_fields__
)
"""The fields that a plan and its form in files have alike."""


def kept_plan(procedure: Procedure) -> KeptPlan:
    """A plan in the form that files keep."""
    observer = procedure.observer
    return KeptPlan(
        **{name: getattr(procedure, name) for name in _KEPT_AS_PLANNED},
        reader=None if isinstance(observer, Camera) else observer.name,
        camera=observer.frames_per_second if isinstance(observer, Camera) else None,
    )


def procedure_of(kept: KeptPlan) -> Procedure:
    """The plan that a file keeps.

    Raises NotPossible for a plan of no bench, LookupError for a reader or camera there is not.
    """
    return Procedure(
        **{name: getattr(kept, name) for name in _KEPT_AS_PLANNED},
        observer=CAMERAS[kept.camera] if kept.camera is not None else READERS[kept.reader or ""],
    )


def plan_sentence(procedure: Procedure) -> str:
    """What a student at the bench has to know of the plan; who reads is the student.

    Numbers stay on one line with their units.
    """
    temperatures = [plain(each, 1) for each in celsius(procedure.temperatures_k).tolist()]
    water = " and ".join([", ".join(temperatures[:-1]), temperatures[-1]]).removeprefix(" and ")
    where = "the bath" if procedure.bath == "kept" else "water"
    drops = counted(procedure.repeats, "drop")
    dried = "dry it" if procedure.towel else "leave it wet"
    again = (
        "put it back before each drop" if procedure.reheat else "do not put it back between drops"
    )
    return (
        f"The plan of your class: {where} at {water}\u00a0°C, {drops} at each, from "
        f"{plain(float(centimetres(procedure.drop_height_m)), 1)}\u00a0cm. Soak the ball "
        f"{plain(procedure.soak_s, 0)}\u00a0s, {dried}; {again}."
    )


class Extent(NamedTuple):
    """How much a practical is: how many temperatures, drops at each, and how long the soak."""

    temperatures: int
    repeats: int
    soak_s: float


def extent_of(plan: Procedure) -> Extent:
    """How much a plan asks for."""
    return Extent(len(plan.temperatures_k), plan.repeats, plan.soak_s)


WHOLE = extent_of(Procedure())
SHORT = WHOLE._replace(temperatures=3, repeats=3)
"""What can be chosen where no class has a plan. The soak is no shorter: hastened, it costs a
quarter of a minute of the lesson, and a ball soaked less lies farther behind the water."""

DEMO_SEED = 1
DEMO_PROCEDURE = Procedure()
"""Five temperatures, five repeats, one metre, the usual eye, the ball not put back."""
SHOWN_PROCEDURE = Procedure(
    temperatures_k=tuple(kelvin(each) for each in (60.0, 50.0, 40.0)), repeats=8, observer=CAREFUL
)
"""What a teacher shows of putting the ball back: hottest first, where it cools fastest, in sets
long enough that the readings of nearly every showing settle it (a test holds how many)."""
USUAL_WAY = (
    "The usual way is that of a careful school: the bath is kept at its temperature, the ball is "
    "soaked for five minutes, dried with the towel, and all drops of a set are made off that one "
    "soak. A shorter soak, or a beaker that cools, leaves the ball farther behind the water at "
    "high temperatures than at low ones, and so flattens the line."
)
"""What scripted students and class sets do unless they are told otherwise, and what it does."""
