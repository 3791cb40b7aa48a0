"""Practicals that several test files begin from."""

import pytest

from sim import actions as act
from sim.state import Setup, beginning
from tests.sim.steps import done, replay


@pytest.fixture
def setup():
    return Setup(seed=7)


@pytest.fixture
def warm(setup):
    """A beaker of warm water, about 44 °C, nothing in it yet."""
    return replay(setup, [act.AddColdWater(0.14), act.AddHotWater(0.11)])


@pytest.fixture
def at_the_mark(warm):
    """A soaked, dried ball held at one metre, the hurried reader ready."""
    return done(
        warm,
        act.PutBallIn(),
        act.Wait(120.0),
        act.LiftOut(),
        act.Towel(),
        act.AskReader("hurried"),
        act.Hold(1.0),
    )


@pytest.fixture
def start(setup):
    return beginning(setup)
