"""Beaker and bath: water, the ball in it, and the thermometer.

The ball takes heat from the water through its wall, the water of a beaker loses that heat and some
to the room, the thermometer follows the water. The film of water about the ball goes by
`physics.transfer.still_water`, the beaker's loss by `physics.transfer.beaker`; what is linear in
both is solved exactly, the rest as in `physics.conduction`.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from physics.ball import Ball
from physics.conduction import Conduction, conduction_of, run
from physics.constants import WATER_SPECIFIC_HEAT_J_KG_K, ZERO_CELSIUS_K
from physics.number import FloatArray, Number
from physics.ranges import within
from physics.transfer.beaker import faded_k, loss_law, loss_w
from physics.transfer.still_water import film_flux_w_m2
from physics.wall import NODES, Shell, shell, wall

WATER_W_M2_K = 500.0
"""Film coefficient of the linear part; the correlation says what goes beyond it."""
SOAK_STEP_S = 1.5
"""The first step."""
BULB_J_K = 1.0
"""Heat capacity of a thermometer's bulb, a gram or two of glass and liquid: beside the water's it
does not show. Stated assumption."""

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
    """The wall's profile, (..., NODES, balls), the water and the thermometer's bulb, kelvin.

    Of water and bulb one number for all, or of shape (balls,).
    """

    profile_k: FloatArray
    water_k: Number
    thermometer_k: Number


class Standing(NamedTuple):
    """Temperatures of the water and of the thermometer's bulb, kelvin."""

    water_k: Number
    thermometer_k: Number


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
        temperatures: as they were when the ball came in, or the water was last changed.
        time_s: how long ago that was; one number, 0 or more.
        kept: whether a thermostat holds the water at the temperature that it has. It is taken as
            still about the ball, as in the beaker; in a brisk stream the ball would follow some
            five seconds sooner.

    Returns:
        how they are now. A soak may be cut anywhere, if every piece is counted from the beginning.

    Raises:
        OutOfRange: for a mass or a time that is none, naming it.

    """
    _check(water_kg, time_s)
    if kept:
        return _in_kept_water(ball, temperatures, time_s)
    return _in_a_beaker(ball, room_k, water_kg, temperatures, time_s)


def _in_kept_water(ball: Ball, before: Temperatures, time_s: float) -> Temperatures:
    water_k = before.water_k
    exchange = _kept_exchange(shell(ball), ball.area_m2)

    def beyond_w(apart_k: FloatArray) -> FloatArray:
        return _film_beyond_w(ball, apart_k, water_k)

    amounts = exchange.amounts_of(before.profile_k, water_k)
    amounts = run(exchange, amounts, beyond_w, time_s, SOAK_STEP_S)
    shown = _kept(water_k, before.thermometer_k, time_s)
    return Temperatures(exchange.temperatures_k(amounts, water_k), *shown)


def _in_a_beaker(
    ball: Ball, room_k: float, water_kg: float, before: Temperatures, time_s: float
) -> Temperatures:
    """All as the excess over the temperature at which the beaker would come to rest."""
    law = loss_law(room_k)
    exchange = _beaker_exchange(
        shell(ball), ball.area_m2, water_kg * WATER_SPECIFIC_HEAT_J_KG_K, law.warm_w_k
    )

    def beyond_w(excess_k: FloatArray) -> FloatArray:
        surface_k, water_k = excess_k[..., :1, :], excess_k[..., 1:, :]
        from_ball_w = _film_beyond_w(ball, surface_k - water_k, law.rest_k + water_k)
        from_water_w = loss_w(law, water_k) - law.warm_w_k * water_k
        return np.concatenate([from_ball_w, from_water_w - from_ball_w], axis=-2)

    every = np.zeros_like(before.profile_k[..., :1, :] + before.water_k + before.thermometer_k)
    parts = (before.profile_k + every, every + before.water_k, every + before.thermometer_k)
    amounts = exchange.amounts_of(np.concatenate(parts, axis=-2), law.rest_k)
    amounts = run(exchange, amounts, beyond_w, time_s, SOAK_STEP_S)
    now_k = exchange.temperatures_k(amounts, law.rest_k)
    return Temperatures(now_k[..., :NODES, :], now_k[..., NODES, :], now_k[..., -1, :])


def _film_beyond_w(ball: Ball, apart_k: FloatArray, water_k: Number) -> FloatArray:
    """What the ball gives to water beyond the linear part, W, where it is so much warmer."""
    flux_w_m2 = film_flux_w_m2(ball.diameter_m, water_k + apart_k, np.asarray(water_k))
    return ball.area_m2 * (flux_w_m2 - WATER_W_M2_K * apart_k)


@lru_cache(maxsize=256)
def _kept_exchange(of: Shell, area_m2: float) -> Conduction:
    """The wall in water that stays as it is."""
    held = wall(of)
    conductance_w_k = held.conductance_w_k.copy()
    conductance_w_k[-1, -1] += WATER_W_M2_K * area_m2
    return conduction_of(held.heat_j_k, conductance_w_k, slice(-1, None))


@lru_cache(maxsize=1024)
def _beaker_exchange(of: Shell, area_m2: float, water_j_k: float, loss_w_k: float) -> Conduction:
    """The wall, the water and the bulb, in this order."""
    held = wall(of)
    conductance_w_k = np.zeros((NODES + 2, NODES + 2))
    conductance_w_k[:NODES, :NODES] = held.conductance_w_k
    one_another = np.array([[1.0, -1.0], [-1.0, 1.0]])
    conductance_w_k[NODES - 1 : NODES + 1, NODES - 1 : NODES + 1] += (
        WATER_W_M2_K * area_m2 * one_another
    )
    conductance_w_k[NODES:, NODES:] += BULB_J_K / THERMOMETER_LAG_S * one_another
    conductance_w_k[NODES, NODES] += loss_w_k
    heat_j_k = np.concatenate([held.heat_j_k, [water_j_k, BULB_J_K]])
    return conduction_of(heat_j_k, conductance_w_k, slice(NODES - 1, NODES + 1))


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
    law, heat_j_k = loss_law(room_k), water_kg * WATER_SPECIFIC_HEAT_J_KG_K
    begun_k = water_k - law.rest_k
    excess_k = faded_k(law, heat_j_k, begun_k, time_s)
    off_k = thermometer_k - law.rest_k - _followed_k(begun_k, loss_w(law, begun_k) / heat_j_k)
    off_k = off_k * np.exp(-time_s / THERMOMETER_LAG_S)
    shown_k = _followed_k(excess_k, loss_w(law, excess_k) / heat_j_k) + off_k
    return Standing(law.rest_k + excess_k, law.rest_k + shown_k)


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
    behind_k = (thermometer_k - water_k) * np.exp(-time_s / THERMOMETER_LAG_S)
    return Standing(water_k, water_k + behind_k)


def _followed_k(excess_k: Number, cooling_k_s: Number) -> Number:
    """What a thermometer shows that has long followed cooling water, as an excess, K.

    It trails by its lag times the cooling, 0.2 K at most in a beaker that covers the ball. Whatever
    it is off from this fades with its own lag, so that this may be cut anywhere. For the last
    drops of water, which cool faster than it follows, it goes over into what it shows without any.
    """
    ratio = THERMOMETER_LAG_S * cooling_k_s / np.where(excess_k == 0.0, 1.0, excess_k)
    followed: FloatArray = excess_k * (1.0 + ratio) / (1.0 + ratio**4)
    return followed
