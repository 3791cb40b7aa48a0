"""What a person can do at the bench: one small frozen value for each act.

An action says what was done, never what came of it; `sim.practical.apply` works that
out. Actions are written to the practical record as they stand, so a field's name is
part of the file format and carries its unit. What cannot be done is `NotPossible`.
"""

from __future__ import annotations

from typing import ClassVar, Literal

from msgspec import Struct

from analysis.refusal import Refused

Vessel = Literal["beaker", "bath"]
"""What holds warm water: the beaker, which is filled and cools, and the bath, which is kept hot."""


class NotPossible(Refused):
    """An action that cannot be done now, or a plan that no bench can carry out."""


class Act(Struct, frozen=True, forbid_unknown_fields=True, tag_field="act"):
    """What all actions share: the time the hands need for them."""

    handling_time_s: ClassVar[float] = 0.0


class ChooseExtent(Act, frozen=True, tag="choose extent"):
    """Choose the short practical or the whole one, before the first reading."""

    short: bool


class ChooseBall(Act, frozen=True, tag="choose ball"):
    """Take a ball of one of the playing speeds from the box, before the first drop."""

    handling_time_s: ClassVar[float] = 5.0
    speed: str


class AddHotWater(Act, frozen=True, tag="add hot water"):
    """Pour from the kettle. Careful pouring takes longer and spills nothing."""

    handling_time_s: ClassVar[float] = 8.0
    mass_kg: float
    carefully: bool = True


class AddColdWater(Act, frozen=True, tag="add cold water"):
    """Pour from the cold jug. Careful pouring takes longer and spills nothing."""

    handling_time_s: ClassVar[float] = 8.0
    mass_kg: float
    carefully: bool = True


class PourAway(Act, frozen=True, tag="pour away"):
    """Pour water from the beaker into the sink."""

    handling_time_s: ClassVar[float] = 6.0
    mass_kg: float


class SetBath(Act, frozen=True, tag="set bath"):
    """Turn the dial of the bath: its water is brought to this temperature and kept there."""

    handling_time_s: ClassVar[float] = 2.0
    temperature_k: float


class MoveThermometer(Act, frozen=True, tag="move thermometer"):
    """Stand the thermometer in the beaker or in the bath."""

    handling_time_s: ClassVar[float] = 2.0
    to: Vessel


class PutBallIn(Act, frozen=True, tag="put ball in", omit_defaults=True):
    """Lower the ball into the beaker or the bath and keep it under with the tongs.

    Of the beaker nothing is written, as it was before there was a bath.
    """

    handling_time_s: ClassVar[float] = 2.0
    into: Vessel = "beaker"


class Wait(Act, frozen=True, tag="wait"):
    """Let time pass: soaking, settling, or dawdling."""

    time_s: float


class LiftOut(Act, frozen=True, tag="lift out"):
    """Lift the ball out of the water, with the tongs or with bare fingers."""

    handling_time_s: ClassVar[float] = 3.0
    with_tongs: bool = True


class Towel(Act, frozen=True, tag="towel"):
    """Dry the ball with the towel."""

    handling_time_s: ClassVar[float] = 5.0


class PickUp(Act, frozen=True, tag="pick up"):
    """Pick the ball up from the floor or the tray with the tongs."""

    handling_time_s: ClassVar[float] = 4.0


class Hold(Act, frozen=True, tag="hold"):
    """Bring the ball's lowest point beside the rule to a height above the floor."""

    handling_time_s: ClassVar[float] = 3.0
    height_m: float


class SetEyeLevel(Act, frozen=True, tag="set eye level"):
    """Kneel or stand so that the eye is at a height above the floor."""

    handling_time_s: ClassVar[float] = 1.0
    height_m: float


class Release(Act, frozen=True, tag="release"):
    """Open the tongs. The ball falls, bounces and comes to rest on the floor."""

    handling_time_s: ClassVar[float] = 3.0


class NoteReading(Act, frozen=True, tag="note reading"):
    """Write a reading on the rough page: the planned temperature and the height read.

    `decimal_places` is how many places the height was written to, in centimetres: a
    written 24.0 says more than a written 24, and the number alone cannot tell.
    `temperature_places` is the same of the temperature, in degrees; None where nobody says it.
    """

    handling_time_s: ClassVar[float] = 4.0
    temperature_k: float
    height_m: float
    aided: bool = False
    decimal_places: int = 0
    temperature_places: int | None = None


class StrikeReading(Act, frozen=True, tag="strike reading"):
    """Strike a reading out, with the reason. It stays legible; nothing is erased."""

    handling_time_s: ClassVar[float] = 2.0
    number: int
    reason: str


class WipeFloor(Act, frozen=True, tag="wipe floor"):
    """Wipe spilt water and drips from the floor."""

    handling_time_s: ClassVar[float] = 10.0


class SetUpCamera(Act, frozen=True, tag="set up camera"):
    """Stand the slow-motion camera with its lens at a height above the floor."""

    handling_time_s: ClassVar[float] = 20.0
    frames_per_second: int
    height_m: float


class PutCameraAway(Act, frozen=True, tag="put camera away"):
    """Take the camera off its stand; readings are by eye again."""

    handling_time_s: ClassVar[float] = 10.0


class AskReader(Act, frozen=True, tag="ask reader"):
    """Let a model reader call the heights out (the reading aid), or None to stop it."""

    reader: str | None


class WriteCell(Act, frozen=True, tag="write cell"):
    """Write into a cell of the results table: row 0 holds the headings."""

    row: int
    column: int
    text: str


class WriteAnswer(Act, frozen=True, tag="write answer"):
    """Write an answer on a page of the exercise book, under the question's name."""

    page: str
    question: str
    text: str


class SetAxis(Act, frozen=True, tag="set axis"):
    """Choose what an axis shows, where it starts and what a large square stands for."""

    axis: Literal["across", "up"]
    title: str
    start: float
    large_square: float


class PlotPoint(Act, frozen=True, tag="plot point"):
    """Place a cross on the graph paper, in the units of the axes."""

    across: float
    up: float


class RubOutPoint(Act, frozen=True, tag="rub out point"):
    """Rub a cross out again: graphs are drawn in pencil."""

    number: int


class LayLine(Act, frozen=True, tag="lay line"):
    """Lay the line of best fit: two ends make it straight, more points a free curve."""

    points: tuple[tuple[float, float], ...]


class AskForFeedback(Act, frozen=True, tag="ask for feedback"):
    """Ask what is not right yet on a page of the exercise book: that counts as a try."""

    page: str


Action = (
    ChooseExtent
    | ChooseBall
    | AddHotWater
    | AddColdWater
    | PourAway
    | SetBath
    | MoveThermometer
    | PutBallIn
    | Wait
    | LiftOut
    | Towel
    | PickUp
    | Hold
    | SetEyeLevel
    | Release
    | NoteReading
    | StrikeReading
    | WipeFloor
    | SetUpCamera
    | PutCameraAway
    | AskReader
    | WriteCell
    | WriteAnswer
    | SetAxis
    | PlotPoint
    | RubOutPoint
    | LayLine
    | AskForFeedback
)
