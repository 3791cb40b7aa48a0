"""Evaporation from a wet ball in a room of 20 °C at half saturation.

Worked independently by the analogy of heat and mass transfer (Chilton and Colburn), h = 7 W/(m² K),
Lewis number 0.87: about 640 W/m² at 40 °C and 1800 W/m² at 60 °C, 2.7 and 3.8 times the dry loss.
The estimate itself is good for ±30 %. It is of diffusion alone; the model has the vapour's own
outflow besides (Stefan), which multiplies it by ln[(1 − x_room)/(1 − x_s)] / (x_s − x_room).
"""

import math

import pytest

from physics.ball import FAST
from physics.transfer.evaporation import evaporation_w_m2, latent_heat_j_kg
from physics.transfer.surface import dry_loss_w_m2, skin, wet_loss_w_m2

ROOM_K = 293.15
AIR_PA, ROOM_VAPOUR_PA = 101_325.0, 2339.3 / 2.0


def outflow(celsius):
    """Vapour pressures as CoolProp 8.0.0 has them, Pa."""
    wet, room = {40: 7384.9, 60: 19_946.0}[celsius] / AIR_PA, ROOM_VAPOUR_PA / AIR_PA
    return math.log((1.0 - room) / (1.0 - wet)) / (wet - room)


def test_the_outflow_is_an_eighth_at_60_degrees():
    # ln(0.98846 / 0.80315) / 0.18531.
    assert outflow(60) == pytest.approx(1.1203, abs=1e-3)


@pytest.mark.parametrize(("celsius", "flux", "times"), [(40, 640.0, 2.7), (60, 1800.0, 3.8)])
def test_flux_and_factor(celsius, flux, times):
    surface_k = 273.15 + celsius
    assert evaporation_w_m2(surface_k, ROOM_K, 7.0) == pytest.approx(
        flux * outflow(celsius), rel=0.3
    )
    dry = dry_loss_w_m2(skin(FAST), surface_k, ROOM_K)
    evaporated = wet_loss_w_m2(skin(FAST), surface_k, ROOM_K) - dry
    assert evaporated / dry == pytest.approx(times * outflow(celsius), rel=0.3)


def test_an_undried_ball_at_60_degrees_loses_a_third_of_a_kelvin_a_second_at_first():
    wet_k_s = wet_loss_w_m2(skin(FAST), 333.15, ROOM_K) * FAST.area_m2 / FAST.heat_capacity_j_k
    dry_k_s = dry_loss_w_m2(skin(FAST), 333.15, ROOM_K) * FAST.area_m2 / FAST.heat_capacity_j_k
    # 0.3 to 0.35 K/s against 0.08 K/s, ±30 %; all but the dry part grows by the outflow.
    assert wet_k_s == pytest.approx(0.08 + (0.325 - 0.08) * outflow(60), rel=0.3)
    assert dry_k_s == pytest.approx(0.08, rel=0.1)


def test_how_much_water_goes_in_a_minute():
    # 0.08 to 0.23 g/min between 40 °C and 60 °C, ±30 %.
    for celsius, expected_g in ((40, 0.08), (60, 0.23)):
        surface_k = 273.15 + celsius
        flux = evaporation_w_m2(surface_k, ROOM_K, 7.0)
        grams = 60.0 * 1000.0 * flux * FAST.area_m2 / latent_heat_j_kg(surface_k)
        assert grams == pytest.approx(expected_g * outflow(celsius), rel=0.3)
