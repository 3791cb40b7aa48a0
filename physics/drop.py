"""One drop from the release to the top of its first rebound."""

from __future__ import annotations

from typing import NamedTuple

from physics.ball import Ball
from physics.flight import impact_speed_m_s, rebound_height_m
from physics.number import Number
from physics.restitution import restitution

HAND_SD_M = 0.003
"""How far from the mark the ball is let go, standard deviation. Stated assumption: a
millimetre scale beside the ball, held at arm's length, trusted to a few divisions."""


class Bounce(NamedTuple):
    """What truly happened in a drop. SI units, all of the broadcast shape of their inputs."""

    release_height_m: Number
    temperature_k: Number
    impact_speed_m_s: Number
    restitution: Number
    apex_m: Number
    """Height of the ball's lowest point at the top of the first rebound."""


def released_height_m(mark_m: Number, hand_sd_m: float, z: Number) -> Number:
    """Where the ball's lowest point truly is at the release, m: the mark and the hand's error.

    `z` is a standard normal; shapes broadcast.
    """
    return mark_m + hand_sd_m * z


def bounce(ball: Ball, room_k: float, temperature_k: Number, release_height_m: Number) -> Bounce:
    """Let a ball of a temperature fall from a height, and see how high it comes.

    Args:
        ball: the ball; its loss ratio may be an array.
        room_k: the room's temperature, one number, kelvin.
        temperature_k: the ball's, 0 °C to 100 °C, in kelvin.
        release_height_m: height of its lowest point at release, 0.2 mm to 5 m.

    Raises:
        OutOfRange: for a height or a temperature outside these, naming it.

    """
    speed = impact_speed_m_s(ball, room_k, release_height_m)
    left = restitution(ball, temperature_k, speed)
    apex = rebound_height_m(ball, room_k, left * speed)
    return Bounce(release_height_m, temperature_k, speed, left, apex)
