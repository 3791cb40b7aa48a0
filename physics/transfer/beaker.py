"""What an open beaker of warm water loses to the room, and how its water cools."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from physics.air import Air
from physics.constants import STANDARD_GRAVITY_M_S2, ZERO_CELSIUS_K
from physics.number import FloatArray, Number
from physics.transfer.evaporation import evaporation_w_m2
from physics.transfer.surface import radiation_w_m2

WIDTH_M = 0.07
WET_DEPTH_M = 0.065
DRY_DEPTH_M = 0.045
"""A 400 ml beaker that holds 250 g: the glass about the water, and above it. The loss is taken as
the same however full it is. Stated assumption."""
EMISSIVITY = 0.92
"""Of glass and of water in the infrared (handbook values 0.90 to 0.96, from memory)."""
DRY_GLASS_SHARE = 0.3
"""How warm the glass above the water is, of the water's excess. Stated assumption."""
BASE_W_M2_K = 5.0
"""What a wooden bench or a mat takes from the base. Stated assumption."""
EXCESSES_K = (15.0, 50.0)
"""Excesses over the resting temperature at which the law is the estimate."""
COLD_EXCESS_K = -10.0


class Loss(NamedTuple):
    """A law of loss, W: θ (l₀ + l₂ θ²) above rest and θ l below it, θ the excess over rest."""

    rest_k: float
    warm_w_k: float
    warm_w_k3: float
    cold_w_k: float


def beaker_loss_w(water_k: Number, room_k: float) -> Number:
    """What an open beaker loses to the room, W, by an estimate from its parts. Any shape.

    From the water: evaporation, convection (Nu = 0.54 Ra^¼ on a quarter of the width, a hot plate
    facing up) and radiation. From the glass about it: convection (a vertical plate, S. W. Churchill
    and H. H. S. Chu 1975) and radiation; above it likewise, a third as warm. Both from memory.
    In a room of 20 °C per kelvin: 0.38 W at 30 °C, 0.51 at 50 °C, 0.61 at 60 °C, 0.99 at 80 °C;
    another estimate, made without this one, had 0.36, 0.51 and 1.1. Good for ±25 %.
    """
    air, excess_k = Air(0.5 * (water_k + room_k)), water_k - room_k
    upward = 0.54 * _quarter_root(air, np.abs(excess_k), WIDTH_M / 4.0)
    upward_w_m2_k = upward * air.conductivity_w_m_k * 4.0 / WIDTH_M
    aside = 0.68 + 0.670 * _quarter_root(air, np.abs(excess_k), WET_DEPTH_M) / (
        1.0 + (0.492 / air.prandtl) ** (9.0 / 16.0)
    ) ** (4.0 / 9.0)
    radiated_w_m2 = radiation_w_m2(EMISSIVITY, water_k, room_k)
    aside_w_m2 = aside * air.conductivity_w_m_k / WET_DEPTH_M * excess_k + radiated_w_m2
    from_water_w_m2 = (upward_w_m2_k + BASE_W_M2_K) * excess_k + radiated_w_m2
    from_water_w_m2 = from_water_w_m2 + evaporation_w_m2(water_k, room_k, upward_w_m2_k)
    glass_m2 = math.pi * WIDTH_M * (WET_DEPTH_M + DRY_GLASS_SHARE * DRY_DEPTH_M)
    lost: Number = math.pi * WIDTH_M**2 / 4.0 * from_water_w_m2 + glass_m2 * aside_w_m2
    return lost


def _quarter_root(air: Air, driving_k: Number, length_m: float) -> Number:
    """Fourth root of the Rayleigh number."""
    grashof = STANDARD_GRAVITY_M_S2 / air.temperature_k * driving_k * length_m**3
    root: Number = np.sqrt(np.sqrt(grashof / air.kinematic_viscosity_m2_s**2 * air.prandtl))
    return root


@lru_cache(maxsize=64)
def loss_law(room_k: float) -> Loss:
    """The estimate as a law that has an exact solution.

    It comes to rest a little below the room, where evaporation takes what the room gives. Within
    3 % of the estimate from 30 °C to 75 °C, 6 % too low at 80 °C.
    """
    cool_k = np.linspace(max(room_k - 8.0, ZERO_CELSIUS_K), room_k, 801)
    rest_k = float(np.interp(0.0, beaker_loss_w(cool_k, room_k), cool_k))
    excesses_k = np.array([COLD_EXCESS_K, *EXCESSES_K])
    cold, low, high = (beaker_loss_w(rest_k + excesses_k, room_k) / excesses_k).tolist()
    low_k, high_k = EXCESSES_K
    growth = (high - low) / (high_k**2 - low_k**2)
    return Loss(rest_k, low - growth * low_k**2, growth, cold)


def loss_w(law: Loss, excess_k: Number) -> Number:
    """What water loses at an excess over the law's resting temperature, W. Any shape."""
    warm_w_k = law.warm_w_k + law.warm_w_k3 * excess_k**2
    lost: FloatArray = np.where(np.greater(excess_k, 0.0), warm_w_k, law.cold_w_k) * excess_k
    return lost


def faded_k(law: Loss, heat_j_k: Number, excess_k: Number, time_s: Number) -> Number:
    """The excess that water of a heat capacity has after a time. Exact; any shapes.

    C dθ/dt = −θ (l₀ + l₂ θ²) gives θ₀ e^(−l₀t/C) / √(1 + (l₂/l₀) θ₀² (1 − e^(−2 l₀t/C))). It never
    crosses zero.
    """
    warm = np.greater(excess_k, 0.0)
    left = np.exp(-np.where(warm, law.warm_w_k, law.cold_w_k) * time_s / heat_j_k)
    bend = np.where(warm, law.warm_w_k3 / law.warm_w_k, 0.0) * excess_k**2
    faded: FloatArray = excess_k * left / np.sqrt(1.0 + bend * (1.0 - left**2))
    return faded
