"""What leaves the ball's surface: the handbook's correlations, dry, wet and on the move.

The laws are read off tables at half a kelvin, remembered per size, emissivity and room, since they
are asked for at every step. The keys are plain numbers: a ball whose loss ratio is an array shares
the tables of its model.
"""

from __future__ import annotations

from collections.abc import Callable
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
from physics.number import FloatArray, Number
from physics.ranges import within
from physics.transfer.convection import forced_nusselt, free_nusselt, mixed_nusselt
from physics.transfer.evaporation import evaporation_kg_s_m2, latent_heat_j_kg
from physics.transfer.lookup import Lookup, tabled

COLDEST_ROOM_K = ZERO_CELSIUS_K
WARMEST_ROOM_K = ZERO_CELSIUS_K + 45.0
TABLE_STEP_K = 0.5
COLDEST_SURFACE_K = ZERO_CELSIUS_K - 1.0
HOTTEST_SURFACE_K = ZERO_CELSIUS_K + 99.0
"""Where the tables end. At the boil the outflow of vapour has no end."""


class Skin(NamedTuple):
    """What heat transfer in air needs to know of a ball: plain numbers, fit for a key."""

    diameter_m: float
    emissivity: float
    cooling_factor: float


def skin(ball: Ball) -> Skin:
    """The outside of a ball."""
    return Skin(ball.diameter_m, ball.emissivity, ball.cooling_factor)


def free_convection_w_m2_k(diameter_m: float, surface_k: Number, room_k: Number) -> Number:
    """Coefficient h of a sphere's free convection in still air, W/(m² K). Any shape.

    Properties at the film temperature; see `physics.transfer.convection.free_nusselt`.
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

    Forced and free convection by the cube rule. As each correlation asks, the free part has
    its properties at the film temperature, the forced part at the stream's.
    """
    room, surface = Air(room_k), Air(surface_k)
    reynolds = speed_m_s * diameter_m / room.kinematic_viscosity_m2_s
    forced = forced_nusselt(reynolds, room.prandtl, room.viscosity_pa_s / surface.viscosity_pa_s)
    conducted = room.conductivity_w_m_k / diameter_m
    free = free_convection_w_m2_k(diameter_m, surface_k, room_k) / conducted
    return mixed_nusselt(free, forced) * conducted


def radiation_w_m2(emissivity: float, surface_k: Number, room_k: Number) -> Number:
    """Net heat flux radiated to the room's walls, W/m²: ε σ (T_s⁴ − T_room⁴). Any shape."""
    return emissivity * STEFAN_BOLTZMANN_W_M2_K4 * (surface_k**4 - room_k**4)


def dry_loss_w_m2(body: Skin, surface_k: Number, room_k: float) -> Number:
    """Heat flux from a dry ball in still air: free convection and radiation, W/m²."""
    h_w_m2_k = free_convection_w_m2_k(body.diameter_m, surface_k, room_k)
    return _dry(body, surface_k, room_k, h_w_m2_k)


def moving_loss_w_m2(body: Skin, surface_k: Number, room_k: float, speed_m_s: float) -> Number:
    """Heat flux from a dry ball that moves through the room's air, W/m²."""
    h_w_m2_k = moving_convection_w_m2_k(body.diameter_m, surface_k, room_k, speed_m_s)
    return _dry(body, surface_k, room_k, h_w_m2_k)


def film_loss_kg_s_m2(body: Skin, surface_k: Number, room_k: float) -> Number:
    """Water that the film on a wet ball loses to still air, kg/(s m²); negative for dew."""
    h_w_m2_k = free_convection_w_m2_k(body.diameter_m, surface_k, room_k)
    return body.cooling_factor * evaporation_kg_s_m2(surface_k, room_k, h_w_m2_k)


def wet_loss_w_m2(body: Skin, surface_k: Number, room_k: float) -> Number:
    """Heat flux from a wet ball in still air, W/m²: convection, radiation and evaporation.

    Left out, each well inside the ±30 % of such figures: that vapour is lighter than air and makes
    it rise faster (9 % more at 60 °C), and that its outflow thins that of dry heat (1 % less).
    """
    h_w_m2_k = free_convection_w_m2_k(body.diameter_m, surface_k, room_k)
    evaporated_w_m2 = film_loss_kg_s_m2(body, surface_k, room_k) * latent_heat_j_kg(surface_k)
    return _dry(body, surface_k, room_k, h_w_m2_k) + evaporated_w_m2


def _dry(body: Skin, surface_k: Number, room_k: float, h_w_m2_k: Number) -> Number:
    flux = h_w_m2_k * (surface_k - room_k) + radiation_w_m2(body.emissivity, surface_k, room_k)
    return body.cooling_factor * flux


def dry_table(ball: Ball, room_k: float) -> Lookup:
    """`dry_loss_w_m2` of a ball by the excess of its surface over the room, for a factor of 1.

    The room from 0 °C to 45 °C. Raises OutOfRange for another room, naming it.
    """
    return _table(dry_loss_w_m2, _plain(ball), _room(room_k))


def wet_table(ball: Ball, room_k: float) -> Lookup:
    """`wet_loss_w_m2` likewise."""
    return _table(wet_loss_w_m2, _plain(ball), _room(room_k))


def film_loss_table(ball: Ball, room_k: float) -> Lookup:
    """`film_loss_kg_s_m2` likewise."""
    return _table(film_loss_kg_s_m2, _plain(ball), _room(room_k))


def moving_table(ball: Ball, room_k: float, speed_m_s: float) -> Lookup:
    """`moving_loss_w_m2` likewise, for a speed from 0 m/s to 10 m/s; OutOfRange for another."""
    within(speed_m_s, 0.0, 10.0, "speed through the air", "m/s")
    return _table(moving_loss_w_m2, _plain(ball), _room(room_k), float(speed_m_s))


def _plain(ball: Ball) -> Skin:
    return skin(ball)._replace(cooling_factor=1.0)


def _room(room_k: float) -> float:
    return float(within(float(room_k), COLDEST_ROOM_K, WARMEST_ROOM_K, "room temperature", "K"))


@lru_cache(maxsize=256)
def _table(law: Callable[..., Number], body: Skin, room_k: float, *more: float) -> Lookup:
    """A flux by excess, with a value at the room's own temperature, where it has a kink."""
    below = int((room_k - COLDEST_SURFACE_K) / TABLE_STEP_K)
    above = int((HOTTEST_SURFACE_K - room_k) / TABLE_STEP_K)

    def flux(excess_k: FloatArray) -> Number:
        return law(body, room_k + excess_k, room_k, *more)

    return tabled(flux, -below * TABLE_STEP_K, above * TABLE_STEP_K, below + above)
