import numpy as np
import pytest

from analysis.quantity.units import kelvin
from analysis.statistics.spread import spread
from analysis.statistics.trend import shape, straight_enough

T_C = np.array([10.0, 20.0, 30.0, 40.0, 50.0, 60.0])
T_K = kelvin(T_C)


def tables(curvature: float, sd_m: float = 0.005, count: int = 1, repeats: int = 4):
    level = 0.05 + 0.006 * (T_C - 10) + curvature * (T_C - 10) ** 2
    noise = np.random.default_rng(3).normal(0, sd_m, (count, 6, repeats))
    return level[:, None] + noise


def of(heights, temperatures_k=T_K, resolution_m=0.0):
    return straight_enough(temperatures_k, spread(heights, resolution_m))


def test_shapes_are_told():
    assert shape(of(tables(0.0)[0])) == "straight"
    assert shape(of(tables(6e-5)[0])) == "curves upwards"
    assert shape(of(tables(-6e-5)[0])) == "curves downwards"


def test_curvature_is_recovered():
    found = of(tables(6e-5, sd_m=1e-9)[0])
    assert float(found.curvature_m_per_k2) == pytest.approx(6e-5, rel=1e-4)


def test_a_zigzag_is_scatter_not_a_curve():
    heights = tables(0.0)[0] + np.array([1, -1, 1, -1, 1, -1])[:, None] * 0.02
    assert shape(of(heights)) == "scattered"


def test_scatter_between_temperatures_is_called_a_curve_in_one_table_of_twenty():
    count = 5000
    jitter = np.random.default_rng(6).normal(0, 0.02, (count, 6, 1))
    found = of(tables(0.0, sd_m=0.002, count=count) + jitter)
    assert (found.p < 0.05).mean() > 0.95
    curved = (found.curvature_p < 0.05).sum()
    assert abs(curved - 0.05 * count) <= 4 * np.sqrt(count * 0.05 * 0.95)


def test_three_temperatures_miss_the_line_but_tell_no_curve():
    found = of([[0.08, 0.10, 0.09], [0.10, 0.11, 0.10], [0.30, 0.31, 0.30]], T_K[:3], 0.01)
    assert found.p < 0.001
    assert shape(found) == "scattered"
    assert np.isnan(found.curvature_p)


@pytest.mark.parametrize("repeats", [1, 2, 5])
def test_a_true_straight_line_is_doubted_in_one_table_of_twenty(repeats):
    count = 5000
    found = of(tables(0.0, count=count, repeats=repeats))
    assert (found.from_repeats == (repeats > 1)).all()
    assert abs((found.p < 0.05).sum() - 0.05 * count) <= 4 * np.sqrt(count * 0.05 * 0.95)


def test_repeats_that_agree_leave_the_doubt_to_the_rounding():
    # 0.63 cm for each 1 °C, rounded to 1 cm: the points miss the line by rounding alone.
    heights = np.round(0.05 + 0.0063 * (T_C - 10), 2)[:, None] * np.ones(3)
    assert shape(of(heights, resolution_m=0.01)) == "straight"
    assert shape(of(heights)) == "scattered"


def test_points_exactly_on_a_line_are_straight():
    assert shape(of(tables(0.0, sd_m=0.0)[0])) == "straight"


@pytest.mark.parametrize(("temperatures", "repeats"), [(2, 3), (1, 3), (3, 1)])
def test_too_few_cannot_tell(temperatures, repeats):
    found = of(tables(0.0, repeats=repeats)[0, :temperatures], T_K[:temperatures])
    assert shape(found) == "cannot be told"
    assert np.isnan(found.statistic)


def test_four_temperatures_without_repeats_and_three_with_can():
    assert np.isfinite(of(tables(0.0, repeats=1)[0, :4], T_K[:4]).p)
    assert np.isfinite(of(tables(0.0, repeats=2)[0, :3], T_K[:3]).p)


def test_a_temperature_without_readings_changes_nothing():
    heights = tables(4e-5)[0]
    with_gap = heights.copy()
    with_gap[2] = np.nan
    without = of(np.delete(heights, 2, axis=0), np.delete(T_K, 2))
    found = of(with_gap)
    assert float(found.p) == pytest.approx(float(without.p), rel=1e-9)
    assert found.degrees_between == without.degrees_between
