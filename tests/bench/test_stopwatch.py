"""The stopwatch tells the time since the ball went in, and haste ends by itself."""

import pygame as K
import pytest

from sim.bench.model.after import desk_for
from sim.bench.model.seeing import HASTENED, RUNNING, STOPPED, stopwatch_seen
from sim.state import Setup
from tests.bench.hands import bench, key, keys, wait
from tests.sim.steps import replay


def watch(at):
    return stopwatch_seen(at.desk, at.desk.shown)


def test_it_is_at_zero_when_the_ball_goes_in_and_runs_from_then_on():
    at = bench()
    wait(at, 20.0)
    assert watch(at) == (0.0, STOPPED)
    keys(at, K.K_h, K.K_c, K.K_b)
    assert watch(at) == (pytest.approx(0.0, abs=0.1), RUNNING)
    wait(at, 30.0)
    keys(at, K.K_t)  # three seconds to lift it out, five to dry it
    assert watch(at) == (pytest.approx(38.0, abs=0.1), RUNNING)
    keys(at, K.K_b)
    assert watch(at)[0] == pytest.approx(0.0, abs=0.1)


def test_haste_ends_by_itself_at_the_soak_that_was_planned():
    at = bench()
    keys(at, K.K_v)
    wait(at, 10.0)
    keys(at, K.K_s)
    wait(at, 14.0)
    assert watch(at) == (pytest.approx(290.0, abs=0.5), HASTENED)
    wait(at, 1.0)
    # 290 s at twenty times take 14.5 s; then half a second passes as half a second.
    assert watch(at) == (pytest.approx(300.5, abs=0.05), RUNNING)
    wait(at, 10.0)  # the screen is read
    assert watch(at) == (pytest.approx(310.5, abs=0.05), RUNNING)


def test_a_longer_soak_is_hastened_by_another_of_the_same_length():
    at = bench()
    keys(at, K.K_v, K.K_s)
    wait(at, 16.0)
    keys(at, K.K_s)
    wait(at, 16.0)
    assert watch(at) == (pytest.approx(600.0, abs=3.0), RUNNING)


def test_the_same_key_gives_time_its_own_pace_again():
    at = bench()
    keys(at, K.K_v, K.K_s)
    wait(at, 1.0)
    keys(at, K.K_s)
    wait(at, 5.0)
    assert watch(at) == (pytest.approx(25.0, abs=0.1), RUNNING)


def test_haste_ends_when_the_bath_is_ready_and_the_thermometer_has_followed():
    at = bench()
    keys(at, K.K_d, K.K_d, K.K_m, K.K_s)
    wait(at, 60.0)
    state = at.desk.shown
    assert not state.bath_changing
    assert abs(state.thermometer_k - state.bath_k) < 0.1
    # Ten degrees take 209 s and the thermometer 45 s: not a minute of the wall is lost after that.
    assert state.time_s < 330.0


def test_haste_ends_where_the_ball_is_taken_out():
    at = bench()
    keys(at, K.K_v, K.K_s)
    wait(at, 2.0)
    keys(at, K.K_t)
    assert at.desk.hasty_until_s is None
    before_s = at.desk.shown.time_s
    wait(at, 5.0)
    assert at.desk.shown.time_s - before_s == pytest.approx(5.0, abs=0.05)


def test_the_bench_stands_still_under_the_help_leaf():
    at = bench()
    keys(at, K.K_h, K.K_b, K.K_F1)
    before_s = at.desk.shown.time_s
    wait(at, 30.0)
    assert at.desk.shown.time_s == before_s


def test_after_reopening_it_stands_as_it_was():
    at = bench()
    keys(at, K.K_v, K.K_s)
    wait(at, 10.0)
    at.event(K.Event(K.QUIT))
    key(at, K.K_PERIOD)
    again = desk_for(replay(Setup(seed=3), at.keeper.actions))
    kept_s = stopwatch_seen(again, again.state)[0]
    assert kept_s == pytest.approx(watch(at)[0], abs=5.0)
    assert kept_s > 150.0
