import numpy as np
import pytest

from physics.ball import FAST
from physics.flight import fall_time_s, impact_speed_m_s, rebound_height_m
from physics.path import path
from physics.ranges import OutOfRange
from physics.restitution import restitution

ROOM_K = 293.15


@pytest.fixture
def bounced():
    return path(FAST, ROOM_K, 1.0, lambda speed: float(restitution(FAST, 320.0, speed)))


def test_the_path_goes_through_release_impacts_and_apexes(bounced):
    np.testing.assert_allclose(
        bounced.height_m(np.array(bounced.apex_times_s)), bounced.apex_heights_m, rtol=1e-12
    )
    np.testing.assert_allclose(bounced.height_m(np.array(bounced.impact_times_s)), 0.0, atol=1e-12)
    assert len(bounced.apex_heights_m) == 4
    assert bounced.apex_times_s[0] == 0.0


def test_its_first_rebound_is_that_of_the_closed_forms(bounced):
    speed = impact_speed_m_s(FAST, ROOM_K, 1.0)
    launch = speed * restitution(FAST, 320.0, speed)
    assert bounced.apex_heights_m[1] == rebound_height_m(FAST, ROOM_K, launch)
    assert bounced.impact_times_s[0] == fall_time_s(FAST, ROOM_K, 1.0)


def test_the_height_follows_gravity_and_drag_in_between(bounced):
    """Second differences of the path give the deceleration that its speed asks for."""
    gravity, terminal = bounced.fall
    for time_s in (0.3, bounced.apex_times_s[1] - 0.15, bounced.apex_times_s[1] + 0.15):
        step_s = 1e-3
        before, now, after = bounced.height_m(time_s + np.array([-step_s, 0.0, step_s]))
        speed = (after - before) / (2.0 * step_s)
        expected = -gravity * (1.0 + np.sign(speed) * (speed / terminal) ** 2)
        assert (after - 2.0 * now + before) / step_s**2 == pytest.approx(expected, rel=1e-5)


def test_no_height_is_below_the_floor_or_above_the_release(bounced):
    heights = bounced.height_m(np.linspace(-1.0, bounced.impact_times_s[-1] + 1.0, 2001))
    assert heights.min() == 0.0
    assert heights.max() == 1.0
    assert bounced.height_m(-0.5) == 1.0
    assert bounced.height_m(bounced.impact_times_s[-1] + 0.1) == 0.0


def test_the_path_is_unbroken(bounced):
    times_s = np.linspace(0.0, bounced.impact_times_s[-1], 20_001)
    steps_m = np.abs(np.diff(bounced.height_m(times_s)))
    assert steps_m.max() < 4.5 * times_s[1]


def test_each_apex_is_lower(bounced):
    assert (np.diff(bounced.apex_heights_m) < 0.0).all()


def test_shapes_stay(bounced):
    assert bounced.height_m(0.2).shape == ()
    assert bounced.height_m(np.full((2, 3), 0.2)).shape == (2, 3)


def test_a_ball_that_hardly_bounces_any_more_lies_still():
    few = path(FAST, ROOM_K, 1.0, lambda _: 0.05, bounces=20)
    assert len(few.apex_heights_m) == 3
    assert (
        path(FAST, ROOM_K, 1.0, lambda _: 0.5, bounces=0).impact_times_s[-1]
        == few.impact_times_s[0]
    )


def test_a_release_out_of_reach_is_refused():
    with pytest.raises(OutOfRange, match="drop height 9 m"):
        path(FAST, ROOM_K, 9.0, lambda _: 0.5)
