"""The random numbers: addressed, repeatable, and as random as they claim."""

import numpy as np
import pytest
from scipy import stats

from sim.chance import (
    BLOCK,
    LARGEST_SEED,
    Purpose,
    apparatus_chance,
    blocks,
    drop_chance,
    generator,
    place_of,
    single_chance,
)


def test_every_member_meets_its_own_number_of_its_block():
    for member in (0, 1, 2, BLOCK, BLOCK + 1, 3 * BLOCK):
        block, index = place_of(member)
        alone = single_chance(7, 3, member=member)
        for of_block, of_one in zip(drop_chance(7, 3, block), alone, strict=True):
            assert of_block[index] == of_one


def test_a_run_of_members_covers_its_blocks_once():
    for first, members in ((0, 1), (0, 5), (1, 5), (7, BLOCK), (0, 2 * BLOCK + 9)):
        covered = [
            (block, index)
            for block, part in blocks(first, members)
            for index in range(part.start, part.stop)
        ]
        assert covered == [tuple(place_of(first + n)) for n in range(members)]


def test_the_order_of_calls_makes_no_difference():
    forward = [single_chance(7, drop).instant for drop in range(5)]
    backward = [single_chance(7, drop).instant for drop in reversed(range(5))]
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
    drawn = getattr(drop_chance(11, 0, 1), name)
    assert stats.kstest(drawn, "norm").pvalue > 1e-3


@pytest.mark.parametrize("name", ["slip", "slip_size", "digit"])
def test_slips_are_uniform(name):
    drawn = getattr(drop_chance(11, 0, 1), name)
    assert stats.kstest(drawn, "uniform").pvalue > 1e-3


def test_the_four_normals_of_a_drop_do_not_depend_on_one_another():
    chance = drop_chance(13, 2, 1)
    together = np.corrcoef([chance.release, chance.instant, chance.place, chance.handling])
    off_diagonal = together[~np.eye(4, dtype=bool)]
    # The standard error of a correlation of 0 is 1/sqrt(8192) = 0.011.
    assert np.abs(off_diagonal).max() < 0.045


def test_apparatus_differs_from_bench_to_bench():
    chance = apparatus_chance(5, 1)
    assert np.unique(chance.ball).size == BLOCK
    assert abs(np.corrcoef(chance.ball, chance.thermometer)[0, 1]) < 0.1
