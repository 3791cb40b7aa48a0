from dataclasses import replace

import numpy as np
import pytest

from physics.ball import FAST
from physics.wall import even_k, lag_s, shell, wall
from tests.physics.hollow_sphere import mean_k


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


def test_the_wall_holds_the_ball_s_heat_and_an_even_one_conducts_none():
    for ball in (FAST, replace(FAST, mass_kg=0.002), replace(FAST, diameter_m=0.080)):
        held = wall(shell(ball))
        assert held.heat_j_k.sum() == pytest.approx(ball.heat_capacity_j_k, rel=1e-12)
        np.testing.assert_allclose(held.conductance_w_k.sum(axis=1), 0.0, atol=1e-12)
        assert held.bounce_shares.sum() == pytest.approx(1.0, rel=1e-12)
        assert mean_k(ball, even_k(300.0))[0] == pytest.approx(300.0, rel=1e-14)


def test_heat_that_enters_steadily_has_the_profile_of_the_textbook():
    """Closed inside, warmed evenly: k dT/dr = q (r³ − a³) / (3 r²), q the heat taken up by m³."""
    held = wall(shell(FAST))
    taken_w = 0.05 * held.heat_j_k
    taken_w[-1] -= taken_w.sum()
    found_k, *_ = np.linalg.lstsq(held.conductance_w_k, -taken_w, rcond=None)
    a, b = FAST.inner_radius_m, 0.020
    volume_w_m3 = 0.05 * FAST.heat_capacity_j_k / FAST.rubber_volume_m3
    rise_k = volume_w_m3 / (3.0 * 0.16) * ((b**2 - a**2) / 2.0 + a**3 * (1.0 / b - 1.0 / a))
    assert found_k[-1] - found_k[0] == pytest.approx(rise_k, rel=1e-4)
