import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from physics.ball import FAST
from physics.heat import (
    FILM_LASTS_S,
    Rate,
    cooled_k,
    dry_rate,
    in_air,
    in_flight,
    time_constant_s,
    wet_rest_k,
)
from physics.ranges import OutOfRange

ROOM_K = 293.15
EXCESS_K = st.floats(-20.0, 80.0)
TIME_S = st.floats(0.0, 3000.0)


def test_the_closed_form_is_the_solution_of_its_law():
    rate = Rate(1.5e-3, 2e-5)
    for start_k in (-15.0, 60.0):
        found = solve_ivp(
            lambda _, excess: -(rate[0] + rate[1] * abs(excess)) * excess,
            (0.0, 600.0),
            [start_k],
            rtol=1e-10,
            atol=1e-12,
        )
        assert cooled_k(ROOM_K + start_k, ROOM_K, rate, 600.0) - ROOM_K == pytest.approx(
            found.y[0, -1], rel=1e-8
        )


@given(EXCESS_K, TIME_S)
def test_cooling_is_monotone_and_never_crosses_the_room(excess_k, time_s):
    rate = dry_rate(FAST, ROOM_K)
    now, later = (
        cooled_k(ROOM_K + excess_k, ROOM_K, rate, np.array([time_s, time_s + 1.0])) - ROOM_K
    )
    assert abs(later) <= abs(now) <= abs(excess_k) + 1e-12
    assert now * excess_k >= 0.0


@given(EXCESS_K, st.floats(0.0, 90.0), st.integers(2, 60), st.floats(1.0, 300.0))
def test_a_wait_may_be_cut_anywhere(excess_k, wet_left_s, pieces, time_s):
    whole = in_air(FAST, ROOM_K, ROOM_K + excess_k, wet_left_s, time_s)
    cut = (ROOM_K + excess_k, wet_left_s)
    for _ in range(pieces):
        cut = in_air(FAST, ROOM_K, *cut, time_s / pieces)
    assert cut[0] == pytest.approx(whole.temperature_k, abs=1e-10)
    assert cut[1] == pytest.approx(whole.wet_left_s, abs=1e-10)


def test_ten_seconds_are_ten_times_one_second_to_the_last_digits():
    rate = dry_rate(FAST, ROOM_K)
    step_k = 333.15
    for _ in range(10):
        step_k = cooled_k(step_k, ROOM_K, rate, 1.0)
    assert step_k == pytest.approx(cooled_k(333.15, ROOM_K, rate, 10.0), rel=1e-12)


def test_a_towelled_ball_is_dry_all_the_time():
    warmth = in_air(FAST, ROOM_K, 333.15, 0.0, 30.0)
    assert warmth.temperature_k == cooled_k(333.15, ROOM_K, dry_rate(FAST, ROOM_K), 30.0)
    assert warmth.wet_left_s == 0.0


def test_a_film_lasts_its_time_and_then_the_ball_is_dry():
    early = in_air(FAST, ROOM_K, 333.15, FILM_LASTS_S, 10.0)
    assert early.wet_left_s == FILM_LASTS_S - 10.0
    late = in_air(FAST, ROOM_K, 333.15, FILM_LASTS_S, FILM_LASTS_S + 40.0)
    at_end = in_air(FAST, ROOM_K, 333.15, FILM_LASTS_S, FILM_LASTS_S)
    assert late.wet_left_s == 0.0
    dried = cooled_k(at_end.temperature_k, ROOM_K, dry_rate(FAST, ROOM_K), 40.0)
    assert late.temperature_k == pytest.approx(dried, rel=1e-14)


def test_a_wet_ball_loses_three_times_as_much_in_ten_seconds():
    """What towelling is worth: 60 °C, ten seconds in a room of 20 °C."""
    wet_k = 333.15 - in_air(FAST, ROOM_K, 333.15, FILM_LASTS_S, 10.0).temperature_k
    dry_k = 333.15 - in_air(FAST, ROOM_K, 333.15, 0.0, 10.0).temperature_k
    assert wet_k == pytest.approx(2.0, abs=0.3)
    assert dry_k == pytest.approx(0.67, abs=0.1)


def test_a_wet_ball_at_the_room_s_temperature_cools_towards_the_wet_bulb():
    cooler_k = in_air(FAST, ROOM_K, ROOM_K, 60.0, 60.0).temperature_k
    assert wet_rest_k(FAST, ROOM_K) < cooler_k < ROOM_K - 0.3


def test_arrays_and_scalars_alike():
    kelvin = np.array([280.0, 293.15, 310.0, 350.0])
    wet_s, time_s = np.array([0.0, 5.0, 60.0, 60.0]), np.array([3.0, 10.0, 20.0, 90.0])
    whole = in_air(FAST, ROOM_K, kelvin, wet_s, time_s)
    for i in range(4):
        one = in_air(FAST, ROOM_K, float(kelvin[i]), float(wet_s[i]), float(time_s[i]))
        assert whole.temperature_k[i] == pytest.approx(one.temperature_k, rel=1e-15)
        assert whole.wet_left_s[i] == one.wet_left_s
    flown = in_flight(FAST, ROOM_K, kelvin.reshape(2, 2), 1.5)
    assert flown.shape == (2, 2)
    assert flown[1, 1] == in_flight(FAST, ROOM_K, 350.0, 1.5)


def test_a_fall_of_one_metre_costs_less_than_a_tenth_of_a_kelvin_at_60_degrees():
    lost_k = 333.15 - in_flight(FAST, ROOM_K, 333.15, 0.453)
    still_k = 333.15 - in_air(FAST, ROOM_K, 333.15, 0.0, 0.453).temperature_k
    assert still_k < lost_k < 0.1


def test_the_time_constant_falls_as_the_excess_grows_on_either_side():
    rate = dry_rate(FAST, ROOM_K)
    assert time_constant_s(rate, 50.0) < time_constant_s(rate, 10.0) == time_constant_s(rate, -10.0)


def test_time_does_not_run_backwards():
    with pytest.raises(OutOfRange, match="time -2 s"):
        in_air(FAST, ROOM_K, 333.15, 0.0, np.array([1.0, -2.0]))
    with pytest.raises(OutOfRange, match="time -1 s"):
        in_flight(FAST, ROOM_K, 333.15, -1.0)
