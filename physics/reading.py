"""How an eye, or a slow-motion camera, reads the top of a rebound against the rule.

Each thing that goes wrong is a part of its own, and each can be switched off by
`dataclasses.replace`, which makes it exactly zero: the instant (timing_sd_s), the place
(place_sd_m), which end of the ball is read (reads_top), the parallax (standoff_m of the
view), a gross misreading (misreading_chance), rounding (graduation_m) and within it the
liking for round numbers (digit_preference). Random numbers are passed in.

That a missed apex biases a reading low follows from the form: the ball is never above its apex.
How large the bias is, ½ g σ² on average (2 mm careful, 4 mm usual, 10 mm hurried), rests on the
assumed timing errors, and on an eye that takes what it sees at one instant. No measurement of
either was found: the bias is an assumption without evidence.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from physics.constants import STANDARD_GRAVITY_M_S2
from physics.number import FloatArray, Number
from physics.ranges import within

ROUND_NUMBER_M = 0.05
ROUND_NUMBER_DRAWS_M = 0.01
"""A liking for round numbers moves a reading to a multiple of 5 cm from 1 cm away at most."""

SLIP_SMALLEST_M = 0.05
SLIP_LARGEST_M = 0.10
"""A gross misreading is wrong by 5 cm to 10 cm either way: the wrong decimetre, or a count
from the wrong side of a long mark. Stated assumption; small enough to look possible."""

FINEST_DECIMAL_PLACES_CM = 3
"""Places in centimetres that an unrounded reading is written to."""


def _check_scale(place_sd_m: float, graduation_m: float) -> None:
    within(place_sd_m, 0.0, 0.5, "placing error", "m")
    within(graduation_m, 0.0, 0.1, "graduation", "m")


@dataclass(frozen=True)
class Reader:
    """Somebody who reads by eye.

    A student may read the top of the ball instead of its lowest point, and so read high
    by one diameter each time.

    Attributes:
        name: what the reader is called.
        timing_sd_s: how far from the apex the judged moment lies, standard deviation.
        place_sd_m: how far off a moving, blurred ball is placed, standard deviation.
        graduation_m: the readings are rounded to multiples of this; 0 does not round.
        digit_preference: the chance of giving the nearest multiple of 5 cm when the
            rounded reading is within 1 cm of one.
        misreading_chance: the chance of a gross misreading, an anomaly to be found.
        reads_top: whether the top of the ball is read.

    """

    name: str
    timing_sd_s: float
    place_sd_m: float
    graduation_m: float
    digit_preference: float = 0.0
    misreading_chance: float = 0.0
    reads_top: bool = False

    def __post_init__(self) -> None:
        """Refuse what no reader is like."""
        within(self.timing_sd_s, 0.0, 0.5, "timing error", "s")
        _check_scale(self.place_sd_m, self.graduation_m)
        within(self.digit_preference, 0.0, 1.0, "chance of a round number")
        within(self.misreading_chance, 0.0, 1.0, "chance of a misreading")

    @property
    def decimal_places_cm(self) -> int:
        """How many decimal places this reader's heights in centimetres carry."""
        return _decimal_places_cm(self.graduation_m)


@dataclass(frozen=True)
class Camera:
    """A slow-motion camera, read from the frame in which the ball is highest.

    The frame misses the apex by half a frame at most, and the ball stands still in it.
    Parallax stays: the lens is an eye too.

    Attributes:
        frames_per_second: the frame rate.
        place_sd_m: how far off the ball is placed in a frame, standard deviation.
        graduation_m: the readings are rounded to multiples of this; 0 does not round.

    """

    frames_per_second: int
    place_sd_m: float
    graduation_m: float

    def __post_init__(self) -> None:
        """Refuse what no camera is like."""
        within(self.frames_per_second, 1, 1_000_000, "frame rate", "frames per second")
        _check_scale(self.place_sd_m, self.graduation_m)

    @property
    def decimal_places_cm(self) -> int:
        """How many decimal places heights in centimetres read from this camera carry."""
        return _decimal_places_cm(self.graduation_m)


CAREFUL = Reader(name="careful", timing_sd_s=0.020, place_sd_m=0.004, graduation_m=0.005)
"""Practised, kneeling, watching the turning point. Timing at the good end of the 20 ms to
50 ms of untrained adults (general literature, from memory); place a stated assumption."""

USUAL = Reader(
    name="usual",
    timing_sd_s=0.030,
    place_sd_m=0.006,
    graduation_m=0.01,
    digit_preference=0.2,
    misreading_chance=0.005,
)
"""Shown once how it is done, and taking the trouble. Timing amid the same 20 ms to 50 ms; the
rest are stated assumptions, chosen so that repeats scatter as published ones do."""

HURRIED = Reader(
    name="hurried",
    timing_sd_s=0.045,
    place_sd_m=0.018,
    graduation_m=0.01,
    digit_preference=0.3,
    misreading_chance=0.007,
)
"""Unpractised and short of time. Timing at the poor end of the same 20 ms to 50 ms; the
rest are stated assumptions."""

READERS: Mapping[str, Reader] = MappingProxyType(
    {reader.name: reader for reader in (CAREFUL, USUAL, HURRIED)}
)
"""The model readers, by name. Repeats by eye in published student tables scatter by 0.8 cm to
1.8 cm with the ball's cooling in; the eye alone scatters them by 0.5 cm (careful), 1.1 cm (usual)
and 2.5 cm (hurried)."""

CAMERAS: Mapping[int, Camera] = MappingProxyType(
    {
        60: Camera(frames_per_second=60, place_sd_m=0.003, graduation_m=0.005),
        240: Camera(frames_per_second=240, place_sd_m=0.0015, graduation_m=0.001),
    }
)
"""Two common cameras, by frames per second: a telephone's ordinary and slow rate. Places
are stated assumptions: blur at a shutter of half a frame, and the size of a picture point."""


@dataclass(frozen=True)
class View:
    """Where the eye (or lens) is and where the ball is before the rule, in metres.

    The eye's height (it may be an array), its distance from the rule, and how far in
    front of the rule the ball is.
    """

    eye_height_m: Number
    eye_distance_m: float = 1.0
    standoff_m: float = 0.05


class Chance(NamedTuple):
    """The random numbers of one drop, or arrays of them, one a drop.

    `release`, `instant`, `place` and `handling` are standard normals; `slip`, `slip_size`
    and `digit` uniforms from 0 to 1. `read` uses all but the first and the fourth.
    """

    release: Number
    instant: Number
    place: Number
    handling: Number
    slip: Number
    slip_size: Number
    digit: Number


class Reading(NamedTuple):
    """A height as read, and the parts that took it from the true one; metres.

    `height_m` is the sum of the parts before it, to the last bit but one. All parts are
    of one shape.
    """

    apex_m: Number
    instant_m: Number
    """From looking beside the turning point: never above zero."""
    place_m: Number
    zero_m: Number
    """From reading the top of the ball: one diameter, or nothing."""
    parallax_m: Number
    slip_m: Number
    rounding_m: Number
    height_m: Number


def seen_height_m(
    height_m: Number, eye_height_m: Number, eye_distance_m: float, standoff_m: float
) -> Number:
    """Where on the rule a thing in front of it is seen: the parallax formula.

    y + (y − y_eye) d / (L − d): the line from the eye through the thing meets the rule
    there. Seen low if the eye is above the thing, high if below.

    Args:
        height_m: the thing's true height y, m, any shape.
        eye_height_m: the eye's height y_eye, m, any shape.
        eye_distance_m: from the eye to the rule, L, m.
        standoff_m: from the thing to the rule, d, m; 0 or more and short of the eye.

    Raises:
        OutOfRange: if the thing is not between eye and rule.

    """
    within(eye_distance_m, 0.01, 100.0, "distance from the eye to the rule", "m")
    within(standoff_m, 0.0, 0.95 * eye_distance_m, "distance of the ball from the rule", "m")
    return height_m + (height_m - eye_height_m) * (standoff_m / (eye_distance_m - standoff_m))


def read(
    apex_m: Number,
    ball_diameter_m: float,
    observer: Reader | Camera,
    view: View,
    chance: Chance,
) -> Reading:
    """Read the top of a rebound.

    The instant comes first: looking δt beside the turning point the eye finds the ball
    ½ g δt² lower. Place and zero error follow, then parallax, then a misreading where
    there is one, then rounding. What would lie below the foot of the rule is read as 0.

    Args:
        apex_m: the true height of the ball's lowest point at the apex, m, any shape.
        ball_diameter_m: the ball's diameter, m.
        observer: who or what reads.
        view: where the eye or lens is.
        chance: the random numbers; shapes broadcast against `apex_m`.

    Returns:
        the reading with its parts, all of the broadcast shape; a part that is the same
        for all drops is a read-only view.

    """
    instant_m = _instant_m(observer, chance)
    place_m = observer.place_sd_m * chance.place
    zero_m = ball_diameter_m if isinstance(observer, Reader) and observer.reads_top else 0.0
    pointed_at_m = apex_m + instant_m + place_m + zero_m
    seen_m = seen_height_m(pointed_at_m, view.eye_height_m, view.eye_distance_m, view.standoff_m)
    slip_m: Number = 0.0
    if isinstance(observer, Reader) and observer.misreading_chance > 0.0:
        slip_m = _slip_m(observer.misreading_chance, chance)
    said_m = seen_m + slip_m
    height_m = np.maximum(_given_m(said_m, observer, chance), 0.0)
    return Reading(
        _like(apex_m, height_m),
        _like(instant_m, height_m),
        _like(place_m, height_m),
        _like(zero_m, height_m),
        seen_m - pointed_at_m,
        _like(slip_m, height_m),
        height_m - said_m,
        height_m,
    )


def _instant_m(observer: Reader | Camera, chance: Chance) -> Number:
    """How much lower the ball is at the moment that is judged to be the apex."""
    if isinstance(observer, Camera):
        missed_s = (chance.digit - 0.5) / observer.frames_per_second
    else:
        missed_s = observer.timing_sd_s * chance.instant
    return missed_s * missed_s * (-0.5 * STANDARD_GRAVITY_M_S2)


def _slip_m(misreading_chance: float, chance: Chance) -> FloatArray:
    """A gross misreading where the chance has it so, elsewhere zero."""
    struck = np.asarray(chance.slip) < misreading_chance
    slip_m: FloatArray = np.zeros(struck.shape)
    if struck.any():
        way = 2.0 * np.broadcast_to(chance.slip_size, struck.shape)[struck] - 1.0
        size_m = SLIP_SMALLEST_M + (SLIP_LARGEST_M - SLIP_SMALLEST_M) * np.abs(way)
        slip_m[struck] = np.copysign(size_m, way)
    return slip_m


def _given_m(said_m: Number, observer: Reader | Camera, chance: Chance) -> Number:
    """The height as it is given: rounded to the graduation, sometimes to a round number."""
    if observer.graduation_m == 0.0:
        given_m = said_m
    else:
        given_m = np.rint(said_m * (1.0 / observer.graduation_m)) * observer.graduation_m
    if isinstance(observer, Camera) or observer.digit_preference == 0.0:
        return given_m
    five_m = np.rint(given_m * (1.0 / ROUND_NUMBER_M)) * ROUND_NUMBER_M
    way_m = five_m - given_m
    # A hair's breadth more than 1 cm, so that 24.0 cm is within it whatever its last bit.
    drawn = (np.abs(way_m) < ROUND_NUMBER_DRAWS_M + 1e-9) & (
        chance.digit < observer.digit_preference
    )
    moved_m: Number = given_m + way_m * drawn
    return moved_m


def _like(part_m: Number, height_m: Number) -> Number:
    """A part in the shape of the reading, without copying it."""
    if np.shape(part_m) == np.shape(height_m):
        return part_m
    part: FloatArray = np.broadcast_to(np.asarray(part_m, dtype=float), np.shape(height_m))
    return part


def _decimal_places_cm(graduation_m: float) -> int:
    """The fewest decimal places that write a graduation in centimetres exactly."""
    graduation_cm = graduation_m * 100.0
    if graduation_cm == 0.0:
        return FINEST_DECIMAL_PLACES_CM
    for places in range(FINEST_DECIMAL_PLACES_CM):
        if abs(round(graduation_cm, places) - graduation_cm) < 1e-9:
            return places
    return FINEST_DECIMAL_PLACES_CM
