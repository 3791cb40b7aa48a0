import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from physics.ball import FAST, LOSS_RATIO_SPREAD, SLOW, individual
from physics.drop import HAND_SD_M, bounce, released_height_m
from physics.flight import impact_speed_m_s, rebound_height_m
from physics.ranges import OutOfRange
from physics.restitution import restitution

ROOM_K = 293.15


def test_a_bounce_is_fall_then_impact_then_rise():
    found = bounce(SLOW, ROOM_K, 313.15, 1.0)
    speed = impact_speed_m_s(SLOW, ROOM_K, 1.0)
    left = restitution(SLOW, 313.15, speed)
    assert found == (1.0, 313.15, speed, left, rebound_height_m(SLOW, ROOM_K, left * speed))


@given(st.floats(273.15, 373.15), st.floats(0.05, 2.6))
def test_no_ball_comes_up_to_where_it_fell_from(temperature_k, height_m):
    assert 0.0 < bounce(FAST, ROOM_K, temperature_k, height_m).apex_m < height_m


def test_a_million_drops_and_one_go_the_same_way():
    rng = np.random.default_rng(3)
    balls = individual(FAST, rng.standard_normal(1000))
    kelvin, heights = rng.uniform(280.0, 340.0, 1000), rng.uniform(0.5, 1.5, 1000)
    whole = bounce(balls, ROOM_K, kelvin, heights)
    for i in (0, 500, 999):
        ball = individual(
            FAST, (balls.loss_ratio_40[i] / FAST.loss_ratio_40 - 1.0) / LOSS_RATIO_SPREAD
        )
        one = bounce(ball, ROOM_K, float(kelvin[i]), float(heights[i]))
        assert whole.apex_m[i] == pytest.approx(one.apex_m, rel=1e-12)


def test_shapes_broadcast():
    found = bounce(individual(FAST, np.zeros((4, 1))), ROOM_K, np.full(3, 310.0), 1.0)
    assert found.apex_m.shape == (4, 3)


def test_the_hand_misses_the_mark_by_its_own_error():
    assert released_height_m(1.0, HAND_SD_M, 0.0) == 1.0
    assert released_height_m(1.0, 0.0, 2.0) == 1.0
    np.testing.assert_allclose(
        released_height_m(1.0, 0.004, np.array([-1.0, 2.0])), [0.996, 1.008], rtol=1e-15
    )


def test_a_drop_from_below_the_floor_or_of_a_frozen_ball_is_refused():
    with pytest.raises(OutOfRange, match=r"drop height -0\.002 m"):
        bounce(FAST, ROOM_K, 300.0, np.array([1.0, -0.002]))
    with pytest.raises(OutOfRange, match="ball temperature 263 K"):
        bounce(FAST, ROOM_K, 263.0, 1.0)
