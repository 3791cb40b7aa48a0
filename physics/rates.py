"""How fast the ball cools in air: rates from the handbook's correlations.

Each rate is a straight line in the excess temperature, taken through two excesses, and is
remembered per ball and room, since it is asked for at every step. Its key is made of
plain numbers: a ball whose loss ratio is an array shares the rates of its model.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import numpy as np

from physics.air import Air
from physics.ball import Ball
from physics.constants import (
    STANDARD_GRAVITY_M_S2,
    STEFAN_BOLTZMANN_W_M2_K4,
    ZERO_CELSIUS_K,
)
from physics.convection import forced_nusselt, free_nusselt, mixed_nusselt
from physics.evaporation import evaporation_w_m2
from physics.number import Number
from physics.ranges import within
from physics.wall import lag_s

DRY_EXCESSES_K = (10.0, 55.0)
"""Excesses of the surface over the room at which the dry rate is exact."""
WET_EXCESSES_K = (10.0, 35.0)
"""Excesses of the surface over the wet bulb at which the wet rate is exact."""
WET_LAG_SHARE = 0.75
"""How much of the wall's lag counts while the ball is wet. A film is gone before the
temperatures in the wall have settled to their steady shape; three quarters fits the
conduction equation best over a minute (tests/physics/test_lumped_law.py)."""
COLDEST_ROOM_K = ZERO_CELSIUS_K
WARMEST_ROOM_K = ZERO_CELSIUS_K + 45.0


class Rate(NamedTuple):
    """Rate of Newton's law, r₀ + r₁ |θ|, both positive."""

    at_zero_per_s: float
    per_kelvin_per_s: float


class Skin(NamedTuple):
    """What heat transfer in air needs to know of a ball: plain numbers, fit for a key."""

    diameter_m: float
    heat_capacity_j_k: float
    area_m2: float
    emissivity: float
    cooling_factor: float
    lag_s: float


def skin(ball: Ball) -> Skin:
    """The thermal side of a ball."""
    return Skin(
        ball.diameter_m,
        ball.heat_capacity_j_k,
        ball.area_m2,
        ball.emissivity,
        ball.cooling_factor,
        lag_s(ball),
    )


def free_convection_w_m2_k(diameter_m: float, surface_k: Number, room_k: Number) -> Number:
    """Coefficient h of a sphere's free convection in still air, W/(m² K). Any shape.

    Properties at the film temperature; see `physics.convection.free_nusselt`.
    """
    film_k = 0.5 * (surface_k + room_k)
    air = Air(film_k)
    excess_k = np.abs(surface_k - room_k)
    grashof = (
        STANDARD_GRAVITY_M_S2 / film_k * excess_k * diameter_m**3 / air.kinematic_viscosity_m2_s**2
    )
    return free_nusselt(grashof, air.prandtl) * air.conductivity_w_m_k / diameter_m


def moving_convection_w_m2_k(
    diameter_m: float, surface_k: Number, room_k: float, speed_m_s: float
) -> Number:
    """Coefficient h of a sphere that moves through still air, W/(m² K). Any surface shape.

    Forced and free convection by the cube rule, properties at the film temperature for
    the free part and at the room's for the forced part.
    """
    room, surface = Air(room_k), Air(surface_k)
    reynolds = speed_m_s * diameter_m / room.kinematic_viscosity_m2_s
    forced = forced_nusselt(reynolds, room.prandtl, room.viscosity_pa_s / surface.viscosity_pa_s)
    film = Air(0.5 * (surface_k + room_k))
    still = free_convection_w_m2_k(diameter_m, surface_k, room_k)
    free = still * diameter_m / film.conductivity_w_m_k
    return mixed_nusselt(free, forced) * film.conductivity_w_m_k / diameter_m


def radiation_w_m2(emissivity: float, surface_k: Number, room_k: Number) -> Number:
    """Net heat flux radiated to the room's walls, W/m²: ε σ (T_s⁴ − T_room⁴). Any shape."""
    return emissivity * STEFAN_BOLTZMANN_W_M2_K4 * (surface_k**4 - room_k**4)


def dry_loss_w_m2(body: Skin, surface_k: Number, room_k: float) -> Number:
    """Heat flux from a dry ball in still air: free convection and radiation, W/m²."""
    h_w_m2_k = free_convection_w_m2_k(body.diameter_m, surface_k, room_k)
    flux = h_w_m2_k * (surface_k - room_k) + radiation_w_m2(body.emissivity, surface_k, room_k)
    return body.cooling_factor * flux


def wet_loss_w_m2(body: Skin, surface_k: Number, room_k: float) -> Number:
    """Heat flux from a wet ball in still air: evaporation comes to the dry loss, W/m²."""
    h_w_m2_k = free_convection_w_m2_k(body.diameter_m, surface_k, room_k)
    evaporated = evaporation_w_m2(surface_k, room_k, h_w_m2_k)
    return dry_loss_w_m2(body, surface_k, room_k) + body.cooling_factor * evaporated


def dry_rate(ball: Ball, room_k: float) -> Rate:
    """Rate of cooling of a dry ball in still air, for its mean temperature.

    Free convection, radiation, and the wall's own lag, which leaves the surface of a ball
    at 60 °C 4 K colder than its mean. The room from 0 °C to 45 °C. Held against the full
    correlations on the conduction equation of the hollow sphere, the mean stays within
    0.5 K over fifty minutes for any beginning up to 80 K above the room
    (tests/physics/test_lumped_law.py).

    Raises:
        OutOfRange: for another room, naming it.

    """
    return _dry_rate(skin(ball), _room(room_k))


def wet_rate(ball: Ball, room_k: float) -> Rate:
    """Rate of cooling of a wet ball towards `wet_rest_k`, not towards the room.

    Over the minute that a film lasts, from an even beginning, the mean stays within
    0.6 K of the conduction equation up to 40 K above the room and within 1.2 K at 60 K.
    A ball at the room's own temperature cools, as in life, by about half a kelvin.

    Raises:
        OutOfRange: for a room outside 0 °C to 45 °C, naming it.

    """
    return _wet_rate(skin(ball), _room(room_k))


def wet_rest_k(ball: Ball, room_k: float) -> float:
    """Temperature at which a wet ball would come to rest, K: its wet bulb.

    Evaporation takes there what the room's air and walls give: 15 °C in a room of 20 °C
    at half saturation.

    Raises:
        OutOfRange: for a room outside 0 °C to 45 °C, naming it.

    """
    return _wet_rest_k(skin(ball), _room(room_k))


def moving_rate(ball: Ball, room_k: float, speed_m_s: float) -> Rate:
    """Rate of cooling of a dry ball that moves through the room's air at a speed, m/s.

    Convection by the cube rule, radiation; without the wall's lag, because the motion
    lasts a second or two (0.03 K from the conduction equation after 1.5 s at 60 K above
    the room). The room from 0 °C to 45 °C, the speed from 0 m/s to 10 m/s.

    Raises:
        OutOfRange: outside those, naming the value.

    """
    within(speed_m_s, 0.0, 10.0, "speed through the air", "m/s")
    return _moving_rate(skin(ball), _room(room_k), float(speed_m_s))


def _room(room_k: float) -> float:
    return float(within(float(room_k), COLDEST_ROOM_K, WARMEST_ROOM_K, "room temperature", "K"))


@lru_cache(maxsize=256)
def _dry_rate(body: Skin, room_k: float) -> Rate:
    surface_excess_k = np.array(DRY_EXCESSES_K)
    cooling_k_s = dry_loss_w_m2(body, room_k + surface_excess_k, room_k) * (
        body.area_m2 / body.heat_capacity_j_k
    )
    return _through(surface_excess_k + body.lag_s * cooling_k_s, cooling_k_s)


@lru_cache(maxsize=256)
def _wet_rate(body: Skin, room_k: float) -> Rate:
    rest_k = _wet_rest_k(body, room_k)
    excess_k = np.array(WET_EXCESSES_K)
    cooling_k_s = wet_loss_w_m2(body, rest_k + excess_k, room_k) * (
        body.area_m2 / body.heat_capacity_j_k
    )
    return _through(excess_k + WET_LAG_SHARE * body.lag_s * cooling_k_s, cooling_k_s)


@lru_cache(maxsize=256)
def _wet_rest_k(body: Skin, room_k: float) -> float:
    surface_k = np.linspace(room_k - 15.0, room_k, 601)
    loss_w_m2 = wet_loss_w_m2(body, surface_k, room_k)
    return float(np.interp(0.0, loss_w_m2, surface_k))


@lru_cache(maxsize=256)
def _moving_rate(body: Skin, room_k: float, speed_m_s: float) -> Rate:
    excess_k = np.array(DRY_EXCESSES_K)
    surface_k = room_k + excess_k
    h_w_m2_k = moving_convection_w_m2_k(body.diameter_m, surface_k, room_k, speed_m_s)
    flux_w_m2 = h_w_m2_k * excess_k + radiation_w_m2(body.emissivity, surface_k, room_k)
    return _through(
        excess_k, body.cooling_factor * flux_w_m2 * body.area_m2 / body.heat_capacity_j_k
    )


def _through(excess_k: Number, cooling_k_s: Number) -> Rate:
    """The straight line in the excess whose rate is exact at two excesses."""
    low_k, high_k = np.asarray(excess_k)
    low_per_s, high_per_s = np.asarray(cooling_k_s / excess_k)
    slope = (high_per_s - low_per_s) / (high_k - low_k)
    return Rate(float(low_per_s - slope * low_k), float(slope))
