"""Radiation of a grey surface, linearised: h = ε σ (T_s² + T²)(T_s + T).

Worked value: ε = 0.94, surface 60 °C, room 20 °C gives 6.57 W/(m² K), printed to two decimals.
σ as CODATA 2018 prints it. Still-air coefficients of a 40 mm ball worked independently from the
Churchill correlation with linearised radiation, room 20 °C.
"""

import pytest

from physics.ball import FAST
from physics.constants import STEFAN_BOLTZMANN_W_M2_K4
from physics.transfer.surface import dry_loss_w_m2, free_convection_w_m2_k, radiation_w_m2, skin

ROOM_K = 293.15


def test_worked_value():
    assert radiation_w_m2(0.94, 333.15, ROOM_K) / 40.0 == pytest.approx(6.57, abs=0.005)
    assert STEFAN_BOLTZMANN_W_M2_K4 == 5.670374419e-8


@pytest.mark.parametrize(
    ("celsius", "convection", "radiation", "both"),
    [
        (30, 6.0, 5.7, 11.7),
        (40, 6.9, 6.0, 12.8),
        (45, 7.2, 6.1, 13.3),
        (60, 7.9, 6.6, 14.5),
        (80, 8.6, 7.3, 15.8),
    ],
)
def test_still_air_coefficients(celsius, convection, radiation, both):
    surface_k = 273.15 + celsius
    excess_k = surface_k - ROOM_K
    # Printed to one decimal; the air's conductivity there was CoolProp's, 0.6 % above ours.
    assert free_convection_w_m2_k(0.040, surface_k, ROOM_K) == pytest.approx(convection, abs=0.1)
    assert radiation_w_m2(0.94, surface_k, ROOM_K) / excess_k == pytest.approx(radiation, abs=0.06)
    assert dry_loss_w_m2(skin(FAST), surface_k, ROOM_K) / excess_k == pytest.approx(both, abs=0.13)
