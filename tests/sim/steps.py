"""A helper of the tests: several actions, one after the other."""

from functools import reduce

from sim.practical import apply


def done(state, *actions):
    return reduce(apply, actions, state)
