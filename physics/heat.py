"""Newton's law of cooling for the ball in air.

The rate is allowed to grow a little with the excess temperature, as convection and
radiation make it: dθ/dt = −(r₀ + r₁ |θ|) θ, θ = T − T_rest. This has an exact solution,
so no result depends on how a wait is cut up. The rates themselves stand in
`physics.rates`.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from physics.ball import Ball
from physics.number import Number
from physics.ranges import within
from physics.rates import Rate, dry_rate, moving_rate, wet_rate, wet_rest_k

__all__ = [
    "FILM_LASTS_S",
    "FLIGHT_SPEED_M_S",
    "Rate",
    "cooled_k",
    "dry_rate",
    "in_air",
    "in_flight",
    "moving_rate",
    "time_constant_s",
    "wet_rate",
    "wet_rest_k",
]

FILM_LASTS_S = 60.0
"""How long a film of water stays on a ball that is lifted out and not towelled. Stated
assumption: some 0.15 g clings once the drops have fallen off, and 0.1 to 0.2 g a minute
evaporates."""

FLIGHT_SPEED_M_S = 2.0
"""The air's speed past a ball that falls and bounces. The mean over a fall of 1 m is
2.2 m/s, over the bounces a little less. Stated assumption."""

LONGEST_S = 1e9


class Warmth(NamedTuple):
    """The ball's temperature, and how long the film on it still lasts."""

    temperature_k: Number
    wet_left_s: Number


def cooled_k(temperature_k: Number, rest_k: float, rate: Rate, time_s: Number) -> Number:
    """Temperature after a time in surroundings that stay as they are, K.

    θ(t) = θ₀ e^(−r₀ t) / (1 + (r₁/r₀) |θ₀| (1 − e^(−r₀ t))). Exact; the temperature never
    crosses that of the surroundings. Any shapes that broadcast; `rest_k` is one number.

    Raises:
        OutOfRange: for a time below zero, naming it.

    """
    within(time_s, 0.0, LONGEST_S, "time", "s")
    excess_k = temperature_k - rest_k
    decay = np.exp(-rate.at_zero_per_s * time_s)
    bend = rate.per_kelvin_per_s / rate.at_zero_per_s
    cooled: Number = rest_k + excess_k * decay / (1.0 + bend * np.abs(excess_k) * (1.0 - decay))
    return cooled


def time_constant_s(rate: Rate, excess_k: Number) -> Number:
    """The time constant that an excess temperature has at once, s: 1 / (r₀ + r₁ |θ|)."""
    constant: Number = 1.0 / (rate.at_zero_per_s + rate.per_kelvin_per_s * np.abs(excess_k))
    return constant


def in_air(
    ball: Ball, room_k: float, temperature_k: Number, wet_left_s: Number, time_s: Number
) -> Warmth:
    """The ball in still air: while its film lasts as a wet ball, then as a dry one.

    Args:
        ball: the ball.
        room_k: the room's temperature, one number, kelvin.
        temperature_k: the ball's, kelvin, any shape.
        wet_left_s: how long the film still lasts, s, any shape; 0 for a towelled ball.
        time_s: how long the ball is in the air, s, any shape.

    Returns:
        temperature, and what is then left of the film's time.

    Raises:
        OutOfRange: for a time below zero, naming it.

    """
    dry = dry_rate(ball, room_k)
    if isinstance(wet_left_s, float | int) and wet_left_s == 0.0:
        return Warmth(cooled_k(temperature_k, room_k, dry, time_s), 0.0)
    wet_s = np.minimum(time_s, wet_left_s)
    rest_k = wet_rest_k(ball, room_k)
    wetted_k = cooled_k(temperature_k, rest_k, wet_rate(ball, room_k), wet_s)
    return Warmth(cooled_k(wetted_k, room_k, dry, time_s - wet_s), wet_left_s - wet_s)


def in_flight(ball: Ball, room_k: float, temperature_k: Number, time_s: Number) -> Number:
    """Temperature after a time of falling and bouncing, K: moving air cools faster.

    At 60 °C in a room of 20 °C a fall of 0.45 s costs 0.1 K. What the floor takes in the
    few milliseconds of contact is left out.
    """
    rate = moving_rate(ball, room_k, FLIGHT_SPEED_M_S)
    return cooled_k(temperature_k, room_k, rate, time_s)
