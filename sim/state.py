"""What a practical is: whose bench it stands on, and how all stands at one moment.

The apparatus, and the exercise book beside it. What is to be done stands in `sim.procedure`.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property
from types import MappingProxyType
from typing import Any, Literal, NamedTuple, TypeVar

from analysis.marking.work import Axis
from analysis.quantity.units import kelvin
from physics.ball import USUAL_BALL, Ball, individual
from physics.drop import HAND_SD_M
from physics.reading import Camera, Reading
from physics.wall import NODES
from sim.actions import Vessel
from sim.chance import apparatus_chance, place_of
from sim.procedure import SHORT, USUAL_DROP_HEIGHT_M, WHOLE, Extent, Procedure, extent_of

MOVING_S = 1.5
"""How long the ball moves after its release: the fall and the first bounces, until it
rolls. Stated assumption."""
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
    soak_preparation: int = 0
    """As `State.soak_preparation`, of the last soak before the drop."""


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
    temperature_places: int | None = None
    """How many places the temperature was written to; None where that is not known."""


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
    preparation: int = 0
    """How often water was poured or the bath's dial turned: it numbers the water as prepared."""
    soak_preparation: int = 0
    """Which preparation the ball was last put into."""
    put_in_s: float | None = None
    """When the ball was last put into water; the stopwatch is at zero then."""
    short: bool = False
    """Whether the short practical was chosen."""
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
    def extent(self) -> Extent:
        """How much is to be done: as the plan of the class says, or as was chosen."""
        if self.setup.plan is not None:
            return extent_of(self.setup.plan)
        return SHORT if self.short else WHOLE

    @property
    def line_missing(self) -> bool:
        """Whether the last drop has no line on the rough page, struck out or not."""
        drop = self.last_drop
        return drop is not None and all(line.drop.number != drop.number for line in self.rough)

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


def beginning(setup: Setup, first_drop: int = 0) -> State:
    """The bench as the student finds it: beaker empty, bath cold, all at the room's warmth.

    `first_drop` is the number that drops are counted from: with another, other luck.
    """
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
        drops=first_drop,
    )
