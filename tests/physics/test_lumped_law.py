"""One temperature for the whole ball: how good the lumped law is.

Held against the conduction equation of the hollow sphere (tests/physics/hollow_sphere.py),
which is itself held against its own analytic first mode. The figures are those that the
docstrings of physics.rates, physics.bath and physics.wall state.
"""

import numpy as np
import pytest
from scipy.optimize import brentq

from physics.ball import FAST
from physics.bath import WATER_FILM_W_M2_K, water_time_constant_s
from physics.heat import FLIGHT_SPEED_M_S, cooled_k, dry_rate, moving_rate, wet_rate, wet_rest_k
from physics.rates import (
    dry_loss_w_m2,
    moving_convection_w_m2_k,
    radiation_w_m2,
    skin,
    wet_loss_w_m2,
)
from physics.wall import lag_s
from tests.physics.hollow_sphere import cooled

ROOM_K = 293.15
HOT_K = 333.15


def test_the_reference_fades_like_the_analytic_first_mode():
    """Surface held at 0: r T = sin μ(b − r), closed inside, so tan μL = −μ a."""
    inner, wall = FAST.inner_radius_m, FAST.diameter_m / 2.0 - FAST.inner_radius_m
    mode = brentq(lambda x: np.sin(x) + x * inner / wall * np.cos(x), np.pi / 2, np.pi, xtol=1e-12)
    diffusivity = FAST.rubber_conductivity_w_m_k / (1200.0 * 1500.0)
    analytic_s = wall**2 / (diffusivity * mode**2)

    found = cooled(FAST, 1.0, lambda surface: 1e7 * surface, np.array([0.0, 150.0, 250.0]))

    fading_s = 100.0 / np.log(found.mean_k[1] / found.mean_k[2])
    assert fading_s == pytest.approx(analytic_s, rel=2e-3)


@pytest.mark.parametrize("film_w_m2_k", [13.0, 800.0])
def test_the_area_under_the_approach_is_exactly_right(film_w_m2_k):
    """The time constant m c / (h A) + lag is the mean action time of the true problem."""
    expected_s = FAST.heat_capacity_j_k / (film_w_m2_k * FAST.area_m2) + lag_s(FAST)
    times_s = np.linspace(0.0, 14.0 * expected_s, 4001)
    found = cooled(FAST, 1.0, lambda surface: film_w_m2_k * surface, times_s)
    assert np.trapezoid(found.mean_k, times_s) == pytest.approx(expected_s, rel=2e-3)


def test_in_water_the_law_is_within_11_and_then_2_per_cent_of_the_gap():
    times_s = np.array([0.0, 10.0, 20.0, 30.0, 60.0, 90.0, 120.0, 180.0, 240.0, 300.0, 600.0])
    found = cooled(FAST, ROOM_K, lambda s: WATER_FILM_W_M2_K * (s - HOT_K), times_s)
    true_gap = (HOT_K - found.mean_k) / (HOT_K - ROOM_K)
    law_gap = np.exp(-times_s / water_time_constant_s(FAST))
    off = law_gap - true_gap
    assert off.max() == pytest.approx(0.106, abs=0.005)
    assert np.abs(off[times_s >= 90.0]).max() == pytest.approx(0.022, abs=0.002)
    assert true_gap[times_s == 120.0] == pytest.approx(0.253, abs=0.005)
    assert true_gap[times_s == 300.0] == pytest.approx(0.046, abs=0.003)


@pytest.mark.parametrize("excess_k", [10.0, 20.0, 40.0, 60.0, 80.0])
def test_in_still_air_the_mean_is_within_half_a_kelvin(excess_k):
    times_s = np.array([0.0, 10.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0, 3000.0])
    start_k = ROOM_K + excess_k
    found = cooled(FAST, start_k, lambda s: dry_loss_w_m2(skin(FAST), s, ROOM_K), times_s)
    law_k = cooled_k(start_k, ROOM_K, dry_rate(FAST, ROOM_K), times_s)
    assert np.abs(law_k - found.mean_k).max() < 0.5
    assert (found.mean_k > found.surface_k - 1e-6).all()


def test_the_surface_of_a_hot_ball_is_three_to_seven_kelvin_colder_than_its_mean():
    times_s = np.array([0.0, 60.0, 120.0, 300.0])
    for excess_k in (40.0, 60.0):
        found = cooled(
            FAST, ROOM_K + excess_k, lambda s: dry_loss_w_m2(skin(FAST), s, ROOM_K), times_s
        )
        colder_k = (found.mean_k - found.surface_k)[1:]
        assert (colder_k > 2.9).all()
        assert (colder_k < 7.3).all()


@pytest.mark.parametrize(
    ("excess_k", "within_k"), [(-15.0, 0.2), (0.0, 0.2), (20.0, 0.3), (40.0, 0.61), (60.0, 1.2)]
)
def test_while_a_film_lasts_the_wet_law_holds(excess_k, within_k):
    times_s = np.array([0.0, 5.0, 10.0, 20.0, 30.0, 45.0, 60.0])
    start_k = ROOM_K + excess_k
    found = cooled(FAST, start_k, lambda s: wet_loss_w_m2(skin(FAST), s, ROOM_K), times_s)
    law_k = cooled_k(start_k, wet_rest_k(FAST, ROOM_K), wet_rate(FAST, ROOM_K), times_s)
    assert np.abs(law_k - found.mean_k).max() < within_k


def test_in_flight_the_wall_has_no_time_to_lag():
    times_s = np.array([0.0, 0.5, 1.0, 1.5])

    def flux(surface_k):
        h = moving_convection_w_m2_k(0.040, surface_k, ROOM_K, FLIGHT_SPEED_M_S)
        return h * (surface_k - ROOM_K) + radiation_w_m2(FAST.emissivity, surface_k, ROOM_K)

    found = cooled(FAST, ROOM_K + 60.0, flux, times_s)
    rate = moving_rate(FAST, ROOM_K, FLIGHT_SPEED_M_S)
    law_k = cooled_k(ROOM_K + 60.0, ROOM_K, rate, times_s)
    assert np.abs(law_k - found.mean_k).max() == pytest.approx(0.03, abs=0.005)
