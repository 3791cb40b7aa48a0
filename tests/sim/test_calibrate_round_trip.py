"""Readings made with known parameters give these back within their stated 95 % intervals."""

import numpy as np
import pytest

from tests.sim.known_readings import trials


def holds(estimate, truth):
    return estimate.low <= truth <= estimate.high


def coverage(tried):
    """Per parameter: in how many trials it was told, and the share whose interval held it."""
    pairs = {
        "loss ratio": [(t.found.loss_ratio_40, t.loss_ratio_40) for t in tried],
        "cooling": [(t.found.cooling_factor, t.cooling_factor) for t in tried],
        "time constant": [
            (t.found.time_constant_s, t.found.air_time_constant_s(t.cooling_factor)) for t in tried
        ],
        "spread": [(t.found.spread_m, t.spread_m) for t in tried],
        "slope": [(t.found.loss_slope_per_k, t.slope_per_k) for t in tried],
    }
    told = {name: [each for each in found if each[0] is not None] for name, found in pairs.items()}
    return {
        name: (len(each), np.mean([holds(*one) for one in each])) for name, each in told.items()
    }


@pytest.fixture(scope="module")
def thirty():
    return list(trials(batches=6, members=5, graduation_m=0.005, seed=40))


def test_thirty_trials_give_the_parameters_back(thirty):
    for name, (told, share) in coverage(thirty).items():
        assert told >= 25, name
        # Of 30 intervals at 95 %, fewer than 25 hold with a chance of 0.3 %.
        assert share >= 25 / 30, name


def test_uncertainties_are_as_large_as_the_errors(thirty):
    off = [
        (t.found.loss_ratio_40.value - t.loss_ratio_40) / t.found.loss_ratio_40.standard_uncertainty
        for t in thirty
    ]
    # Thirty errors in their own uncertainties: root mean square 1, give or take 0.13.
    assert 0.73 < np.sqrt(np.mean(np.square(off))) < 1.27


@pytest.mark.slow
@pytest.mark.parametrize("graduation_m", [0.005, 0.01])
def test_a_thousand_trials_hold_what_the_intervals_promise(graduation_m):
    # About 60 s each on one core.
    tried = list(trials(batches=50, members=20, graduation_m=graduation_m, seed=6000))
    found = coverage(tried)
    print(graduation_m, {name: (told, f"{share:.1%}") for name, (told, share) in found.items()})
    for name, (told, share) in found.items():
        assert told >= 850, name
        assert 0.93 <= share <= 0.97, name
