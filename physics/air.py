"""Properties of the room's air at standard pressure, from its temperature.

The laws for viscosity and conductivity are those of the U.S. Standard Atmosphere, 1976.
Held against the values of CoolProp 8.0.0 for dry air from 20 °C to 80 °C: density within
0.05 %, viscosity 0.65 %, conductivity 0.6 %, Prandtl number 1.1 %.
Moisture is left out: air of 20 °C at half saturation is 0.4 % lighter.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from physics.constants import DRY_AIR_J_KG_K, STANDARD_PRESSURE_PA
from physics.number import Number
from physics.ranges import within

SPECIFIC_HEAT_J_KG_K = 1006.5
"""At constant pressure; dry air stays within 0.3 % of it from 0 °C to 100 °C (CoolProp)."""

COLDEST_K = 200.0
HOTTEST_K = 500.0
"""Where the laws below are used; the standard's own tables go further."""


def density_kg_m3(temperature_k: Number) -> Number:
    """Density of dry air at standard pressure, kg/m³: ρ = p / (R T). Any shape."""
    return STANDARD_PRESSURE_PA / (DRY_AIR_J_KG_K * _checked(temperature_k))


def viscosity_pa_s(temperature_k: Number) -> Number:
    """Dynamic viscosity of air, Pa s, by Sutherland's law: β T^1.5 / (T + S). Any shape.

    Source: U.S. Standard Atmosphere, 1976, β = 1.458e-6 kg/(s m K^½), S = 110.4 K.
    """
    kelvin = _checked(temperature_k)
    viscosity: Number = 1.458e-6 * kelvin * np.sqrt(kelvin) / (kelvin + 110.4)
    return viscosity


def conductivity_w_m_k(temperature_k: Number) -> Number:
    """Thermal conductivity of air, W/(m K). Any shape.

    Source: U.S. Standard Atmosphere, 1976:
    2.64638e-3 T^1.5 / (T + 245.4 · 10^(−12/T)).
    """
    kelvin = _checked(temperature_k)
    conductivity: Number = (
        2.64638e-3 * kelvin * np.sqrt(kelvin) / (kelvin + 245.4 * 10.0 ** (-12.0 / kelvin))
    )
    return conductivity


def prandtl(temperature_k: Number) -> Number:
    """Prandtl number of air, c_p μ / k, dimensionless. Any shape."""
    return SPECIFIC_HEAT_J_KG_K * viscosity_pa_s(temperature_k) / conductivity_w_m_k(temperature_k)


def _checked(temperature_k: Number) -> Number:
    return within(temperature_k, COLDEST_K, HOTTEST_K, "air temperature", "K")


@dataclass(frozen=True)
class Air:
    """Still air at one temperature (or an array of them), at standard pressure."""

    temperature_k: Number

    @property
    def density_kg_m3(self) -> Number:
        """Density, kg/m³."""
        return density_kg_m3(self.temperature_k)

    @property
    def viscosity_pa_s(self) -> Number:
        """Dynamic viscosity, Pa s."""
        return viscosity_pa_s(self.temperature_k)

    @property
    def kinematic_viscosity_m2_s(self) -> Number:
        """Kinematic viscosity, m²/s."""
        return self.viscosity_pa_s / self.density_kg_m3

    @property
    def conductivity_w_m_k(self) -> Number:
        """Thermal conductivity, W/(m K)."""
        return conductivity_w_m_k(self.temperature_k)

    @property
    def prandtl(self) -> Number:
        """Prandtl number, dimensionless."""
        return prandtl(self.temperature_k)
