"""The demonstration: the student's own readings, the true temperature, and what is said."""

from dataclasses import replace

import numpy as np
import pytest

from analysis.statistics.two_procedures import spread_ratio
from physics.constants import ZERO_CELSIUS_K
from physics.reading import CAREFUL, HURRIED
from sim import actions as act
from sim.actions import NotPossible
from sim.passing import ball_k
from sim.practical import apply
from sim.procedure import Procedure
from sim.state import Setup
from sim.student import perform
from sim.teaching.demonstration import (
    NAMES,
    Side,
    centres_cm,
    demonstration,
    lifts,
    plain_sentence,
    window_cm,
)
from tests.sim.steps import replay

HOT_K, ROOM_K = ZERO_CELSIUS_K + 60.0, ZERO_CELSIUS_K + 20.0
SETUP = Setup(seed=4)
PLAN = Procedure(observer=CAREFUL)


@pytest.fixture(scope="module")
def shown():
    return demonstration(SETUP, PLAN)


@pytest.mark.parametrize("side", [0, 1])
def test_its_readings_are_those_of_the_scripted_student(shown, side):
    rough = perform(SETUP, replace(PLAN, reheat=bool(side)), first_drop=25 * side).end.rough
    landings = shown.sides[side].landings
    assert [each.height_m for each in landings] == [line.height_m for line in rough]
    assert [each.ball_k for each in landings] == [line.drop.ball_k for line in rough]
    assert [each.temperature_k for each in landings] == [line.temperature_k for line in rough]


def test_rows_and_repeats_follow_the_plan(shown):
    landings = shown.sides[0].landings
    assert [each.number for each in landings] == list(range(25))
    assert (landings[7].row, landings[7].repeat) == (1, 2)
    assert tuple(side.name for side in shown.sides) == NAMES


def test_the_first_drop_of_both_has_the_same_ball_and_other_luck(shown):
    left, back = (side.landings[0] for side in shown.sides)
    # The wait in the hand differs from drop to drop, and a ball at the room's warmth stays so.
    assert left.ball_k == pytest.approx(back.ball_k, abs=0.02)
    assert left.time_s != back.time_s


def test_the_ball_left_alone_cools_and_the_ball_put_back_stays_warm(shown):
    left, back = (
        np.array([each.ball_k for each in side.landings]).reshape(5, 5) for side in shown.sides
    )
    assert (np.diff(left[-1]) < 0.0).all()
    assert shown.swing_k(0)[-1] == pytest.approx(left[-1, 0] - left[-1, -1])
    # The wall keeps 5 % of a gap of 10 °C and of what a drop costs from one soak to the next.
    assert shown.swing_k(1).max() < 1.2
    assert shown.swing_k(0)[-1] > 3.0
    assert back[-1, -1] > left[-1, -1] + 2.0


@pytest.mark.parametrize("side", [0, 1])
def test_the_curve_goes_through_every_release(shown, side):
    one = shown.sides[side]
    assert (np.diff(one.curve_s) > 0.0).all()
    for landing in one.landings:
        assert one.ball_k_at(landing.time_s) == pytest.approx(landing.ball_k, abs=1e-9)


def test_the_curve_within_a_soak_is_the_practicals_own(shown):
    actions = perform(SETUP, PLAN).actions
    soak = max(n for n, each in enumerate(actions) if each == act.Wait(PLAN.soak_s))
    before = replay(SETUP, actions[:soak])
    then = apply(before, act.Wait(100.0))
    assert shown.sides[0].ball_k_at(then.time_s) == pytest.approx(ball_k(then), abs=1e-6)
    assert ball_k(then) - ball_k(before) > 5.0


def test_progress_becomes_each_sides_own_clock(shown):
    for side in shown.sides:
        assert side.clock_s(3) == side.landings[2].time_s
        assert side.landings[2].time_s < side.clock_s(3.5) < side.landings[3].time_s
    assert shown.sides[1].clock_s(25) > shown.sides[0].clock_s(25)


def test_a_trace_ends_at_its_moment():
    side = Side("x", (), lambda: [(0.0, 300.0), (10.0, 310.0), (20.0, 330.0)])
    times_s, temperatures_k = side.trace(15.0)
    assert times_s.tolist() == [0.0, 10.0, 15.0]
    assert temperatures_k.tolist() == [300.0, 310.0, 320.0]


def test_a_standing_knows_only_what_has_landed(shown):
    standing = shown.standing(25 + 7.9)
    left, back = standing.heights_m
    assert standing.drops == (25, 7)
    assert np.isfinite(left).all()
    assert np.isfinite(back).sum() == 7
    assert back.ravel()[:7].tolist() == [each.height_m for each in shown.sides[1].landings[:7]]
    low, high = back[1, :2].min(), back[1, :2].max()
    assert standing.half_range_m[1][1] == pytest.approx((high - low) / 2.0)
    assert np.isnan(standing.half_range_m[1][2:]).all()
    assert standing.mean_half_range_m[1] == pytest.approx(standing.half_range_m[1][:2].mean())
    assert standing.spreads.ratio == spread_ratio(left, back, 0.005).ratio


def test_before_the_second_procedure_no_spreads_are_compared(shown):
    assert np.isnan(shown.standing(1).mean_half_range_m).all()
    assert np.isfinite(shown.standing(25).mean_half_range_m[0])
    assert np.isnan(shown.standing(26).spreads.ratio)


def test_moments_outside_it_are_its_ends(shown):
    assert shown.standing(-3).drops == (0, 0)
    assert shown.standing(99).drops == (25, 25)


def test_it_says_how_long_each_procedure_takes(shown):
    last_s = [side.landings[-1].time_s for side in shown.sides]
    left, back = (f"{each / 60:.0f} minutes" for each in last_s)
    assert f"It takes {left} left to cool, {back} put back." in plain_sentence(shown)
    assert last_s[1] > 2.5 * last_s[0]


def test_when_the_spread_shrank_it_says_so(shown):
    assert shown.judged == "b"
    assert "The readings show it" in plain_sentence(shown)


def test_with_eight_repeats_at_60_degrees_nobody_speaks_of_luck():
    plan = replace(PLAN, temperatures_k=(HOT_K,), repeats=8)
    for seed in range(10):
        words = plain_sentence(demonstration(Setup(seed=seed), plan))
        assert "The readings show it" in words
        assert "luck" not in words


def test_at_the_rooms_temperature_it_says_that_nothing_could_cool():
    shown = demonstration(SETUP, replace(PLAN, temperatures_k=(ROOM_K,)))
    assert "could not cool" in plain_sentence(shown)
    assert shown.judged == "not settled"


def test_a_hurried_eye_that_hides_the_cooling_is_named():
    words = plain_sentence(demonstration(SETUP, replace(PLAN, observer=HURRIED)))
    assert "do not settle it" in words
    assert "the hand and the eye scatter them" in words
    assert "luck" not in words


def test_a_soak_that_was_too_short_is_named():
    plan = replace(PLAN, temperatures_k=(HOT_K,), soak_s=60.0)
    assert "not in the water for long enough" in plain_sentence(demonstration(SETUP, plan))


def test_one_drop_a_temperature_has_no_spread():
    assert "take repeats" in plain_sentence(demonstration(SETUP, replace(PLAN, repeats=1)))


def test_a_spread_that_grew_all_the_same_is_not_hidden(shown):
    sides = tuple(
        replace(
            side,
            landings=tuple(
                mine._replace(height_m=other.height_m)
                for mine, other in zip(side.landings, shown.sides[1 - n].landings, strict=True)
            ),
        )
        for n, side in enumerate(shown.sides)
    )
    assert "agreed less well with the ball put back" in plain_sentence(replace(shown, sides=sides))


def test_temperatures_may_come_in_any_order_but_once():
    falling = replace(PLAN, temperatures_k=(HOT_K, ROOM_K), repeats=3)
    assert "put back" in plain_sentence(demonstration(SETUP, falling))
    with pytest.raises(NotPossible, match="once"):
        demonstration(SETUP, replace(PLAN, temperatures_k=(HOT_K, HOT_K)))


def test_every_strip_is_as_wide_as_the_widest_needs(shown):
    heights_cm = np.stack(shown.standing(50).heights_m) * 100.0
    widest = np.ptp(heights_cm, axis=(0, 2)).max()
    width = window_cm(shown)
    assert widest < width <= widest + 1.9
    for row, centre in enumerate(centres_cm(shown)):
        assert abs(heights_cm[:, row] - centre).max() < width / 2.0


def test_equal_readings_are_lifted_off_one_another():
    assert lifts(np.array([0.2, 0.3, 0.2, 0.2])).tolist() == [0.0, 0.0, 1.0, 2.0]
