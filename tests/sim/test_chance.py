"""The random numbers: addressed, repeatable, and as random as they claim."""

import numpy as np
import pytest
from scipy import stats

from sim.chance import LARGEST_SEED, Purpose, apparatus_chance, drop_chance, generator


def test_a_cohort_and_a_single_member_meet_the_same_numbers():
    cohort = drop_chance(7, 3, member=10, members=50)
    for member in (10, 11, 35, 59):
        alone = drop_chance(7, 3, member=member)
        for of_cohort, of_one in zip(cohort, alone, strict=True):
            assert of_cohort[member - 10] == of_one[0]


def test_the_order_of_calls_makes_no_difference():
    forward = [drop_chance(7, drop).instant[0] for drop in range(5)]
    backward = [drop_chance(7, drop).instant[0] for drop in reversed(range(5))]
    assert forward == backward[::-1]


def test_another_seed_drop_member_or_purpose_gives_other_numbers():
    draws = {
        float(generator(*address).random())
        for address in (
            (7, 0, 0, Purpose.HAND_AND_EYE),
            (8, 0, 0, Purpose.HAND_AND_EYE),
            (7, 1, 0, Purpose.HAND_AND_EYE),
            (7, 0, 1, Purpose.HAND_AND_EYE),
            (7, 0, 0, Purpose.SLIPS),
            (LARGEST_SEED, 0, 0, Purpose.HAND_AND_EYE),
        )
    }
    assert len(draws) == 6


@pytest.mark.parametrize("name", ["release", "instant", "place", "handling"])
def test_hand_and_eye_are_standard_normals(name):
    drawn = getattr(drop_chance(11, 0, members=40_000), name)
    assert stats.kstest(drawn, "norm").pvalue > 1e-3


@pytest.mark.parametrize("name", ["slip", "slip_size", "digit"])
def test_slips_are_uniform(name):
    drawn = getattr(drop_chance(11, 0, members=40_000), name)
    assert stats.kstest(drawn, "uniform").pvalue > 1e-3


def test_the_four_normals_of_a_drop_do_not_depend_on_one_another():
    chance = drop_chance(13, 2, members=40_000)
    together = np.corrcoef([chance.release, chance.instant, chance.place, chance.handling])
    off_diagonal = together[~np.eye(4, dtype=bool)]
    # The standard error of a correlation of 0 is 1/sqrt(n) = 0.005.
    assert np.abs(off_diagonal).max() < 0.02
    # Box and Muller's pairs share a radius: their squares must be independent as well.
    squares = np.corrcoef(np.square([chance.release, chance.place]))
    assert abs(squares[0, 1]) < 0.02


def test_apparatus_differs_from_bench_to_bench():
    chance = apparatus_chance(5, members=1000)
    assert np.unique(chance.ball).size == 1000
    assert abs(np.corrcoef(chance.ball, chance.thermometer)[0, 1]) < 0.1
