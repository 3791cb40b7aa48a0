"""A hundred thousand classes asked whether they see the effect, in seconds."""

from time import perf_counter

import pytest

from physics.reading import CAREFUL
from sim.chance import BLOCK
from sim.procedure import Procedure
from sim.state import Setup
from sim.teaching.power import RULES, Amount, chances

pytestmark = pytest.mark.performance

CLASSES = 100_000
STUDENTS = 6 * BLOCK
MOST_S = 5.0


def test_a_hundred_thousand_classes_take_less_than_five_seconds():
    plan = Procedure(observer=CAREFUL, soak_s=300.0)
    begun = perf_counter()
    seen = list(chances(Setup(seed=1), plan, (30,), (5,), Amount(STUDENTS, CLASSES)))
    took_s = perf_counter() - begun
    print(f"\n{CLASSES} classes of 30, 5 repeats, {STUDENTS} students: {took_s:.2f} s")
    assert {each.rule for each in seen} == set(RULES)
    assert took_s < MOST_S
