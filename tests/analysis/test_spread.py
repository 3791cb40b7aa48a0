import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from analysis.refusal import Refused
from analysis.statistics.spread import spread

NAN = np.nan
TABLE = np.array([[0.30, 0.31, 0.29], [0.45, 0.50, NAN], [0.60, NAN, NAN], [NAN, NAN, NAN]])


def test_a_set_by_hand():
    found = spread([0.30, 0.31, 0.29, 0.34], resolution_m=0.01)
    assert found.n == 4
    assert float(found.mean_m) == pytest.approx(0.31)
    assert float(found.smallest_m) == 0.29
    assert float(found.largest_m) == 0.34
    assert float(found.range_m) == pytest.approx(0.05)
    assert float(found.half_range_m) == pytest.approx(0.025)
    assert float(found.percentage) == pytest.approx(100 * 0.025 / 0.31)
    # Squares about 0.31: 1 + 0 + 4 + 9 = 14, in cm^2; over 3.
    assert float(found.standard_deviation_m) == pytest.approx(0.01 * (14 / 3) ** 0.5)
    assert float(found.standard_uncertainty_m) == pytest.approx(0.005 * (14 / 3) ** 0.5)


def test_missing_repeats_are_left_out_and_single_ones_have_no_spread():
    found = spread(TABLE)
    assert found.n.tolist() == [3, 2, 1, 0]
    assert found.mean_m[:3] == pytest.approx([0.30, 0.475, 0.60])
    assert found.half_range_m[:2] == pytest.approx([0.01, 0.025])
    assert np.isnan(found.mean_m[3])
    assert np.isnan(found.smallest_m[3])
    for figure in ("half_range_m", "uncertainty_m", "standard_deviation_m", "percentage"):
        assert np.isnan(getattr(found, figure)[2:]).all()


def test_repeats_that_agree_leave_the_uncertainty_to_the_resolution():
    found = spread([[0.3, 0.3, 0.3], [0.3, 0.31, 0.3]], resolution_m=0.01)
    assert found.half_range_m.tolist() == pytest.approx([0.0, 0.005])
    assert found.uncertainty_m.tolist() == pytest.approx([0.005, 0.005])
    assert found.percentage[0] == pytest.approx(100 * 0.005 / 0.3)
    assert found.standard_deviation_m[0] == pytest.approx(0.0, abs=1e-15)


@pytest.mark.parametrize(("height_m", "n"), [(0.1, 3), (0.3, 3), (0.7, 6), (0.29, 7)])
def test_repeats_that_agree_spread_by_exactly_nothing(height_m, n):
    found = spread([height_m] * n)
    assert float(found.standard_deviation_m) == 0.0
    assert float(found.mean_m) == height_m


def test_a_mean_of_zero_has_no_percentage():
    assert np.isnan(spread([0.0, 0.0, 0.0], resolution_m=0.01).percentage)


def test_many_tables_at_once_are_the_tables_one_by_one():
    rng = np.random.default_rng(5)
    tables = rng.normal(0.3, 0.01, (4, 3, 5, 6))
    tables[rng.uniform(size=tables.shape) < 0.2] = NAN
    together = spread(tables, resolution_m=0.01)
    one = spread(tables[2, 1], resolution_m=0.01)
    for figure in ("n", "mean_m", "half_range_m", "standard_uncertainty_m", "percentage"):
        assert np.array_equal(getattr(together, figure)[2, 1], getattr(one, figure), equal_nan=True)
    assert together.pooled_drift.p.shape == (4, 3)
    assert together.pooled_drift.p[2, 1] == one.pooled_drift.p
    assert np.array_equal(together.drift.p[2, 1], one.drift.p, equal_nan=True)
    assert np.array_equal(together.anomalies.flagged[2, 1], one.anomalies.flagged)


HEIGHTS = arrays.arrays(
    float, st.tuples(st.integers(1, 4), st.integers(2, 6)), elements=st.floats(0.0, 1.0, width=32)
)


@given(HEIGHTS, st.floats(0.0, 5.0))
def test_raising_every_reading_alike_leaves_the_spread(heights, lift):
    low, high = spread(heights), spread(heights + lift)
    assert np.allclose(low.half_range_m, high.half_range_m, atol=1e-12)
    assert np.allclose(low.standard_deviation_m, high.standard_deviation_m, atol=1e-12)
    assert np.allclose(low.mean_m + lift, high.mean_m)


@given(HEIGHTS)
def test_mean_lies_between_the_extremes_and_deviation_within_the_range(heights):
    found = spread(heights)
    assert (found.smallest_m <= found.mean_m + 1e-12).all()
    assert (found.mean_m <= found.largest_m + 1e-12).all()
    # For n readings the deviation is largest when two halves lie at the two ends.
    n = found.n
    bound = found.half_range_m * np.sqrt(n / (n - 1))
    assert (found.standard_deviation_m <= bound + 1e-12).all()


@pytest.mark.parametrize(
    ("heights", "part"),
    [
        ([], "no rebound height"),
        ([[NAN, NAN]], "no rebound height"),
        ([0.3, np.inf], "infinite"),
    ],
)
def test_nothing_to_judge_is_refused_in_a_sentence(heights, part):
    with pytest.raises(Refused, match=part):
        spread(heights)
