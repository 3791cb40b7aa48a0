"""Newton's law of cooling, its textbook values (exact arithmetic)."""

import math

import numpy as np
import pytest

from physics.ball import FAST
from physics.heat import Rate, cooled_k, dry_rate

NEWTON = Rate(at_zero_per_s=1.0 / 500.0, per_kelvin_per_s=0.0)
ROOM_K = 293.15


def test_60_degrees_after_a_minute():
    # 60 °C, surroundings 20 °C, time constant 500 s: 55.477 °C after 60 s.
    assert cooled_k(333.15, ROOM_K, NEWTON, 60.0) - 273.15 == pytest.approx(55.477, abs=5e-4)


def test_after_one_time_constant_36_788_per_cent_of_the_excess_are_left():
    left = (cooled_k(333.15, ROOM_K, NEWTON, 500.0) - ROOM_K) / 40.0
    assert left == pytest.approx(math.exp(-1.0), rel=1e-12)
    assert 100.0 * left == pytest.approx(36.788, abs=5e-4)


def test_monotone_and_never_across():
    for start_k in (278.15, 353.15):
        excess = np.abs(cooled_k(start_k, ROOM_K, NEWTON, np.linspace(0.0, 5000.0, 400)) - ROOM_K)
        assert (np.diff(excess) < 0.0).all()


def test_60_to_50_degrees_in_a_room_of_20_takes_2_to_3_and_a_half_minutes():
    # From handbook correlations, ±30 %; no measurement of a squash ball was found.
    after = cooled_k(333.15, ROOM_K, dry_rate(FAST, ROOM_K), np.array([120.0, 210.0])) - 273.15
    assert after[0] > 50.0 > after[1]
