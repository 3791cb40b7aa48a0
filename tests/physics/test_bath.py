import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import expm

from physics import bath
from physics.ball import FAST, individual
from physics.bath import (
    BATH_KG,
    BEAKER_LOSS_W_K,
    THERMOMETER_LAG_S,
    Temperatures,
    brought,
    change_time_s,
    mixed_k,
    read_thermometer_k,
    soaked,
    standing,
    water_time_constant_s,
)
from physics.constants import WATER_SPECIFIC_HEAT_J_KG_K
from physics.ranges import OutOfRange

ROOM_K = 293.15
BEFORE = Temperatures(295.0, 333.15, 310.0)
KELVIN = st.floats(273.15, 373.15)


def law_matrix(water_kg):
    """The three coupled laws, written down as they are told."""
    water_j_k = water_kg * WATER_SPECIFIC_HEAT_J_KG_K
    ball_per_s = 1.0 / water_time_constant_s(FAST)
    given_j_k = FAST.heat_capacity_j_k * ball_per_s
    return np.array(
        [
            [-ball_per_s, ball_per_s, 0.0],
            [given_j_k / water_j_k, -(given_j_k + BEAKER_LOSS_W_K) / water_j_k, 0.0],
            [0.0, 1.0 / THERMOMETER_LAG_S, -1.0 / THERMOMETER_LAG_S],
        ]
    )


@pytest.mark.parametrize("water_kg", [0.001, 0.02, 0.25, 5.0])
@pytest.mark.parametrize("time_s", [0.0, 1.0, 30.0, 600.0])
def test_soaking_is_the_matrix_exponential_of_the_coupled_laws(water_kg, time_s):
    excess = expm(law_matrix(water_kg) * time_s) @ (np.array(BEFORE) - ROOM_K)
    after = soaked(FAST, ROOM_K, water_kg, BEFORE, time_s)
    np.testing.assert_allclose(after, ROOM_K + excess, rtol=0.0, atol=1e-9)


@pytest.mark.parametrize("water_kg", [0.0005, 0.02, 0.25, 5.0])
def test_standing_is_the_same_laws_without_the_ball(water_kg):
    law = law_matrix(water_kg)[1:, 1:]
    law[0, 0] = -BEAKER_LOSS_W_K / (water_kg * WATER_SPECIFIC_HEAT_J_KG_K)
    for time_s in (0.0, 1.0, 30.0, 600.0):
        excess = expm(law * time_s) @ (np.array(BEFORE[1:]) - ROOM_K)
        after = standing(ROOM_K, water_kg, BEFORE.water_k, BEFORE.thermometer_k, time_s)
        np.testing.assert_allclose(after, ROOM_K + excess, rtol=0.0, atol=1e-9)


def test_where_water_fades_as_fast_as_the_thermometer_follows_nothing_is_lost():
    alike_kg = BEAKER_LOSS_W_K * THERMOMETER_LAG_S / WATER_SPECIFIC_HEAT_J_KG_K
    masses = alike_kg * np.array([1.0 - 1e-6, 1.0, 1.0 + 1e-6])
    shown = standing(ROOM_K, masses, 333.15, ROOM_K, 8.0).thermometer_k - ROOM_K
    assert shown[1] == pytest.approx(40.0 / np.e, rel=1e-9)
    assert shown[1] == pytest.approx((shown[0] + shown[2]) / 2.0, rel=1e-9)


def test_a_day_does_not_overflow():
    after = standing(ROOM_K, np.array([1e-4, 0.25]), 333.15, 300.0, 86_400.0)
    np.testing.assert_allclose(after.thermometer_k, ROOM_K, atol=1e-6)
    np.testing.assert_allclose(soaked(FAST, ROOM_K, 0.25, BEFORE, 86_400.0), ROOM_K, atol=1e-6)


def test_heat_is_conserved_where_the_beaker_loses_none(monkeypatch):
    monkeypatch.setattr(bath, "BEAKER_LOSS_W_K", 0.0)
    bath._soaking.cache_clear()
    after = soaked(FAST, ROOM_K, 0.2, BEFORE, 75.0)
    bath._soaking.cache_clear()
    water_j_k = 0.2 * WATER_SPECIFIC_HEAT_J_KG_K
    before_j = FAST.heat_capacity_j_k * BEFORE.ball_k + water_j_k * BEFORE.water_k
    after_j = FAST.heat_capacity_j_k * after.ball_k + water_j_k * after.water_k
    assert after_j == pytest.approx(before_j, rel=1e-13)
    assert after.ball_k > BEFORE.ball_k + 10.0


@given(KELVIN, KELVIN, KELVIN, st.floats(0.1, 600.0), st.integers(2, 60))
def test_a_soak_may_be_cut_anywhere(ball_k, water_k, thermometer_k, time_s, pieces):
    before = Temperatures(ball_k, water_k, thermometer_k)
    cut = before
    for _ in range(pieces):
        cut = soaked(FAST, ROOM_K, 0.25, cut, time_s / pieces)
    whole = soaked(FAST, ROOM_K, 0.25, before, time_s)
    np.testing.assert_allclose(cut, whole, rtol=1e-12)


@given(KELVIN, KELVIN, st.floats(0.1, 600.0), st.integers(2, 60), st.floats(1e-3, 1.0))
def test_standing_may_be_cut_anywhere(water_k, thermometer_k, time_s, pieces, water_kg):
    cut = (water_k, thermometer_k)
    for _ in range(pieces):
        cut = standing(ROOM_K, water_kg, *cut, time_s / pieces)
    whole = standing(ROOM_K, water_kg, water_k, thermometer_k, time_s)
    np.testing.assert_allclose(cut, whole, rtol=1e-12)


def test_a_large_bath_leaves_the_ball_its_one_time_constant():
    constant_s = water_time_constant_s(FAST)
    assert constant_s == pytest.approx(85.2, abs=0.1)
    after = soaked(FAST, 333.15, 100.0, Temperatures(293.15, 333.15, 333.15), constant_s)
    assert (333.15 - after.ball_k) / 40.0 == pytest.approx(np.exp(-1.0), abs=1e-4)


def test_a_thermostat_holds_the_water_and_the_rest_follows_it():
    kept = soaked(FAST, ROOM_K, 0.25, BEFORE, 40.0, kept=True)
    assert kept.water_k == BEFORE.water_k
    large = soaked(FAST, BEFORE.water_k, 100.0, BEFORE, 40.0)
    assert kept.ball_k == pytest.approx(large.ball_k, abs=0.02)
    without = standing(ROOM_K, 0.25, *BEFORE[1:], 40.0, kept=True)
    assert without == (kept.water_k, kept.thermometer_k)
    assert BEFORE.water_k - kept.thermometer_k == pytest.approx(
        (BEFORE.water_k - BEFORE.thermometer_k) * np.exp(-40.0 / THERMOMETER_LAG_S)
    )


def test_a_kept_soak_may_be_cut_anywhere():
    cut = BEFORE
    for _ in range(7):
        cut = soaked(FAST, ROOM_K, 0.25, cut, 9.0, kept=True)
    whole = soaked(FAST, ROOM_K, 0.25, BEFORE, 63.0, kept=True)
    np.testing.assert_allclose(cut, whole, rtol=1e-12)


def test_a_cold_ball_cools_its_water_a_little():
    # 36 J/K of ball at 20 °C into 250 g (1045.5 J/K) at 60 °C: 1.3 °C at the end of the exchange.
    after = soaked(FAST, 333.15, 0.25, Temperatures(293.15, 333.15, 333.15), 100_000.0)
    alone = mixed_k(36.0 / 4182.0, 293.15, 0.25, 333.15)
    assert alone == pytest.approx(333.15 - 1.33, abs=0.01)
    assert after.ball_k == pytest.approx(333.15, abs=1e-6)


def test_a_beaker_of_250_g_at_60_degrees_loses_over_a_kelvin_in_the_first_minute():
    lost_k = 333.15 - standing(ROOM_K, 0.25, 333.15, 333.15, 60.0).water_k
    assert lost_k == pytest.approx(1.24, abs=0.02)


def test_the_thermometer_trails_and_then_shows_the_water():
    early, late = standing(ROOM_K, 0.25, 333.15, ROOM_K, np.array([3.0, 60.0])).thermometer_k
    assert early < 310.0
    assert late == pytest.approx(standing(ROOM_K, 0.25, 333.15, 333.15, 60.0).water_k, abs=0.25)


def test_arrays_and_scalars_alike():
    kelvin = np.array([[280.0], [300.0], [340.0]])
    box = individual(FAST, np.zeros((3, 1)))
    after = soaked(box, ROOM_K, 0.25, Temperatures(kelvin, 333.15, 310.0), 120.0)
    assert after.ball_k.shape == after.water_k.shape == (3, 1)
    one = soaked(FAST, ROOM_K, 0.25, Temperatures(340.0, 333.15, 310.0), 120.0)
    assert after.ball_k[2, 0] == one.ball_k
    masses, times = np.array([0.1, 0.3]), np.array([5.0, 50.0])
    stood = standing(ROOM_K, masses, np.array([330.0, 280.0]), 300.0, times)
    alone = standing(ROOM_K, 0.3, 280.0, 300.0, 50.0)
    assert stood.water_k[1] == pytest.approx(alone.water_k, rel=1e-15)
    assert stood.thermometer_k[1] == pytest.approx(alone.thermometer_k, rel=1e-15)


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
