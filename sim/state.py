"""What the practical is at one moment: the apparatus, and the exercise book beside it."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property
from types import MappingProxyType
from typing import Any, Literal, TypeVar

from analysis.marking.work import Axis
from analysis.quantity.units import kelvin
from physics.ball import FAST, Ball, individual
from physics.drop import HAND_SD_M
from physics.reading import Camera, Reading
from sim.chance import apparatus_chance, place_of
from sim.procedure import USUAL_DROP_HEIGHT_M, Procedure

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
    WATER = "in the water"
    TONGS = "in the tongs"
    FLOOR = "on the floor"


@dataclass(frozen=True)
class Setup:
    """What stands fixed for one practical: whose it is, and what its apparatus is like.

    `seed` and `member` address the random numbers; `thermometer_error_k` is how much
    this bench's thermometer reads high. `plan` is what a class set asks for; a practical
    begun at the bench has none.
    """

    seed: int
    member: int = 0
    model: Ball = FAST
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


@dataclass(frozen=True)
class State:
    """The whole practical at one moment. Replaced, never changed."""

    setup: Setup
    ball: Ball
    ball_k: float
    thermometer_k: float
    water_k: float
    time_s: float = 0.0
    place: Place = Place.TRAY
    wet_left_s: float = 0.0
    reheated: bool = False
    """Whether the ball has been in the water since the drop before."""
    held_height_m: float | None = None
    water_kg: float = 0.0
    floor_wet: bool = False
    eye_height_m: float = FIRST_EYE_HEIGHT_M
    camera: CameraStand | None = None
    reading_aid: str | None = None
    drops: int = 0
    last_drop: Drop | None = None
    rough: tuple[RoughReading, ...] = ()
    cautions: tuple[Caution, ...] = ()
    book: Book = field(default_factory=Book)


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
    """The bench as the student finds it: beaker empty, everything at the room's warmth."""
    return State(
        setup=setup,
        ball=setup.ball,
        ball_k=setup.room_k,
        thermometer_k=setup.room_k,
        water_k=setup.room_k,
    )
