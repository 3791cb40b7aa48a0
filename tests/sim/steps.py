"""Helpers of the tests: several actions, one after the other."""

from functools import reduce

from sim.practical import apply
from sim.state import beginning


def done(state, *actions):
    return reduce(apply, actions, state)


def replay(setup, actions):
    """The state at the end of a practical."""
    return done(beginning(setup), *actions)
