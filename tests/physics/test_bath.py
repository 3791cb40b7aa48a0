"""The water baths: the ball in them, the beaker's cooling, the thermometer."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from physics import bath
from physics.ball import FAST, individual
from physics.bath import (
    BATH_KG,
    BULB_J_K,
    THERMOMETER_LAG_S,
    Temperatures,
    brought,
    change_time_s,
    mixed_k,
    read_thermometer_k,
    soaked,
    standing,
)
from physics.constants import WATER_SPECIFIC_HEAT_J_KG_K
from physics.ranges import OutOfRange
from physics.transfer.beaker import Loss, loss_law, loss_w
from physics.transfer.still_water import film_flux_w_m2
from physics.wall import bounce_k, even_k, shell, wall
from tests.physics.hollow_sphere import mean_k

ROOM_K = 293.15
WATER_K, SHOWN_K = 333.15, 310.0
BEFORE = Temperatures(even_k(295.0), WATER_K, SHOWN_K)
KELVIN = st.floats(273.15, 371.15)


def flat(temperatures):
    """Wall, water and bulb of the one ball in one row."""
    profile_k, water_k, thermometer_k = temperatures
    return np.concatenate([profile_k[:, 0], np.ravel(water_k), np.ravel(thermometer_k)])


def told(water_kg, before, time_s, room_k=ROOM_K):
    """The coupled laws as they are told, integrated by a library."""
    held, water_j_k = wall(shell(FAST)), water_kg * WATER_SPECIFIC_HEAT_J_KG_K
    law = loss_law(room_k)

    def change(_, kelvin):
        ball, water, bulb = kelvin[:-2], kelvin[-2], kelvin[-1]
        given_w = FAST.area_m2 * film_flux_w_m2(0.040, ball[-1:], water)[0]
        gains_w = -held.conductance_w_k @ ball
        gains_w[-1] -= given_w
        followed_w = BULB_J_K * (water - bulb) / THERMOMETER_LAG_S
        cooled_w = loss_w(law, water - law.rest_k) - given_w + followed_w
        return [
            *(gains_w / held.heat_j_k),
            -cooled_w / water_j_k,
            followed_w / BULB_J_K,
        ]

    return solve_ivp(change, (0.0, time_s), flat(before), "BDF", rtol=1e-9, atol=1e-9).y[:, -1]


@pytest.mark.parametrize("water_kg", [0.08, 0.25, 0.4])
@pytest.mark.parametrize("time_s", [1.0, 30.0, 120.0, 600.0])
@pytest.mark.parametrize("ball_c", [5.0, 22.0, 80.0])
def test_soaking_is_the_coupled_laws(water_kg, time_s, ball_c):
    before = BEFORE._replace(profile_k=even_k(273.15 + ball_c))
    after = flat(soaked(FAST, ROOM_K, water_kg, before, time_s))
    expected = told(water_kg, before, time_s)
    np.testing.assert_allclose(after[5:], expected[5:], atol=0.15)
    means_k = [mean_k(FAST, each[:5, None])[0] for each in (after, expected)]
    assert means_k[0] == pytest.approx(means_k[1], abs=0.25)


@pytest.mark.parametrize("water_kg", [0.08, 0.25, 5.0])
def test_standing_is_the_same_laws_without_the_ball(water_kg):
    law, water_j_k = loss_law(ROOM_K), water_kg * WATER_SPECIFIC_HEAT_J_KG_K

    def change(_, kelvin):
        cooled_w = loss_w(law, kelvin[0] - law.rest_k)
        return [-cooled_w / water_j_k, (kelvin[0] - kelvin[1]) / THERMOMETER_LAG_S]

    for water_k in (278.15, 333.15, 365.0):
        begun_k = [water_k, SHOWN_K]
        for time_s in (1.0, 30.0, 600.0):
            told_k = solve_ivp(change, (0.0, time_s), begun_k, "LSODA", rtol=1e-10, atol=1e-10)
            after = standing(ROOM_K, water_kg, water_k, SHOWN_K, time_s)
            assert after.water_k == pytest.approx(told_k.y[0, -1], abs=1e-6)
            assert after.thermometer_k == pytest.approx(told_k.y[1, -1], abs=0.2)


def test_the_last_drops_of_water_do_not_upset_the_thermometer():
    masses = np.geomspace(1e-4, 0.1, 40)
    for time_s in (0.5, 5.0, 50.0):
        shown_k = standing(ROOM_K, masses, WATER_K, WATER_K, time_s).thermometer_k
        assert (shown_k > ROOM_K - 2.0).all()
        assert (shown_k < WATER_K + 1.5).all()


def test_a_day_does_not_overflow():
    rest_k = loss_law(ROOM_K).rest_k
    after = standing(ROOM_K, np.array([1e-4, 0.25]), 333.15, 300.0, 86_400.0)
    np.testing.assert_allclose(after.thermometer_k, rest_k, atol=1e-6)
    day = soaked(FAST, ROOM_K, 0.25, BEFORE, 86_400.0)
    np.testing.assert_allclose(flat(day), rest_k, atol=0.05)


@pytest.mark.parametrize("kept", [False, True])
@given(KELVIN, KELVIN, st.floats(0.0, 400.0))
def test_whatever_is_soaked_ends_between_the_two_beginnings(kept, ball_k, water_k, time_s):
    before = Temperatures(even_k(ball_k), water_k, water_k)
    after = soaked(FAST, ROOM_K, 0.25, before, time_s, kept=kept)
    low_k, high_k = min(ball_k, water_k, 292.0), max(ball_k, water_k, ROOM_K)
    # A polynomial through five nodes overshoots by a hundredth of a gap that has just opened.
    over_k = 0.012 * abs(ball_k - water_k) + 0.05
    assert low_k - over_k <= flat(after).min()
    assert flat(after).max() <= high_k + over_k


def test_heat_is_conserved_where_the_beaker_loses_none(monkeypatch):
    monkeypatch.setattr(bath, "loss_law", lambda _: Loss(ROOM_K, 1e-12, 0.0, 1e-12))
    after = soaked(FAST, ROOM_K, 0.2, BEFORE, 75.0)
    heat_j_k = np.array([*wall(shell(FAST)).heat_j_k, 0.2 * WATER_SPECIFIC_HEAT_J_KG_K, BULB_J_K])
    assert heat_j_k @ flat(after) == pytest.approx(heat_j_k @ flat(BEFORE), rel=1e-12)
    assert mean_k(FAST, after.profile_k)[0] > mean_k(FAST, BEFORE.profile_k)[0] + 10.0


@given(KELVIN, KELVIN, st.floats(0.1, 600.0), st.integers(2, 60), st.floats(1e-3, 1.0))
def test_standing_may_be_cut_anywhere(water_k, thermometer_k, time_s, pieces, water_kg):
    cut = (water_k, thermometer_k)
    for _ in range(pieces):
        cut = standing(ROOM_K, water_kg, *cut, time_s / pieces)
    whole = standing(ROOM_K, water_kg, water_k, thermometer_k, time_s)
    np.testing.assert_allclose(cut, whole, rtol=1e-12)


def test_a_thermostat_holds_the_water_and_the_rest_follows_it():
    kept = soaked(FAST, ROOM_K, 0.25, BEFORE, 40.0, kept=True)
    assert kept.water_k == WATER_K
    large = soaked(FAST, ROOM_K, 100.0, BEFORE, 40.0)
    np.testing.assert_allclose(kept.profile_k, large.profile_k, atol=0.1)
    without = standing(ROOM_K, 0.25, WATER_K, SHOWN_K, 40.0, kept=True)
    assert without == (kept.water_k, kept.thermometer_k)
    assert WATER_K - kept.thermometer_k == pytest.approx(
        (WATER_K - SHOWN_K) * np.exp(-40.0 / THERMOMETER_LAG_S)
    )


def test_a_soak_of_two_minutes_leaves_a_quarter_of_the_gap_and_one_of_five_six_per_cent():
    def left(time_s):
        before = Temperatures(even_k(ROOM_K), WATER_K, WATER_K)
        after = soaked(FAST, ROOM_K, 0.25, before, time_s, kept=True)
        return (WATER_K - float(bounce_k(FAST, after.profile_k)[0])) / (WATER_K - ROOM_K)

    assert left(120.0) == pytest.approx(0.26, abs=0.02)
    assert left(300.0) == pytest.approx(0.055, abs=0.01)


def test_a_cold_ball_cools_its_water_a_little():
    # 36 J/K of ball at 20 °C into 250 g (1045.5 J/K) at 60 °C: 1.3 °C at the end of the exchange,
    # less what colder water loses less to the room in two minutes.
    alone = mixed_k(36.0 / 4182.0, 293.15, 0.25, 333.15)
    assert alone == pytest.approx(333.15 - 1.33, abs=0.01)
    cold, warm = (
        soaked(FAST, ROOM_K, 0.25, BEFORE._replace(profile_k=even_k(ball_k)), 120.0).water_k
        for ball_k in (293.15, 333.15)
    )
    assert float(warm[0] - cold[0]) == pytest.approx(333.15 - alone, abs=0.45)


def test_the_thermometer_trails_and_then_shows_the_water():
    early, late = standing(ROOM_K, 0.25, 333.15, ROOM_K, np.array([3.0, 60.0])).thermometer_k
    assert early < 310.0
    assert late == pytest.approx(standing(ROOM_K, 0.25, 333.15, 333.15, 60.0).water_k, abs=0.25)


@pytest.mark.parametrize("kept", [False, True])
def test_arrays_and_scalars_alike(kept):
    kelvin, waters_k = np.array([280.0, 300.0, 340.0]), np.array([333.0, 340.0, 333.15])
    box = individual(FAST, np.zeros(3))
    after = soaked(
        box, ROOM_K, 0.25, Temperatures(even_k(kelvin), waters_k, 310.0), 120.0, kept=kept
    )
    one = soaked(FAST, ROOM_K, 0.25, Temperatures(even_k(340.0), 333.15, 310.0), 120.0, kept=kept)
    assert after.profile_k.shape == (5, 3)
    np.testing.assert_allclose(after.profile_k[:, 2], one.profile_k[:, 0], rtol=1e-13)
    assert after.water_k[2] == pytest.approx(float(np.ravel(one.water_k)[0]), rel=1e-14)


def test_standing_takes_arrays():
    masses, times = np.array([0.1, 0.3]), np.array([5.0, 50.0])
    stood = standing(ROOM_K, masses, np.array([330.0, 280.0]), 300.0, times)
    alone = standing(ROOM_K, 0.3, 280.0, 300.0, 50.0)
    assert stood.water_k[1] == pytest.approx(float(alone.water_k), rel=1e-15)
    assert stood.thermometer_k[1] == pytest.approx(float(alone.thermometer_k), rel=1e-15)


def test_mixing_goes_by_mass():
    assert mixed_k(0.1, 280.0, 0.3, 360.0) == pytest.approx(340.0)
    assert mixed_k(0.0, 280.0, 0.3, 360.0) == 360.0
    np.testing.assert_allclose(mixed_k(np.array([0.1, 0.3]), 280.0, 0.1, 360.0), [320.0, 300.0])


def test_the_thermometer_is_read_to_half_a_degree_celsius():
    shown = read_thermometer_k(273.15 + np.array([20.24, 20.26, 59.9]), np.array([0.0, 0.0, 0.4]))
    np.testing.assert_allclose(shown - 273.15, [20.0, 20.5, 60.5], atol=1e-12)


def test_no_water_and_no_time_are_refused():
    with pytest.raises(OutOfRange, match="mass of water 0 kg"):
        soaked(FAST, ROOM_K, 0.0, BEFORE, 10.0)
    with pytest.raises(OutOfRange, match="time -5 s"):
        standing(ROOM_K, 0.2, 300.0, 300.0, -5.0)
    with pytest.raises(OutOfRange, match="mass of water -1 kg"):
        mixed_k(0.2, 300.0, -1.0, 300.0)
    with pytest.raises(OutOfRange, match="mass of water 0 kg"):
        mixed_k(0.0, 300.0, 0.0, 300.0)


def test_the_bath_takes_the_time_that_its_heater_needs():
    # 5 kg of water by 10 K at 1 kW: 5 x 4182 x 10 / 1000 = 209 s, up as well as down.
    assert change_time_s(303.15, 313.15) == pytest.approx(209.1)
    assert change_time_s(np.array([313.15, 303.15]), 303.15) == pytest.approx([209.1, 0.0])
    half = brought(303.15, 313.15, 303.15, 104.55)
    assert half.water_k == pytest.approx(308.15)
    # A follower of lag tau trails a steady rise by rate times tau: 10 K / 209.1 s x 8 s.
    assert half.water_k - half.thermometer_k == pytest.approx(0.3826, abs=1e-4)
    assert brought(303.15, 313.15, 303.15, 209.2).water_k == 313.15
    assert brought(313.15, 303.15, 313.15, 500.0) == (303.15, pytest.approx(303.15, abs=1e-6))


def test_a_bath_on_its_way_may_be_waited_for_in_pieces():
    cut = (295.0, 290.0)
    for time_s in (0.0, 3.0, 60.1, 200.0, 7.3, 41.6):
        cut = brought(cut[0], 309.0, cut[1], time_s)
    np.testing.assert_allclose(cut, brought(295.0, 309.0, 290.0, 312.0), rtol=1e-13)
    waters, bulbs = np.array([295.0, 320.0]), np.array([290.0, 320.0])
    many = brought(waters, 309.0, bulbs, np.array([312.0, 50.0]))
    assert many.water_k == pytest.approx([309.0, 320.0 - 50.0 / 20.91])


def test_a_bath_that_is_there_stays_as_it_is():
    there = brought(313.15, 313.15, 300.0, 20.0)
    assert there == standing(ROOM_K, BATH_KG, 313.15, 300.0, 20.0, kept=True)
