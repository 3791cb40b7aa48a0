import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.quantity.headings import heading_text
from analysis.quantity.units import (
    MISSING,
    celsius,
    centimetres,
    fixed,
    kelvin,
    mean_places,
    metres,
    p_text,
    plain,
    plus_minus,
    rounded,
    significant,
    temperature_text,
    uncertainty_places,
)


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        (2.675, 2, "2.68"),  # 2.67499999... in binary; Python's own round gives 2.67
        (0.5, 0, "1"),
        (1.5, 0, "2"),
        (2.5, 0, "3"),
        (-2.5, 0, "-3"),
        (0.285 * 100.0, 0, "29"),  # 28.499999999999996
        (-0.001, 2, "0.00"),
        (-0.0, 1, "0.0"),
        (17.0, 1, "17.0"),
        (254.0, -1, "250"),
        (1e-9, 3, "0.000"),
        (math.nan, 1, MISSING),
        (math.inf, 1, MISSING),
    ],
)
def test_half_rounds_up_and_minus_zero_is_never_written(value, places, text):
    assert fixed(value, places) == text


@given(st.integers(-(10**6), 10**6), st.integers(0, 4))
def test_what_has_the_places_already_keeps_its_value(whole, places):
    value = whole / 10**places
    assert float(fixed(value, places)) == value
    assert rounded(value, places) == value


@given(st.floats(-1e4, 1e4), st.integers(0, 4))
def test_rounding_moves_by_half_a_unit_at_most(value, places):
    assert abs(rounded(value, places) - value) <= 0.5 * 10.0**-places * (1 + 1e-9) + 1e-8


def test_rounded_keeps_a_gap():
    assert math.isnan(rounded(math.nan, 2))


@pytest.mark.parametrize(
    ("value", "figures", "text"),
    [
        (0.23544, 3, "0.235"),
        (0.0706320, 3, "0.0706"),
        (0.0996, 2, "0.10"),
        (99.96, 3, "100"),
        (9.996, 3, "10.0"),
        (123456.0, 2, "120000"),
        (0.0, 3, "0.00"),
        (-0.533, 2, "-0.53"),
        (math.nan, 2, MISSING),
    ],
)
def test_significant_figures(value, figures, text):
    assert significant(value, figures) == text


@pytest.mark.parametrize(
    ("value", "uncertainty", "text"),
    [
        (17.3333, 0.6667, "17.3 ± 0.7 cm"),
        (45.0, 5.0, "45 ± 5 cm"),
        (44.5, 5.0, "45 ± 5 cm"),
        (0.58333, 0.0509, "0.58 ± 0.05 cm"),
        (17.34, 0.096, "17.3 ± 0.1 cm"),  # 0.096 rounds up to 0.1, which is one place fewer
        (253.0, 14.0, "250 ± 10 cm"),
        (17.0, 0.0, "17.0 cm"),
        (17.25, math.nan, "17.3 cm"),
        (math.nan, 1.0, MISSING),
    ],
)
def test_value_with_uncertainty(value, uncertainty, text):
    assert plus_minus(value, uncertainty, "cm") == text


def test_uncertainty_without_size_has_no_places():
    assert uncertainty_places(0.0) is None
    assert uncertainty_places(math.nan) is None
    assert uncertainty_places(0.3) == 1


def test_means_get_one_more_place_only_where_their_uncertainty_justifies_it():
    assert mean_places(0, [0.3, 0.4, 0.5]) == 1
    assert mean_places(0, [0.9, 1.2, 0.7]) == 0
    assert mean_places(1, [0.03, 0.04]) == 2
    assert mean_places(1, [0.3, 0.4]) == 1


def test_means_keep_the_places_of_the_readings_where_nothing_is_known():
    assert mean_places(0, [math.nan, math.nan]) == 0
    assert mean_places(1, [0.0, 0.0]) == 1
    assert mean_places(0, [math.nan, 0.4]) == 1


def test_units_there_and_back():
    assert celsius([273.15, 373.15]).tolist() == [0.0, 100.0]
    assert float(kelvin(20.0)) == 293.15
    assert float(centimetres(0.45)) == 45.0
    assert np.allclose(metres(centimetres([0.1, 0.2])), [0.1, 0.2], rtol=1e-15)


def test_headings():
    assert heading_text("rebound height", "cm") == "rebound height / cm"
    assert heading_text("repeat") == "repeat"


def test_plain_numbers_and_temperatures_carry_no_idle_zeros():
    assert plain(20.0) == "20"
    assert plain(100.0, 0) == "100"
    assert plain(22.5) == "22.5"
    assert temperature_text(293.15) == "20 °C"
    assert temperature_text(kelvin(22.5)) == "22.5 °C"


def test_p_values_for_a_reader():
    assert p_text(0.0304) == "p = 0.030"
    assert p_text(0.0002) == "p < 0.001"
