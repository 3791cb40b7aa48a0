"""Beaker and bath: water, the ball in it, and the thermometer.

Linear Newton's laws, solved exactly, so no result depends on how a wait is cut up:
the ball takes heat from the water through its wall, the water loses that heat and some to
the room through the beaker, the thermometer follows the water.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from physics.ball import Ball
from physics.constants import WATER_SPECIFIC_HEAT_J_KG_K, ZERO_CELSIUS_K
from physics.number import FloatArray, Number
from physics.ranges import within
from physics.wall import lag_s

WATER_FILM_W_M2_K = 800.0
"""Heat transfer from still water to the ball. Churchill's sphere gives 650 W/(m² K) in
water of 40 °C and 850 at 60 °C (ball at 20 °C); the wall is what slows the ball, so the
difference is 3 s in its time constant."""

BEAKER_LOSS_W_K = 0.55
"""What an open glass beaker loses to the room, per kelvin. Stated assumption: some
0.035 m² of glass and water at 12 W/(m² K) and evaporation besides. 250 g of water at
60 °C then lose 1.3 K in the first minute."""

THERMOMETER_LAG_S = 8.0
"""Time constant of a liquid-in-glass thermometer in water. Stated assumption."""

THERMOMETER_STEP_K = 0.5
"""Divisions of 1 °C, read to the half."""

BATH_KG = 5.0
"""Water in the bath that a thermostat keeps. Stated assumption: five litres, stirred, lidded."""

HEATER_W = 1000.0
"""What its heater gives, and what a coil with cold water running through takes away. Stated
assumption. That the bath loses heat meanwhile, and that a coil takes less from cooler water, is
left out."""

CHANGE_K_S = HEATER_W / (BATH_KG * WATER_SPECIFIC_HEAT_J_KG_K)
"""How fast it changes: 10 °C in three and a half minutes."""

HEAVIEST_KG = 100.0
LONGEST_S = 1e7


class Temperatures(NamedTuple):
    """Temperatures of the ball, the water and the thermometer's bulb, kelvin, any shapes."""

    ball_k: Number
    water_k: Number
    thermometer_k: Number


class Standing(NamedTuple):
    """Temperatures of the water and of the thermometer's bulb, kelvin."""

    water_k: Number
    thermometer_k: Number


def water_time_constant_s(ball: Ball) -> float:
    """How slowly the ball follows a large bath, s: the water's film, then the wall.

    m c / (h A) + lag, 85 s for the standard ball: two minutes leave 24 % of the gap, five
    minutes 3 %. The conduction equation of the hollow sphere leaves 25 % and 4.6 %; the
    one exponential trails it by up to 11 % of the gap in the first half minute and runs
    ahead by up to 2.3 % after (tests/physics/test_lumped_law.py).
    """
    film_s = ball.heat_capacity_j_k / (WATER_FILM_W_M2_K * ball.area_m2)
    return film_s + lag_s(ball)


def soaked(
    ball: Ball,
    room_k: float,
    water_kg: float,
    temperatures: Temperatures,
    time_s: float,
    *,
    kept: bool = False,
) -> Temperatures:
    """Ball, water and thermometer after a time in the bath. A beaker's heat is conserved.

    Args:
        ball: the ball, under water.
        room_k: the room's temperature, kelvin.
        water_kg: one number, above 0.
        temperatures: at the beginning, any shapes that broadcast.
        time_s: one number, 0 or more.
        kept: whether a thermostat holds the water at the temperature that it has.

    Raises:
        OutOfRange: for a mass or a time that is none, naming it.

    """
    _check(water_kg, time_s)
    if kept:
        water = temperatures.water_k
        still_off_k = (temperatures.ball_k - water) * np.exp(-time_s / water_time_constant_s(ball))
        return Temperatures(water + still_off_k, *_kept(water, temperatures.thermometer_k, time_s))
    heat_j_k = (ball.heat_capacity_j_k, water_kg * WATER_SPECIFIC_HEAT_J_KG_K)
    weights = _soaking(heat_j_k, water_time_constant_s(ball), float(time_s))
    ball_k = temperatures.ball_k - room_k
    water_k = temperatures.water_k - room_k
    thermometer_k = temperatures.thermometer_k - room_k
    (b_b, b_w, _), (w_b, w_w, _), (t_b, t_w, t_t) = weights
    return Temperatures(
        room_k + b_b * ball_k + b_w * water_k,
        room_k + w_b * ball_k + w_w * water_k,
        room_k + t_b * ball_k + t_w * water_k + t_t * thermometer_k,
    )


def standing(
    room_k: float,
    water_kg: Number,
    water_k: Number,
    thermometer_k: Number,
    time_s: Number,
    *,
    kept: bool = False,
) -> Standing:
    """Water and thermometer after a time in the bath without the ball.

    All but the room broadcast: kelvin, kilograms above 0, seconds from 0. `kept` says that a
    thermostat holds the water at the temperature that it has.

    Raises:
        OutOfRange: for a mass or a time that is none, naming it.

    """
    _check(water_kg, time_s)
    if kept:
        return _kept(water_k, thermometer_k, time_s)
    loss_per_s = BEAKER_LOSS_W_K / (water_kg * WATER_SPECIFIC_HEAT_J_KG_K)
    excess_k = water_k - room_k
    followed_k = (thermometer_k - room_k) * np.exp(-np.asarray(time_s) / THERMOMETER_LAG_S)
    return Standing(
        room_k + excess_k * np.exp(-loss_per_s * time_s),
        room_k + followed_k + excess_k * _follower(loss_per_s, time_s),
    )


def change_time_s(water_k: Number, setting_k: Number) -> Number:
    """How long the kept bath takes to reach a setting, s. Any shapes that broadcast, kelvin."""
    time_s: Number = np.abs(setting_k - water_k) / CHANGE_K_S
    return time_s


def brought(water_k: Number, setting_k: Number, thermometer_k: Number, time_s: Number) -> Standing:
    """Water and thermometer after a time in the kept bath, the ball elsewhere.

    The water goes to the setting at a steady rate and stops there; the thermometer follows by
    its own lag. All broadcast: kelvin, seconds from 0.

    Raises:
        OutOfRange: for a time that is none.

    """
    within(time_s, 0.0, LONGEST_S, "time", "s")
    changing_s = np.minimum(time_s, change_time_s(water_k, setting_k))
    rate_k_s = CHANGE_K_S * np.sign(setting_k - water_k)
    reached_k = np.where(time_s > changing_s, setting_k, water_k + rate_k_s * changing_s)
    trailing_k = rate_k_s * THERMOMETER_LAG_S
    behind_k = (thermometer_k - water_k + trailing_k) * np.exp(-changing_s / THERMOMETER_LAG_S)
    return _kept(reached_k, reached_k - trailing_k + behind_k, time_s - changing_s)


def mixed_k(
    mass_a_kg: Number, temperature_a_k: Number, mass_b_kg: Number, temperature_b_k: Number
) -> Number:
    """Temperature of two portions of water poured together, kelvin, any shapes.

    Neither mass may be negative, and at least one is above zero.

    Raises:
        OutOfRange: for masses that are none, naming them.

    """
    within(mass_a_kg, 0.0, HEAVIEST_KG, "mass of water", "kg")
    within(mass_b_kg, 0.0, HEAVIEST_KG, "mass of water", "kg")
    whole_kg = within(mass_a_kg + mass_b_kg, 1e-9, 2.0 * HEAVIEST_KG, "mass of water", "kg")
    return (mass_a_kg * temperature_a_k + mass_b_kg * temperature_b_k) / whole_kg


def read_thermometer_k(thermometer_k: Number, calibration_error_k: Number) -> Number:
    """What the thermometer shows, to half a division of 1 °C, in kelvin. Any shape.

    The bulb's temperature, plus what this thermometer reads high, rounded on the Celsius
    scale.
    """
    celsius = thermometer_k + calibration_error_k - ZERO_CELSIUS_K
    read: Number = np.rint(celsius / THERMOMETER_STEP_K) * THERMOMETER_STEP_K + ZERO_CELSIUS_K
    return read


def _check(water_kg: Number, time_s: Number) -> None:
    within(water_kg, 1e-6, HEAVIEST_KG, "mass of water", "kg")
    within(time_s, 0.0, LONGEST_S, "time", "s")


def _kept(water_k: Number, thermometer_k: Number, time_s: Number) -> Standing:
    behind_k = (thermometer_k - water_k) * np.exp(-np.asarray(time_s) / THERMOMETER_LAG_S)
    return Standing(water_k, water_k + behind_k)


def _follower(fading_per_s: Number, time_s: Number) -> Number:
    """What the thermometer has taken over from water whose excess fades, per unit excess.

    b (e^(−a t) − e^(−b t)) / (b − a) with b the thermometer's own rate; written so that
    nothing is lost where the two rates meet.
    """
    following_per_s = 1.0 / THERMOMETER_LAG_S
    slower_per_s = np.minimum(fading_per_s, following_per_s)
    apart = np.maximum(np.abs(fading_per_s - following_per_s) * time_s, 1e-12)
    grown: Number = (
        following_per_s * time_s * np.exp(-slower_per_s * time_s) * (-np.expm1(-apart) / apart)
    )
    return grown


@lru_cache(maxsize=1024)
def _soaking(
    heat_j_k: tuple[float, float], time_constant_s: float, time_s: float
) -> tuple[tuple[float, ...], ...]:
    """How much of each beginning excess each temperature has at the end, 3 by 3.

    Ball and water exchange heat alike both ways, so scaled by the root of their heat
    capacities their law is symmetric, and its modes fade without turning; the thermometer
    follows the water mode by mode. (A general matrix exponential would do; scipy's takes
    0.3 s to import.)
    """
    exchange_w_k = heat_j_k[0] / time_constant_s
    root = np.sqrt(np.array(heat_j_k))
    conductance = np.array(
        [[exchange_w_k, -exchange_w_k], [-exchange_w_k, exchange_w_k + BEAKER_LOSS_W_K]]
    )
    fading_per_s, modes = np.linalg.eigh(conductance / np.outer(root, root))
    out, into = modes / root[:, None], (modes * root[:, None]).T
    both: FloatArray = (out * np.exp(-fading_per_s * time_s)) @ into
    followed: FloatArray = (out[1] * _follower(fading_per_s, time_s)) @ into
    rows = np.zeros((3, 3))
    rows[:2, :2], rows[2, :2] = both, followed
    rows[2, 2] = np.exp(-time_s / THERMOMETER_LAG_S)
    return tuple(tuple(row) for row in rows.tolist())
