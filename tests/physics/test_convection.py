import numpy as np
import pytest

from physics.ranges import OutOfRange
from physics.transfer.convection import forced_nusselt, free_nusselt, mixed_nusselt


def test_without_motion_of_the_air_there_is_conduction():
    assert free_nusselt(0.0, 0.7) == 2.0
    assert forced_nusselt(0.0, 0.7) == 2.0


def test_either_kind_alone_comes_through_the_mixture():
    assert mixed_nusselt(9.0, 2.0) == pytest.approx(9.0)
    assert mixed_nusselt(2.0, 40.0) == pytest.approx(40.0)
    assert 40.0 < mixed_nusselt(9.0, 40.0) < 40.1


def test_free_convection_grows_with_the_fourth_root():
    assert free_nusselt(16e4, 0.7) - 2.0 == pytest.approx(2.0 * (free_nusselt(1e4, 0.7) - 2.0))


def test_a_hot_surface_whose_air_is_more_viscous_takes_less():
    assert forced_nusselt(1e4, 0.71, 0.8) < forced_nusselt(1e4, 0.71)


def test_arrays_and_scalars_alike():
    grashof = np.array([[1e3], [1e5]])
    assert free_nusselt(grashof, 0.7).shape == (2, 1)
    assert free_nusselt(grashof, 0.7)[1, 0] == free_nusselt(1e5, 0.7)
    assert forced_nusselt(np.array([8e3]), 0.7)[0] == forced_nusselt(8e3, 0.7)


def test_outside_their_ranges_there_is_no_answer():
    with pytest.raises(OutOfRange, match=r"Prandtl number 0\.01 "):
        free_nusselt(1e4, 0.01)
    with pytest.raises(OutOfRange, match="Rayleigh number 7e"):
        free_nusselt(1e12, 0.7)
    with pytest.raises(OutOfRange, match="Reynolds number 100000"):
        forced_nusselt(np.array([1e4, 1e5]), 0.7)
    with pytest.raises(OutOfRange, match=r"Prandtl number 0\.1 "):
        forced_nusselt(1e4, 0.1)
