"""Fall and rise of the ball through the room's still air: closed forms.

Drag goes with the square of the speed and buoyancy takes a little of the weight. The drag
coefficient of a smooth sphere is held at its value at one speed, 3 m/s, which lies amid
the speeds of a practical: from 1 m/s to 7 m/s in a room's air it stays within 9 % of that
value, and drag as a whole takes 1.5 % of a rebound. Against `solve_ivp` with the whole drag
curve the impact speed is right to 0.01 % after 1 m and 0.1 % after 2.54 m, the rebound to
0.02 % and 0.22 % (tests/published). The ball's added mass is left out: it would count as
0.08 % more mass.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from physics.air import Air
from physics.ball import Ball
from physics.constants import STANDARD_GRAVITY_M_S2
from physics.number import Number
from physics.ranges import within

CHARACTERISTIC_SPEED_M_S = 3.0
"""Where the drag coefficient is taken."""

HIGHEST_M = 5.0
"""The tallest drop that the held drag coefficient is used for."""


class Fall(NamedTuple):
    """What one ball in one room's air falls by."""

    gravity_m_s2: float
    """Standard gravity less buoyancy."""
    terminal_speed_m_s: float


def drag_coefficient(reynolds: Number) -> Number:
    """Drag coefficient of a smooth sphere, dimensionless.

    C = 24/Re (1 + 0.150 Re^0.681) + 0.407 / (1 + 8710/Re). Takes the Reynolds number on
    the diameter, 0.1 to 2e5, any shape.

    Source: P. Brown and D. Lawler, "Sphere drag and settling velocity revisited", Journal
    of Environmental Engineering 129 (2003) 222 (formula from memory; held against other
    correlations and measured points in tests/published).

    Raises:
        OutOfRange: outside 0.1 to 2e5, naming the value.

    """
    within(reynolds, 0.1, 2e5, "Reynolds number")
    coefficient: Number = 24.0 / reynolds * (1.0 + 0.150 * reynolds**0.681) + 0.407 / (
        1.0 + 8710.0 / reynolds
    )
    return coefficient


def falling(ball: Ball, room_k: float) -> Fall:
    """Gravity less buoyancy, and the terminal speed, of a ball in a room's air.

    v_t² = 2 m g' / (ρ C A), with A the frontal area. Remembered per ball size and room.
    """
    return _falling(ball.diameter_m, ball.mass_kg, float(room_k))


@lru_cache(maxsize=256)
def _falling(diameter_m: float, mass_kg: float, room_k: float) -> Fall:
    air = Air(room_k)
    density_kg_m3 = float(air.density_kg_m3)
    reynolds = CHARACTERISTIC_SPEED_M_S * diameter_m / float(air.kinematic_viscosity_m2_s)
    displaced_kg = density_kg_m3 * math.pi * diameter_m**3 / 6.0
    weight_n = STANDARD_GRAVITY_M_S2 * (mass_kg - displaced_kg)
    drag_kg_m = (
        0.5 * density_kg_m3 * float(drag_coefficient(reynolds)) * math.pi * diameter_m**2 / 4
    )
    return Fall(weight_n / mass_kg, math.sqrt(weight_n / drag_kg_m))


def impact_speed_m_s(ball: Ball, room_k: float, drop_height_m: Number) -> Number:
    """Speed at the floor after a fall from rest, m/s.

    v² = v_t² (1 − exp(−2 g' h / v_t²)). Height of the ball's lowest point in metres, 0 to
    5, any shape.

    Raises:
        OutOfRange: for a height outside these, naming it.

    """
    within(drop_height_m, 0.0, HIGHEST_M, "drop height", "m")
    gravity, terminal = falling(ball, room_k)
    speed: Number = terminal * np.sqrt(-np.expm1(drop_height_m * (-2.0 * gravity / terminal**2)))
    return speed


def fall_time_s(ball: Ball, room_k: float, drop_height_m: Number) -> Number:
    """How long that fall takes, s: t = (v_t / g') artanh(v / v_t). Any shape.

    Raises:
        OutOfRange: for a height outside 0 m to 5 m, naming it.

    """
    gravity, terminal = falling(ball, room_k)
    speed = impact_speed_m_s(ball, room_k, drop_height_m)
    time: Number = terminal / gravity * np.arctanh(speed / terminal)
    return time


def rebound_height_m(ball: Ball, room_k: float, launch_speed_m_s: Number) -> Number:
    """How high a ball rises that leaves the floor upwards, m.

    h = (v_t² / 2 g') ln(1 + v² / v_t²). Speed in m/s, 0 or more, any shape.
    """
    gravity, terminal = falling(ball, room_k)
    ratio = launch_speed_m_s / terminal
    height: Number = terminal**2 / (2.0 * gravity) * np.log1p(ratio * ratio)
    return height


def rise_time_s(ball: Ball, room_k: float, launch_speed_m_s: Number) -> Number:
    """How long that rise takes, s: t = (v_t / g') arctan(v / v_t). Any shape."""
    gravity, terminal = falling(ball, room_k)
    time: Number = terminal / gravity * np.arctan(launch_speed_m_s / terminal)
    return time
