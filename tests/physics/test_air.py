import numpy as np
import pytest

from physics.air import Air, density_kg_m3, viscosity_pa_s
from physics.ranges import OutOfRange

PROPERTIES = [
    "density_kg_m3",
    "viscosity_pa_s",
    "kinematic_viscosity_m2_s",
    "conductivity_w_m_k",
    "prandtl",
]


@pytest.mark.parametrize("name", PROPERTIES)
def test_an_array_of_one_is_the_scalar(name):
    kelvin = np.array([[293.15], [313.15]])
    found = getattr(Air(kelvin), name)
    assert found.shape == (2, 1)
    assert found[1, 0] == pytest.approx(getattr(Air(313.15), name), rel=1e-15)


def test_the_same_mass_takes_twice_the_room_at_twice_the_temperature():
    assert density_kg_m3(400.0) == pytest.approx(density_kg_m3(200.0) / 2.0)


def test_warm_air_is_more_viscous():
    assert (np.diff(viscosity_pa_s(np.linspace(250.0, 400.0, 9))) > 0.0).all()


@pytest.mark.parametrize("name", PROPERTIES)
def test_air_near_absolute_zero_is_refused(name):
    with pytest.raises(OutOfRange, match="air temperature 20 K"):
        getattr(Air(np.array([300.0, 20.0])), name)
