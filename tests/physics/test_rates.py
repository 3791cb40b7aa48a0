from dataclasses import replace

import numpy as np
import pytest

from physics.ball import FAST, individual
from physics.heat import time_constant_s
from physics.ranges import OutOfRange
from physics.rates import (
    DRY_EXCESSES_K,
    dry_loss_w_m2,
    dry_rate,
    free_convection_w_m2_k,
    moving_convection_w_m2_k,
    moving_rate,
    skin,
    wet_loss_w_m2,
    wet_rate,
    wet_rest_k,
)
from physics.wall import lag_s

ROOM_K = 293.15
ALL_RATES = [dry_rate, wet_rate, lambda ball, room_k: moving_rate(ball, room_k, 2.0)]


@pytest.mark.parametrize("surface_excess_k", DRY_EXCESSES_K)
def test_the_dry_rate_is_exact_at_its_two_excesses(surface_excess_k):
    loss_w = dry_loss_w_m2(skin(FAST), ROOM_K + surface_excess_k, ROOM_K) * FAST.area_m2
    mean_excess_k = surface_excess_k + lag_s(FAST) * loss_w / FAST.heat_capacity_j_k
    constant_s = FAST.heat_capacity_j_k * mean_excess_k / loss_w
    assert time_constant_s(dry_rate(FAST, ROOM_K), mean_excess_k) == pytest.approx(constant_s)


def test_dry_still_air_takes_seven_to_eleven_minutes():
    # From theory with rubber of 1300 to 1900 J/(kg K): 430 s to 680 s; no measurement found.
    constant_s = time_constant_s(dry_rate(FAST, ROOM_K), np.array([25.0, 40.0]))
    assert (constant_s > 430.0).all()
    assert (constant_s < 680.0).all()


def test_a_wet_ball_cools_faster_and_a_moving_one_too():
    dry, wet, moving = (rate(FAST, ROOM_K) for rate in ALL_RATES)
    for excess_k in (10.0, 30.0, 50.0):
        still_s = time_constant_s(dry, excess_k)
        assert time_constant_s(wet, excess_k) < 0.6 * still_s
        assert time_constant_s(moving, excess_k) < 0.5 * still_s


def test_a_ball_that_hardly_moves_has_free_convection():
    slow = moving_convection_w_m2_k(0.040, 320.0, ROOM_K, 0.0)
    assert slow == pytest.approx(free_convection_w_m2_k(0.040, 320.0, ROOM_K))
    assert moving_convection_w_m2_k(0.040, 320.0, ROOM_K, 3.0) > 4.0 * slow


def test_the_wet_bulb_is_where_a_wet_ball_neither_gains_nor_loses():
    rest_k = wet_rest_k(FAST, ROOM_K)
    assert wet_loss_w_m2(skin(FAST), rest_k, ROOM_K) == pytest.approx(0.0, abs=0.05)
    assert rest_k - 273.15 == pytest.approx(15.3, abs=0.1)


@pytest.mark.parametrize("rate", ALL_RATES)
def test_both_parts_of_every_rate_are_positive_in_every_room(rate):
    for room_k in np.linspace(273.15, 318.15, 10):
        found = rate(FAST, float(room_k))
        assert found.at_zero_per_s > 0.0
        assert found.per_kelvin_per_s > 0.0


@pytest.mark.parametrize("rate", ALL_RATES)
def test_a_box_of_balls_shares_its_model_s_rate(rate):
    assert rate(individual(FAST, np.linspace(-1.0, 1.0, 5)), ROOM_K) == rate(FAST, ROOM_K)


@pytest.mark.parametrize("rate", ALL_RATES)
def test_the_cooling_factor_makes_cooling_faster(rate):
    quicker = rate(replace(FAST, cooling_factor=1.5), ROOM_K)
    assert time_constant_s(quicker, 30.0) < 0.8 * time_constant_s(rate(FAST, ROOM_K), 30.0)


def test_the_cooling_factor_multiplies_what_air_takes_and_leaves_the_wall_alone():
    quicker = replace(FAST, cooling_factor=1.5)
    assert dry_loss_w_m2(skin(quicker), 330.0, ROOM_K) == 1.5 * dry_loss_w_m2(
        skin(FAST), 330.0, ROOM_K
    )
    assert wet_loss_w_m2(skin(quicker), 330.0, ROOM_K) == pytest.approx(
        1.5 * wet_loss_w_m2(skin(FAST), 330.0, ROOM_K)
    )


def test_another_room_or_speed_is_refused():
    with pytest.raises(OutOfRange, match="room temperature 200 K"):
        dry_rate(FAST, 200.0)
    with pytest.raises(OutOfRange, match="room temperature 350 K"):
        wet_rest_k(FAST, 350.0)
    with pytest.raises(OutOfRange, match="speed through the air 30 m/s"):
        moving_rate(FAST, ROOM_K, 30.0)
