import numpy as np
import pytest

from physics.ranges import OutOfRange, within


@pytest.mark.parametrize("value", [0.0, 1.0, 0.5, np.array([0.0, 1.0]), np.array([])])
def test_what_lies_within_comes_back_untouched(value):
    assert within(value, 0.0, 1.0, "share") is value


@pytest.mark.parametrize(
    ("value", "named"),
    [
        (1.5, "1.5"),
        (-0.25, "-0.25"),
        (np.array([0.5, 2.0, 3.0]), "2"),
        (np.array([[0.5, 0.5], [0.5, -7.0]]), "-7"),
        (float("nan"), "nan"),
        (np.array([0.5, np.nan]), "nan"),
        (np.inf, "inf"),
        (np.float64(9.0), "9"),
    ],
)
def test_the_first_offender_is_named(value, named):
    with pytest.raises(OutOfRange, match=rf"^share {named} m lies outside 0 to 1 m$"):
        within(value, 0.0, 1.0, "share", "m")


def test_a_bare_number_has_no_unit():
    with pytest.raises(OutOfRange, match=r"^share 2 lies outside 0 to 1$"):
        within(2.0, 0.0, 1.0, "share")
