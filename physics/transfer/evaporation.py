"""Heat that a film of water takes from a surface as it evaporates into still air."""

from __future__ import annotations

import numpy as np

from physics.air import SPECIFIC_HEAT_J_KG_K, density_kg_m3
from physics.constants import (
    MOLAR_GAS_J_MOL_K,
    STANDARD_PRESSURE_PA,
    WATER_KG_MOL,
    ZERO_CELSIUS_K,
)
from physics.number import Number
from physics.ranges import within

RELATIVE_HUMIDITY = 0.5
"""Of the room's air. Stated assumption."""

LEWIS_NUMBER = 0.87
"""Thermal over mass diffusivity of water vapour in air, near 20 °C to 60 °C."""


def saturation_pressure_pa(temperature_k: Number) -> Number:
    """Vapour pressure of water, Pa, −20 °C to 100 °C, any shape.

    611.21 exp[(18.678 − t/234.5) t / (257.14 + t)], t in °C.
    Source: A. L. Buck, Journal of Applied Meteorology 20 (1981) 1527, with the constants
    of his 1996 manual (from memory); within 0.3 % of CoolProp 8.0.0 from 20 °C to 80 °C.

    Raises:
        OutOfRange: outside −20 °C to 100 °C, naming the temperature.

    """
    within(temperature_k, ZERO_CELSIUS_K - 20.0, ZERO_CELSIUS_K + 100.0, "water temperature", "K")
    celsius = temperature_k - ZERO_CELSIUS_K
    pressure: Number = 611.21 * np.exp((18.678 - celsius / 234.5) * celsius / (257.14 + celsius))
    return pressure


def latent_heat_j_kg(temperature_k: Number) -> Number:
    """Heat of evaporation of water, J/kg: 2.5009e6 − 2374 t, t in °C. Any shape.

    A straight line through the values of CoolProp 8.0.0, within 0.1 % from 20 °C to 60 °C.
    """
    return 2.5009e6 - 2374.0 * (temperature_k - ZERO_CELSIUS_K)


def vapour_density_kg_m3(pressure_pa: Number, temperature_k: Number) -> Number:
    """Density of water vapour at its own pressure, kg/m³, as an ideal gas. Any shape."""
    return pressure_pa * WATER_KG_MOL / (MOLAR_GAS_J_MOL_K * temperature_k)


def vapour_share(temperature_k: Number, saturation: float = 1.0) -> Number:
    """Share of the air's molecules that are vapour at a degree of saturation. Any shape."""
    return saturation * saturation_pressure_pa(temperature_k) / STANDARD_PRESSURE_PA


def evaporation_kg_s_m2(surface_k: Number, room_k: Number, convection_w_m2_k: Number) -> Number:
    """Water that a wet surface gives off, kg/(s m²). Any shape.

    Temperatures in kelvin, the coefficient of dry heat transfer in W/(m² K). Below the
    dew point of the room water condenses and the flow is negative. Mass goes as heat does
    (Chilton and Colburn), h_m = h_c / (ρ c_p Le^⅔), and the vapour carries itself outward
    (Stefan): the flow is h_m ρ_v(p) ln[(1 − x_room) / (1 − x_s)], with ρ_v(p) the density vapour
    would have at the air's whole pressure and x the shares of vapour. Against h_m Δρ_v that is
    12 % more at 60 °C and 32 % at 80 °C. Such figures are good for ±30 %.
    """
    film_k = 0.5 * (surface_k + room_k)
    transfer_m_s = convection_w_m2_k / (
        density_kg_m3(film_k) * SPECIFIC_HEAT_J_KG_K * LEWIS_NUMBER ** (2.0 / 3.0)
    )
    outward = np.log(
        (1.0 - vapour_share(room_k, RELATIVE_HUMIDITY)) / (1.0 - vapour_share(surface_k))
    )
    flow: Number = transfer_m_s * vapour_density_kg_m3(STANDARD_PRESSURE_PA, film_k) * outward
    return flow


def evaporation_w_m2(surface_k: Number, room_k: Number, convection_w_m2_k: Number) -> Number:
    """Heat flux that evaporation takes from a wet surface, W/m². Any shape."""
    flow = evaporation_kg_s_m2(surface_k, room_k, convection_w_m2_k)
    return flow * latent_heat_j_kg(surface_k)
