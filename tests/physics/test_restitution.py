from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from physics.ball import EXTRA_SLOW, FAST, PLAYING_SPEEDS, individual
from physics.ranges import OutOfRange
from physics.restitution import REFERENCE_SPEED_M_S, loss_ratio, restitution

WARM_K = 313.15
TEMPERATURES_K = st.floats(273.15, 373.15)


def test_at_40_degrees_and_the_reference_speed_only_the_loss_ratio_counts():
    assert loss_ratio(FAST, WARM_K, REFERENCE_SPEED_M_S) == pytest.approx(0.177)
    assert restitution(FAST, WARM_K, REFERENCE_SPEED_M_S) == pytest.approx(np.exp(-np.pi * 0.177))


def test_loss_falls_by_the_slope():
    ratio = loss_ratio(FAST, WARM_K + 10.0, 4.0) / loss_ratio(FAST, WARM_K, 4.0)
    assert ratio == pytest.approx(np.exp(-0.195))


def test_a_harder_impact_meets_the_rubber_a_little_lossier_and_the_less_so_the_warmer_it_is():
    # n of e ∝ v^(-n), by a small step in the speed: π λ m, worked here by hand.
    def n(temperature_k):
        harder, softer = (restitution(FAST, temperature_k, speed) for speed in (4.04, 4.0))
        return -np.log(harder / softer) / np.log(1.01)

    assert n(WARM_K) == pytest.approx(np.pi * 0.177 * 0.04, rel=0.01)
    assert n(WARM_K - 20.0) > 1.4 * n(WARM_K) > 2.0 * n(WARM_K + 20.0)


@given(TEMPERATURES_K, TEMPERATURES_K, st.floats(0.3, 7.0))
def test_a_warmer_ball_comes_up_faster(one_k, other_k, speed):
    cooler, warmer = sorted((one_k, other_k))
    assert restitution(EXTRA_SLOW, cooler, speed) <= restitution(EXTRA_SLOW, warmer, speed) < 1.0


@given(TEMPERATURES_K, st.floats(0.3, 7.0), st.floats(0.3, 7.0))
def test_a_faster_impact_leaves_a_smaller_share(temperature_k, one, other):
    gentle, hard = sorted((one, other))
    ball = PLAYING_SPEEDS["slow"]
    assert restitution(ball, temperature_k, hard) <= restitution(ball, temperature_k, gentle)


def test_every_playing_speed_stays_below_one_over_the_whole_range():
    kelvin, speed = np.meshgrid(np.linspace(273.15, 373.15, 51), np.geomspace(0.05, 10.0, 51))
    for ball in PLAYING_SPEEDS.values():
        left = restitution(individual(ball, -4.0), kelvin, speed)
        assert ((left > 0.0) & (left < 1.0)).all()


def test_an_array_of_one_is_the_scalar_and_shapes_broadcast():
    one = restitution(FAST, 320.0, 3.0)
    assert restitution(FAST, np.array([320.0]), np.array([3.0]))[0] == one
    box = individual(FAST, np.zeros((3, 1)))
    grid = restitution(box, np.full(4, 320.0), 3.0)
    assert grid.shape == (3, 4)
    np.testing.assert_array_equal(grid, one)


@pytest.mark.parametrize("celsius", [-0.1, 100.1])
def test_outside_0_to_100_degrees_there_is_no_answer(celsius):
    with pytest.raises(OutOfRange, match=rf"ball temperature {celsius + 273.15:g} K"):
        restitution(FAST, np.array([300.0, celsius + 273.15]), 4.0)


@pytest.mark.parametrize("speed", [0.0, 0.01, 11.0])
def test_outside_its_speeds_there_is_no_answer(speed):
    with pytest.raises(OutOfRange, match=rf"impact speed {speed:g} m/s"):
        restitution(FAST, 300.0, speed)


@given(TEMPERATURES_K, st.floats(0.05, 10.0), st.floats(0.01, 2.0))
def test_no_ball_at_any_speed_comes_up_faster_than_it_came_down(temperature_k, speed, loss):
    assert 0.0 < restitution(replace(FAST, loss_ratio_40=loss), temperature_k, speed) < 1.0
