"""What a practical is: its plan, whose bench it stands on, and how all stands at one moment.

First the plan: what is to be done, and how files keep it; with it the invented scenario that the
commands use when they are told nothing else. Then the apparatus, and the exercise book beside it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property
from types import MappingProxyType
from typing import Any, Literal, NamedTuple, TypeVar

from msgspec import Struct

from analysis.marking.work import Axis
from analysis.quantity.units import celsius, centimetres, counted, kelvin, plain
from physics.ball import USUAL_BALL, Ball, individual
from physics.drop import HAND_SD_M
from physics.reading import CAMERAS, READERS, USUAL, Camera, Reader, Reading
from physics.wall import NODES
from sim.actions import NotPossible, Vessel
from sim.chance import apparatus_chance, place_of

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
MOVING_S = 1.5
"""How long the ball moves after its release: the fall and the first bounces, until it
rolls. Stated assumption."""


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


CLUB = "Larkmere Vale School lunchtime club"
"""An invented club at an invented school."""
DEMO_SEED = 1
DEMO_PROCEDURE = Procedure()
"""Five temperatures, five repeats, one metre, the usual eye, the ball not put back."""
USUAL_WAY = (
    "The usual way is that of a careful school: the bath is kept at its temperature, the ball is "
    "soaked for five minutes, dried with the towel, and all drops of a set are made off that one "
    "soak. A shorter soak, or a beaker that cools, leaves the ball farther behind the water at "
    "high temperatures than at low ones, and so flattens the line."
)
"""What scripted students and class sets do unless they are told otherwise, and what it does."""

ROOM_K = kelvin(20.0)
BEAKER_HOLDS_KG = 0.400
"""A common 400 ml beaker, filled to the brim."""
THERMOMETER_ERROR_SD_K = 0.3
"""How far one thermometer's scale is off another's. Stated assumption: a liquid-in-glass
thermometer with 1 °C divisions is seldom wrong by more than one division."""
FIRST_EYE_HEIGHT_M = 1.20
"""Where the eye is until it is set: a student of fifteen, standing a little stooped."""


class Place(Enum):
    """Where the ball is."""

    TRAY = "on the tray"
    WATER = "in the beaker"
    BATH = "in the bath"
    TONGS = "in the tongs"
    FLOOR = "on the floor"


PLACE_IN: dict[Vessel, Place] = {"beaker": Place.WATER, "bath": Place.BATH}
"""Where a ball is that was put into a vessel."""


@dataclass(frozen=True)
class Setup:
    """What stands fixed for one practical: whose it is, and what its apparatus is like.

    `seed` and `member` address the random numbers; `thermometer_error_k` is how much
    this bench's thermometer reads high. `plan` is what a class set asks for; a practical
    begun at the bench has none.
    """

    seed: int
    member: int = 0
    model: Ball = USUAL_BALL
    room_k: float = ROOM_K
    hand_sd_m: float = HAND_SD_M
    plan: Procedure | None = None

    @property
    def drop_height_m(self) -> float:
        """The height that the ball is to fall from: the plan's, or the usual metre."""
        return USUAL_DROP_HEIGHT_M if self.plan is None else self.plan.drop_height_m

    @cached_property
    def ball(self) -> Ball:
        """The ball of this bench: one individual of its model."""
        return self.individual(self.model)

    def individual(self, model: Ball) -> Ball:
        """The ball of another model that this bench would have been given."""
        return individual(model, self._apparatus[0])

    @cached_property
    def thermometer_error_k(self) -> float:
        """How much this bench's thermometer reads high, in kelvin."""
        return THERMOMETER_ERROR_SD_K * self._apparatus[1]

    @cached_property
    def _apparatus(self) -> tuple[float, float]:
        """The standard normals that this bench's ball and thermometer are made with."""
        block, index = place_of(self.member)
        chance = apparatus_chance(self.seed, block)
        return float(chance.ball[index]), float(chance.thermometer[index])


@dataclass(frozen=True)
class Drop:
    """The last drop as it truly was; only the reading, where there is one, may be shown."""

    number: int
    time_s: float
    ball_k: float
    mark_m: float
    """Where the ball was held to fall from; the hand lets go a little above or below."""
    release_height_m: float
    impact_speed_m_s: float
    restitution: float
    apex_m: float
    reheated: bool
    """Whether the ball was in the water since the drop before."""
    called_out: Reading | None
    """What the model reader or the camera reads, with its parts; None by own eye."""
    eye_height_m: float
    """Where the eye was, or the lens of the camera that filmed it."""
    filmed: bool
    soak_k: tuple[float, float] | None
    """As `State.soak_k`, of the last soak before the drop."""


@dataclass(frozen=True)
class RoughReading:
    """One line of the rough page. `struck_out` holds the reason, or None."""

    temperature_k: float
    height_m: float
    drop: Drop
    aided: bool
    decimal_places: int
    time_s: float
    struck_out: str | None = None


@dataclass(frozen=True)
class CameraStand:
    """The slow-motion camera on its stand."""

    camera: Camera
    height_m: float


def _nothing() -> MappingProxyType[Any, Any]:
    return MappingProxyType({})


@dataclass(frozen=True)
class Book:
    """What the student has written and drawn in the exercise book."""

    cells: MappingProxyType[tuple[int, int], str] = field(default_factory=_nothing)
    answers: MappingProxyType[tuple[str, str], str] = field(default_factory=_nothing)
    axes: MappingProxyType[Literal["across", "up"], Axis] = field(default_factory=_nothing)
    crosses: tuple[tuple[float, float], ...] = ()
    line: tuple[tuple[float, float], ...] = ()
    tries: MappingProxyType[str, int] = field(default_factory=_nothing)
    """How often feedback was asked for, by page."""


@dataclass(frozen=True)
class Caution:
    """A caution that the bench gave, and when."""

    time_s: float
    text: str


class Since(NamedTuple):
    """How ball and beaker were when the ball came into what surrounds it now.

    How warm the ball is now is worked out from here (`sim.passing.warmth`), so that it makes no
    difference how the time since then was cut up.
    """

    time_s: float
    wall_k: tuple[float, ...]
    """The ball's wall at its nodes, the inmost first (`physics.wall`)."""
    film_kg: float
    """Water on the ball."""
    water_k: float
    thermometer_k: float


@dataclass(frozen=True)
class State:
    """The whole practical at one moment. Replaced, never changed."""

    setup: Setup
    ball: Ball
    since: Since
    thermometer_k: float
    water_k: float
    time_s: float = 0.0
    place: Place = Place.TRAY
    reheated: bool = False
    """Whether the ball has been in the water since the drop before."""
    held_height_m: float | None = None
    water_kg: float = 0.0
    """In the beaker."""
    prepared_k: tuple[float, float] | None = None
    """Coldest and warmest that the water was since the ball was last lifted out: at each pouring,
    and when the ball went in."""
    soak_k: tuple[float, float] | None = None
    """The same of the ball's last soak, with the water that it was lifted out of."""
    bath_k: float = ROOM_K
    bath_setting_k: float = ROOM_K
    """What the dial of the bath says."""
    bath_found_k: float = ROOM_K
    """How warm the bath was when its dial was last turned."""
    thermometer_in: Vessel = "beaker"
    floor_wet: bool = False
    eye_height_m: float = FIRST_EYE_HEIGHT_M
    camera: CameraStand | None = None
    reading_aid: str | None = None
    drops: int = 0
    last_drop: Drop | None = None
    rough: tuple[RoughReading, ...] = ()
    cautions: tuple[Caution, ...] = ()
    book: Book = field(default_factory=Book)

    @property
    def soaking(self) -> bool:
        """Whether the ball is in water."""
        return self.place in PLACE_IN.values()

    @property
    def bath_changing(self) -> bool:
        """Whether the bath is still on its way to its setting."""
        return self.bath_k != self.bath_setting_k


Replaced = TypeVar("Replaced")


def replace(value: Replaced, /, **changes: Any) -> Replaced:
    """As `dataclasses.replace`, in an eighth of the time; the fold does little else.

    For frozen dataclasses that check nothing when they are made. Raises TypeError for a name
    that is no field.
    """
    fields = value.__dict__
    if not changes.keys() <= fields.keys():
        raise TypeError(f"{type(value).__name__} has no {', '.join(changes.keys() - fields)}.")
    new = object.__new__(type(value))
    new.__dict__.update(fields)
    new.__dict__.update(changes)
    return new


def beginning(setup: Setup) -> State:
    """The bench as the student finds it: beaker empty, bath cold, all at the room's warmth."""
    room_k = setup.room_k
    return State(
        setup=setup,
        ball=setup.ball,
        since=Since(0.0, (room_k,) * NODES, 0.0, room_k, room_k),
        thermometer_k=room_k,
        water_k=room_k,
        bath_k=room_k,
        bath_setting_k=room_k,
        bath_found_k=room_k,
    )
