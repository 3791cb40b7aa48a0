import numpy as np
import pytest

from analysis.statistics.spread import spread
from analysis.statistics.two_procedures import (
    SpreadRatio,
    distances,
    normal_distance,
    permutation_interval,
    permutation_p,
    spread_ratio,
    variance_interval,
)

LEVELS_M = np.array([0.12, 0.18, 0.24, 0.30, 0.36])[:, None]


def normal(rng, sd_m, repeats, tables=None):
    shape = (5, repeats) if tables is None else (tables, 5, repeats)
    return LEVELS_M + rng.normal(0.0, sd_m, shape)


@pytest.mark.parametrize(("repeats_a", "repeats_b"), [(3, 3), (5, 5), (3, 6), (2, 5)])
def test_normal_interval_covers_the_true_ratio_in_95_of_100_experiments(repeats_a, repeats_b):
    experiments, true = 8000, 1.7
    rng = np.random.default_rng(repeats_a * 10 + repeats_b)
    a = spread(normal(rng, 0.008, repeats_a, experiments)).standard_deviation_m
    b = spread(normal(rng, 0.008 * true, repeats_b, experiments)).standard_deviation_m
    variance_ratio = (b**2).mean(axis=-1) / (a**2).mean(axis=-1)
    low, high = variance_interval(variance_ratio, 5 * (repeats_b - 1), 5 * (repeats_a - 1))
    covered = int(((np.sqrt(low) <= true) & (true <= np.sqrt(high))).sum())
    # Binomial band: four standard deviations about 95 %.
    assert abs(covered - 0.95 * experiments) <= 4 * np.sqrt(experiments * 0.95 * 0.05)


GROWING = np.array([0.5, 0.75, 1.0, 1.25, 1.5])[:, None]
"""Spread that grows threefold from the coldest to the hottest set."""


MANY_OR_FEW = pytest.mark.parametrize(
    "experiments", [150, pytest.param(500, marks=pytest.mark.slow)]
)


@MANY_OR_FEW
@pytest.mark.parametrize(
    ("repeats_a", "repeats_b", "draw"),
    [
        (5, 5, lambda rng, shape: rng.normal(0, 0.008, shape)),
        (3, 3, lambda rng, shape: rng.normal(0, 0.008, shape)),
        (3, 6, lambda rng, shape: rng.normal(0, 0.008, shape)),
        (5, 5, lambda rng, shape: rng.normal(0, 0.008, shape) * GROWING),
        (5, 5, lambda rng, shape: 0.006 * rng.standard_t(4, shape)),
        (5, 5, lambda rng, shape: rng.uniform(-0.014, 0.014, shape)),
    ],
    ids=["5 and 5", "3 and 3", "3 and 6", "growing", "heavy tails", "uniform"],
)
def test_interval_covers_at_least_95_of_100_whatever_the_law(
    repeats_a, repeats_b, draw, experiments
):
    true = 1.7
    rng = np.random.default_rng(31)
    covered = 0
    for _ in range(experiments):
        a = LEVELS_M + draw(rng, (5, repeats_a))
        b = LEVELS_M + true * draw(rng, (5, repeats_b))
        low, high = permutation_interval(distances(a), distances(b))
        covered += low <= true <= high
    # Not below 95 % by more than three binomial standard deviations, nor an interval of anything.
    assert covered >= 0.95 * experiments - 3 * np.sqrt(experiments * 0.95 * 0.05)
    assert covered < experiments


@MANY_OR_FEW
@pytest.mark.parametrize(
    ("repeats_a", "repeats_b", "draw"),
    [
        (5, 5, "normal"),
        (3, 3, "normal"),
        (3, 6, "normal"),
        (5, 5, "uniform"),
        (5, 5, "heavy tails"),
    ],
)
def test_equal_spreads_are_called_different_in_one_experiment_of_twenty(
    repeats_a, repeats_b, draw, experiments
):
    rng = np.random.default_rng(17)
    draws = {
        "normal": lambda shape: rng.normal(0, 0.01, shape),
        "uniform": lambda shape: rng.uniform(-0.01, 0.01, shape),
        "heavy tails": lambda shape: 0.01 * rng.standard_t(4, shape),
    }[draw]
    p = np.array(
        [
            permutation_p(distances(draws((5, repeats_a))), distances(draws((5, repeats_b))))
            for _ in range(experiments)
        ]
    )
    # At most 5 % and four binomial standard deviations; and not a test that never speaks.
    assert (p < 0.05).mean() <= 0.05 + 4 * np.sqrt(0.05 * 0.95 / experiments)
    assert (p < 0.05).mean() > 0.0


def test_a_spread_twice_as_large_is_mostly_found():
    rng = np.random.default_rng(23)
    found = [spread_ratio(normal(rng, 0.008, 5), normal(rng, 0.016, 5)) for _ in range(100)]
    assert np.mean([each.narrower == "a" for each in found]) > 0.5
    assert all(each.interval[0] < each.ratio < each.interval[1] for each in found)
    assert np.median([each.ratio for each in found]) == pytest.approx(2.0, rel=0.1)


def test_ratio_and_p_by_hand():
    a = np.array([[0.0, 1.0, -1.0], [5.0, 6.0, 4.0]])
    b = np.array([[0.0, 2.0, -2.0], [5.0, 7.0, 3.0]])
    found = spread_ratio(a, b)
    assert found.pooled_a_m == 1.0
    assert found.pooled_b_m == 2.0
    assert found.ratio == 2.0
    assert (found.degrees_a, found.degrees_b) == (4.0, 4.0)
    # Each set deals two distances of 1 and two of 2 to A and B; B has the larger in both. Of the
    # 6 x 6 dealings 1 is as lopsided this way and 1 the other way.
    assert found.p == pytest.approx(2 / 36)
    # F(4, 4) at 97.5 % is 9.605 (tables of F, from memory).
    assert found.normal_interval == pytest.approx((2 / 9.605**0.5, 2 * 9.605**0.5), rel=1e-3)
    assert found.narrower == "not settled"


def test_swapping_the_procedures_turns_the_ratio_over():
    rng = np.random.default_rng(1)
    a, b = normal(rng, 0.01, 5), normal(rng, 0.02, 4)
    there, back = spread_ratio(a, b), spread_ratio(b, a)
    assert there.ratio == pytest.approx(1 / back.ratio)
    assert there.normal_interval[0] == pytest.approx(1 / back.normal_interval[1])
    assert there.interval[0] == pytest.approx(1 / back.interval[1], rel=0.026)  # two steps
    # Not to the last digit: distances are counted in five-hundredths of the largest.
    assert there.p == pytest.approx(back.p, abs=1e-9)


def test_agreeing_repeats_leave_the_spread_to_the_rounding():
    level = np.repeat(LEVELS_M, 4, axis=1)
    rough = normal(np.random.default_rng(2), 0.02, 4)
    found = spread_ratio(level, rough, resolution_m=0.01)
    assert found.pooled_a_m == pytest.approx(0.01 / np.sqrt(12))
    assert found.narrower == "a"
    # Distances that are all zero have no ratio; the normal interval stands in.
    assert found.interval == found.normal_interval


def test_distances_are_scaled_to_the_spread_whatever_the_number_of_readings():
    rng = np.random.default_rng(12)
    for n in (2, 3, 6):
        found = np.concatenate(distances(rng.normal(0.3, 0.01, (4000, n))))
        assert found.size == 4000 * (n - 1)
        assert found.mean() == pytest.approx(0.01, rel=0.05)


def test_degrees_of_freedom_go_with_their_own_procedure():
    rng = np.random.default_rng(1)
    found = spread_ratio(normal(rng, 0.01, 3), normal(rng, 0.02, 7))
    low, high = variance_interval(found.ratio**2, 30, 10)
    assert found.normal_interval == pytest.approx((float(low) ** 0.5, float(high) ** 0.5))


@pytest.mark.parametrize(
    ("interval", "p", "answer"),
    [
        ((1.2, 3.0), 0.01, "a"),
        ((0.9, 3.0), 0.02, "not settled"),
        ((1.1, 3.0), 0.03, "not settled"),
        ((np.nan, np.nan), 0.01, "cannot be told"),
        ((1.2, 3.0), np.nan, "cannot be told"),
    ],
)
def test_spreads_are_told_apart_only_when_test_and_interval_agree(interval, p, answer):
    assert SpreadRatio(0.01, 0.02, 20, 20, 2.0, interval, (1.1, 3.5), p).narrower == answer


def test_the_narrower_spread_is_that_of_the_smaller_ratio():
    assert SpreadRatio(0.02, 0.01, 20, 20, 0.5, (0.3, 0.8), (0.3, 0.9), 0.01).narrower == "b"


def test_nothing_to_compare_is_said():
    single = LEVELS_M
    several = normal(np.random.default_rng(2), 0.02, 4)
    assert spread_ratio(single, several).narrower == "cannot be told"
    level = np.repeat(LEVELS_M, 3, axis=1)
    assert spread_ratio(level, level, 0.01).narrower == "cannot be told"
    assert np.isnan(permutation_p([np.array([1.0])], [np.array([])]))
    assert permutation_interval([np.array([1.0])], [np.array([])]) is None


def test_one_distance_each_leaves_the_ratio_without_ends():
    found = spread_ratio(np.array([[0.10, 0.12]]), np.array([[0.10, 0.14]]))
    assert found.interval == (0.0, np.inf)
    assert found.p == 1.0
    assert found.narrower == "not settled"


def test_interval_ends_where_the_test_begins_to_object():
    rng = np.random.default_rng(8)
    a = [np.abs(rng.normal(size=8)) for _ in range(5)]
    b = [1.5 * np.abs(rng.normal(size=8)) for _ in range(5)]
    low, high = permutation_interval(a, b)
    for end, inward in ((low, 1.06), (high, 1 / 1.06)):
        # The exact share and the normal approximation differ by less than 0.01 here.
        assert permutation_p(a, [y / end for y in b]) < 0.055
        assert permutation_p(a, [y / (end * inward) for y in b]) > 0.05


def test_gaps_are_left_out():
    rng = np.random.default_rng(5)
    a, b = normal(rng, 0.01, 5), normal(rng, 0.02, 5)
    padded = np.concatenate([np.full((5, 2), np.nan), a], axis=1)
    assert spread_ratio(padded, b) == spread_ratio(a, b)


def test_normal_distances_against_simulation():
    rng = np.random.default_rng(4)
    for n in (2, 3, 4, 5, 8):
        readings = rng.normal(size=(40_000, n))
        distance = np.sort(np.abs(readings - np.median(readings, axis=1, keepdims=True)))[:, 1:]
        assert normal_distance(n) == pytest.approx(distance.mean(), abs=0.012)
    assert normal_distance(101) == pytest.approx(normal_distance(100), rel=0.01)
