import numpy as np
import pytest
from scipy.integrate import solve_ivp

from physics.constants import WATER_SPECIFIC_HEAT_J_KG_K
from physics.transfer.beaker import Loss, beaker_loss_w, faded_k, loss_law, loss_w

ROOM_K = 293.15
HEAT_J_K = 0.250 * WATER_SPECIFIC_HEAT_J_KG_K


@pytest.mark.parametrize(("celsius", "loss_w_k"), [(30, 0.36), (50, 0.51), (80, 1.1)])
def test_the_estimate_is_that_of_another_worker(celsius, loss_w_k):
    # An estimate made independently of this program, from evaporation, convection and radiation.
    lost_w = beaker_loss_w(273.15 + celsius, ROOM_K)
    assert lost_w / (celsius - 20.0) == pytest.approx(loss_w_k, rel=0.11)


def test_the_law_follows_the_estimate():
    water_k = np.linspace(303.15, 348.15, 40)
    law = loss_law(ROOM_K)
    np.testing.assert_allclose(
        loss_w(law, water_k - law.rest_k), beaker_loss_w(water_k, ROOM_K), rtol=0.04
    )
    cold_k = np.linspace(278.15, 287.0, 10)
    np.testing.assert_allclose(
        loss_w(law, cold_k - law.rest_k), beaker_loss_w(cold_k, ROOM_K), rtol=0.15
    )


def test_water_comes_to_rest_a_little_below_the_room_as_it_evaporates():
    assert ROOM_K - 2.0 < loss_law(ROOM_K).rest_k < ROOM_K - 0.3


@pytest.mark.parametrize("room_k", [273.15, 283.15, 303.15, 318.15])
def test_every_room_has_a_law_that_grows(room_k):
    law = loss_law(room_k)
    assert 0.2 < law.cold_w_k < law.warm_w_k < 0.7
    assert 0.0 < law.warm_w_k3 < 1e-3
    assert room_k - 5.0 < law.rest_k <= room_k


@pytest.mark.parametrize("start_k", [-14.0, 3.0, 40.0, 70.0])
def test_the_closed_form_is_the_solution_of_its_law(start_k):
    law = Loss(ROOM_K, 0.35, 1.8e-4, 0.26)
    found = solve_ivp(
        lambda _, excess: -loss_w(law, excess) / HEAT_J_K,
        (0.0, 600.0),
        [start_k],
        rtol=1e-10,
        atol=1e-12,
    )
    assert faded_k(law, HEAT_J_K, start_k, 600.0) == pytest.approx(found.y[0, -1], rel=1e-8)


def test_ten_minutes_are_ten_times_a_minute_to_the_last_digits():
    law = loss_law(ROOM_K)
    whole_k = faded_k(law, HEAT_J_K, 40.0, 600.0)
    step_k = 40.0
    for _ in range(10):
        step_k = faded_k(law, HEAT_J_K, step_k, 60.0)
    assert step_k == pytest.approx(whole_k, rel=1e-13)


def test_250_g_at_60_degrees_lose_over_a_kelvin_in_the_first_minute():
    law = loss_law(ROOM_K)
    begun_k = 333.15 - law.rest_k
    assert begun_k - faded_k(law, HEAT_J_K, begun_k, 60.0) == pytest.approx(1.37, abs=0.02)
