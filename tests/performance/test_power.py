"""All that `contrast --repeats-needed` asks, in seconds."""

from time import perf_counter

import pytest

from sim.procedure import SHOWN_PROCEDURE
from sim.state import Setup
from sim.teaching.power import CLASS_SIZES, CLASSES, REPEATS, STUDENTS, chances

pytestmark = pytest.mark.performance

MOST_S = 15.0


def test_the_repeats_needed_are_told_within_a_quarter_of_a_minute():
    begun = perf_counter()
    seen = list(chances(Setup(seed=1), SHOWN_PROCEDURE))
    took_s = perf_counter() - begun
    asked = len(CLASS_SIZES) * len(REPEATS)
    print(f"\n{asked} times {CLASSES} classes, {STUDENTS} students: {took_s:.2f} s")
    assert len(seen) == asked
    assert took_s < MOST_S
