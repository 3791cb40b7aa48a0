import numpy as np
import pytest

from physics.ranges import OutOfRange
from physics.transfer.evaporation import (
    evaporation_w_m2,
    saturation_pressure_pa,
    vapour_density_kg_m3,
)

ROOM_K = 293.15


def test_water_boils_at_100_degrees_under_one_atmosphere():
    assert saturation_pressure_pa(373.15) == pytest.approx(101_325.0, rel=1e-3)


def test_at_the_dew_point_nothing_evaporates_and_below_it_water_condenses():
    surface_k = np.linspace(ROOM_K - 15.0, ROOM_K, 301)
    flux = evaporation_w_m2(surface_k, ROOM_K, 7.0)
    dew_k = surface_k[np.abs(flux).argmin()]
    assert flux[0] < 0.0 < flux[-1]
    # Half saturation at 20 °C has its dew point at 9.3 °C (standard tables, from memory).
    assert dew_k - 273.15 == pytest.approx(9.3, abs=0.15)


def test_the_flux_goes_with_the_transfer_of_heat():
    assert evaporation_w_m2(320.0, ROOM_K, 14.0) == pytest.approx(
        2.0 * evaporation_w_m2(320.0, ROOM_K, 7.0)
    )


def test_vapour_is_lighter_than_air_at_the_same_pressure():
    assert vapour_density_kg_m3(101_325.0, 373.15) == pytest.approx(0.588, abs=0.001)


def test_water_above_its_boiling_point_is_refused():
    with pytest.raises(OutOfRange, match="water temperature 380 K"):
        saturation_pressure_pa(np.array([300.0, 380.0]))
