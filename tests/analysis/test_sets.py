"""Which readings of a rough page make one set."""

import pytest

from analysis.readings.sets import sets_of_repeats


@pytest.mark.parametrize(
    ("noted", "sets"),
    [
        ([40.2, 39.6, 39.2], [(0, 1, 2)]),
        ([20, 20, 30, 30], [(0, 1), (2, 3)]),
        ([60, 20, 60, 20], [(1, 3), (0, 2)]),
        ([39.2, 40.2, 40.3], [(0, 1), (2,)]),  # from the coolest on, and not from neighbour on
        ([19.1, 20.1], [(0, 1)]),  # 20.1 - 19.1 is a little more than 1 in binary arithmetic
        ([], []),
    ],
)
def test_readings_within_one_degree_of_the_coolest_are_one_set(noted, sets):
    assert [one.standing for one in sets_of_repeats(noted)] == sets


def test_a_set_is_named_by_the_temperature_noted_most_often():
    (one,) = sets_of_repeats([40, 39.5, 40, 39.5, 39.2])
    assert (one.temperature_c, one.low_c, one.high_c) == (39.5, 39.2, 40)


def test_a_struck_out_reading_makes_no_set_and_moves_none():
    alone, kept = sets_of_repeats([40, 40, 39.2, 4], [False, False, True, True])
    assert (kept.standing, kept.struck_out, kept.low_c) == ((0, 1), (2,), 40)
    assert (alone.standing, alone.struck_out) == ((), (3,))
    (one,) = sets_of_repeats([41.1, 40.2, 40.3], [False, True, False])
    assert (one.standing, one.struck_out) == ((0, 2), (1,))
