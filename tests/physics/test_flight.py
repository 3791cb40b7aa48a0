import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from physics import flight
from physics.ball import FAST
from physics.constants import STANDARD_GRAVITY_M_S2
from physics.flight import (
    Fall,
    drag_coefficient,
    fall_time_s,
    falling,
    impact_speed_m_s,
    rebound_height_m,
    rise_time_s,
)
from physics.ranges import OutOfRange

ROOM_K = 293.15
HEIGHT_M = st.floats(0.01, 5.0)


@pytest.fixture
def no_air(monkeypatch):
    """Air so thin that nothing of it is left in fifteen figures."""
    monkeypatch.setattr(flight, "falling", lambda *_: Fall(STANDARD_GRAVITY_M_S2, 1e9))


@pytest.mark.usefixtures("no_air")
def test_without_air_the_textbook_s_formulas_are_left():
    for height_m in (0.05, 1.0, 2.54):
        speed = math.sqrt(2.0 * STANDARD_GRAVITY_M_S2 * height_m)
        assert impact_speed_m_s(FAST, ROOM_K, height_m) == pytest.approx(speed, rel=1e-12)
        assert rebound_height_m(FAST, ROOM_K, speed) == pytest.approx(height_m, rel=1e-12)
        expected_s = speed / STANDARD_GRAVITY_M_S2
        assert fall_time_s(FAST, ROOM_K, height_m) == pytest.approx(expected_s, rel=1e-7)
        assert rise_time_s(FAST, ROOM_K, speed) == pytest.approx(expected_s, rel=1e-7)


@pytest.mark.usefixtures("no_air")
def test_twice_the_height_takes_root_two_of_the_time():
    times = fall_time_s(FAST, ROOM_K, np.array([0.5, 1.0]))
    assert times[1] / times[0] == pytest.approx(math.sqrt(2.0), rel=1e-7)


@given(HEIGHT_M)
def test_air_slows_the_fall_and_lowers_the_rise(height_m):
    ideal = math.sqrt(2.0 * STANDARD_GRAVITY_M_S2 * height_m)
    speed = impact_speed_m_s(FAST, ROOM_K, height_m)
    assert speed < ideal
    assert fall_time_s(FAST, ROOM_K, height_m) > ideal / STANDARD_GRAVITY_M_S2
    assert rebound_height_m(FAST, ROOM_K, speed) < height_m


@given(HEIGHT_M, HEIGHT_M)
def test_a_higher_drop_lands_faster_and_later(one, other):
    low, high = sorted((one, other))
    assert impact_speed_m_s(FAST, ROOM_K, low) <= impact_speed_m_s(FAST, ROOM_K, high)
    assert fall_time_s(FAST, ROOM_K, low) <= fall_time_s(FAST, ROOM_K, high)


def test_terminal_speed_balances_drag_against_weight_less_buoyancy():
    gravity, terminal = falling(FAST, ROOM_K)
    area_m2 = math.pi * 0.020**2
    coefficient = drag_coefficient(3.0 * 0.040 / 1.506e-5)
    drag_n = 0.5 * 1.2041 * coefficient * area_m2 * terminal**2
    assert drag_n == pytest.approx(0.024 * gravity, rel=1e-4)
    assert 1.0 - gravity / STANDARD_GRAVITY_M_S2 == pytest.approx(1.2041 / 716.2, rel=1e-3)


def test_the_held_drag_coefficient_is_within_9_per_cent_from_1_to_7_metres_a_second():
    reynolds = np.linspace(1.0, 7.0, 100) * 0.040 / 1.506e-5
    held = drag_coefficient(3.0 * 0.040 / 1.506e-5)
    assert np.abs(drag_coefficient(reynolds) / held - 1.0).max() < 0.09


def test_warm_air_is_thinner():
    warm, cold = falling(FAST, 308.15), falling(FAST, 278.15)
    assert warm.terminal_speed_m_s > cold.terminal_speed_m_s
    assert warm.gravity_m_s2 > cold.gravity_m_s2


@pytest.mark.parametrize("formula", [impact_speed_m_s, fall_time_s, rebound_height_m, rise_time_s])
def test_an_array_of_one_is_the_scalar_and_shapes_stay(formula):
    grid = formula(FAST, ROOM_K, np.array([[0.2, 0.5], [1.0, 2.0]]))
    assert grid.shape == (2, 2)
    assert grid[1, 0] == formula(FAST, ROOM_K, 1.0)
    assert formula(FAST, ROOM_K, 0.0) == 0.0


@pytest.mark.parametrize("height_m", [-0.1, 5.5])
def test_a_height_out_of_reach_is_refused(height_m):
    with pytest.raises(OutOfRange, match=rf"drop height {height_m:g} m"):
        fall_time_s(FAST, ROOM_K, np.array([1.0, height_m]))


@pytest.mark.parametrize("reynolds", [0.0, 1e6])
def test_the_drag_curve_has_ends(reynolds):
    with pytest.raises(OutOfRange, match="Reynolds number"):
        drag_coefficient(reynolds)
