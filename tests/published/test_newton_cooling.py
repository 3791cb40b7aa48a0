"""Newton's law of cooling, its textbook values (exact arithmetic), and what a ball should do."""

import math

import numpy as np
import pytest

from physics.ball import FAST
from physics.heat import Warmth, in_air
from physics.transfer.beaker import Loss, faded_k
from physics.wall import even_k
from tests.physics.hollow_sphere import mean_k

NEWTON = Loss(rest_k=293.15, warm_w_k=1.0 / 500.0, warm_w_k3=0.0, cold_w_k=1.0 / 500.0)
"""A time constant of 500 s for a heat capacity of 1 J/K."""
ROOM_K = 293.15


def test_60_degrees_after_a_minute():
    # 60 °C, surroundings 20 °C, time constant 500 s: 55.477 °C after 60 s.
    assert 20.0 + faded_k(NEWTON, 1.0, 40.0, 60.0) == pytest.approx(55.477, abs=5e-4)


def test_after_one_time_constant_36_788_per_cent_of_the_excess_are_left():
    left = faded_k(NEWTON, 1.0, 40.0, 500.0) / 40.0
    assert left == pytest.approx(math.exp(-1.0), rel=1e-12)
    assert 100.0 * left == pytest.approx(36.788, abs=5e-4)


def test_monotone_and_never_across():
    for start_k in (-15.0, 60.0):
        excess_k = np.abs(faded_k(NEWTON, 1.0, start_k, np.linspace(0.0, 5000.0, 400)))
        assert (np.diff(excess_k) < 0.0).all()


def test_60_to_50_degrees_in_a_room_of_20_takes_2_to_3_and_a_half_minutes():
    # From handbook correlations, ±30 %; no measurement of a squash ball was found.
    start = Warmth(even_k(333.15), 0.0)
    early, late = (
        float(mean_k(FAST, in_air(FAST, ROOM_K, start, time_s).profile_k)[0]) - 273.15
        for time_s in (120.0, 210.0)
    )
    assert early > 50.0 > late
