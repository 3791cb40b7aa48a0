"""Properties of air and water at 101 325 Pa as CoolProp 8.0.0 gives them.

The printed values were worked with CoolProp.PropsSI for dry air and water; CoolProp itself is
not needed here.
"""

import numpy as np
import pytest

from physics.air import Air
from physics.constants import WATER_SPECIFIC_HEAT_J_KG_K
from physics.transfer.evaporation import latent_heat_j_kg, saturation_pressure_pa

# °C: density kg/m³, viscosity 1e-5 Pa s, conductivity W/(m K), Prandtl, kinematic 1e-5 m²/s,
# saturation pressure of water Pa.
VALUES = {
    20: (1.2046, 1.8206, 0.02587, 0.7080, 1.5114, 2339.3),
    40: (1.1274, 1.9165, 0.02735, 0.7055, 1.6999, 7384.9),
    45: (1.1097, 1.9401, 0.02772, 0.7049, 1.7483, 9595.0),
    60: (1.0596, 2.0099, 0.02880, 0.7034, 1.8968, 19_946.0),
    80: (0.9995, 2.1009, 0.03023, 0.7017, 2.1019, 47_415.0),
}
KELVIN = 273.15 + np.array(list(VALUES), dtype=float)
COLUMNS = np.array(list(VALUES.values())).T


@pytest.mark.parametrize(
    # The laws used are older and simpler than CoolProp's: allowed is what they were measured
    # to be off by, rounded up; heat transfer asks for no better than a few per cent.
    ("name", "column", "scale", "allowed"),
    [
        ("density_kg_m3", 0, 1.0, 0.001),
        ("viscosity_pa_s", 1, 1e-5, 0.007),
        ("conductivity_w_m_k", 2, 1.0, 0.01),
        ("prandtl", 3, 1.0, 0.012),
        ("kinematic_viscosity_m2_s", 4, 1e-5, 0.007),
    ],
)
def test_air(name, column, scale, allowed):
    found = getattr(Air(KELVIN), name)
    np.testing.assert_allclose(found, COLUMNS[column] * scale, rtol=allowed)


def test_vapour_pressure_of_water():
    np.testing.assert_allclose(saturation_pressure_pa(KELVIN), COLUMNS[5], rtol=0.003)


@pytest.mark.parametrize(("celsius", "expected"), [(20, 2.4535e6), (40, 2.406e6), (60, 2.358e6)])
def test_latent_heat(celsius, expected):
    assert latent_heat_j_kg(273.15 + celsius) == pytest.approx(expected, rel=0.001)


def test_specific_heat_of_water():
    # k / (μ Pr) from CoolProp's conductivity, viscosity and Prandtl number at 20, 40, 60, 80 °C.
    prandtl = np.array([7.008, 4.341, 2.996, 2.228])
    viscosity = np.array([1.0016, 0.6527, 0.4660, 0.3541]) * 1e-3
    conductivity = np.array([0.5980, 0.6285, 0.6510, 0.6670])
    np.testing.assert_allclose(
        prandtl * conductivity / viscosity, WATER_SPECIFIC_HEAT_J_KG_K, rtol=0.005
    )
