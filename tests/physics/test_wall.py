from dataclasses import replace

import pytest

from physics.ball import FAST
from physics.wall import lag_s


def test_standard_ball():
    assert lag_s(FAST) == pytest.approx(76.2, abs=0.1)


def test_a_thin_wall_lags_by_its_thickness_squared_over_three_diffusivities():
    thin = replace(FAST, mass_kg=0.002)
    diffusivity = 0.16 / (1200.0 * 1500.0)
    wall_m = thin.diameter_m / 2.0 - thin.inner_radius_m
    assert lag_s(thin) == pytest.approx(wall_m**2 / (3.0 * diffusivity), rel=0.05)


def test_a_solid_ball_lags_by_its_radius_squared_over_fifteen_diffusivities():
    # Mean of the exact profile (b² − r²) / 6α of a solid sphere.
    solid = replace(FAST, mass_kg=1200.0 * FAST.volume_m3 * (1.0 - 1e-9))
    diffusivity = 0.16 / (1200.0 * 1500.0)
    assert lag_s(solid) == pytest.approx(0.02**2 / (15.0 * diffusivity), rel=1e-6)


def test_twice_the_size_lags_four_times_as_long():
    twice = replace(FAST, diameter_m=0.080, mass_kg=0.192)
    assert lag_s(twice) == pytest.approx(4.0 * lag_s(FAST), rel=1e-12)


def test_a_better_conductor_lags_less_in_proportion():
    assert lag_s(replace(FAST, rubber_conductivity_w_m_k=0.32)) == pytest.approx(lag_s(FAST) / 2.0)
