"""Constants of nature and of convention, each once, in SI units."""

from __future__ import annotations

STANDARD_GRAVITY_M_S2 = 9.80665
"""Exact by convention: 3rd General Conference on Weights and Measures, 1901."""

ZERO_CELSIUS_K = 273.15
"""Exact: the definition of the degree Celsius (SI brochure, 9th edition)."""

STANDARD_PRESSURE_PA = 101_325.0
"""Exact: the standard atmosphere (10th General Conference, 1954)."""

STEFAN_BOLTZMANN_W_M2_K4 = 5.670374419e-8
"""From the exact constants of the SI of 2019, as CODATA 2018 prints it."""

MOLAR_GAS_J_MOL_K = 8.314462618
"""Exact in the SI of 2019, as CODATA 2018 prints it."""

DRY_AIR_J_KG_K = 287.055
"""Specific gas constant of dry air: the molar one over 28.9647 g/mol."""

WATER_KG_MOL = 0.018015268
"""Molar mass of water (International Association for the Properties of Water and Steam)."""

WATER_SPECIFIC_HEAT_J_KG_K = 4182.0
"""Of liquid water near 40 °C; it stays within 0.5 % of this from 10 °C to 90 °C."""
