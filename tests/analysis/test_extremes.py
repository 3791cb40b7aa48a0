import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.report.sentences import extremes_reason
from analysis.statistics.line import extreme_lines

X = np.array([20.0, 30.0, 40.0, 50.0, 60.0])


def test_two_bars_by_hand():
    # Bars 9 to 11 at 20 and 29 to 31 at 60: steepest from 9 to 31, shallowest from 11 to 29.
    found = extreme_lines([20, 60], [10, 30], [1, 1])
    assert float(found.steepest_gradient) == pytest.approx(22 / 40)
    assert float(found.steepest_intercept) == pytest.approx(9 - 20 * 22 / 40)
    assert float(found.shallowest_gradient) == pytest.approx(18 / 40)
    assert float(found.shallowest_intercept) == pytest.approx(11 - 20 * 18 / 40)
    assert float(found.gradient_uncertainty) == pytest.approx(2 / 40)
    assert extremes_reason(found) is None


def test_an_inner_bar_can_be_the_one_that_binds():
    # Outer bars -10 to 10 and 10 to 30 allow 0 to 2; the inner one, 12.5 to 13.5, allows less:
    # at most from 12.5 to 30 over 10, at least from 10 to 12.5 over 10.
    found = extreme_lines([0, 10, 20], [0, 13, 20], [10, 0.5, 10])
    assert float(found.steepest_gradient) == pytest.approx(1.75)
    assert float(found.shallowest_gradient) == pytest.approx(0.25)


def test_bars_that_no_line_passes_through():
    found = extreme_lines([0, 10, 20], [0, 10, 0], [1, 1, 1])
    assert np.isnan(found.steepest_gradient)
    assert np.isnan(found.shallowest_gradient)
    assert extremes_reason(found) == "No straight line passes through all the half-range bars."


def test_one_bar_or_one_temperature_binds_no_gradient():
    assert "two temperatures" in (extremes_reason(extreme_lines([20], [10], [1])) or "")
    assert "two temperatures" in (extremes_reason(extreme_lines(X, X, [1, *[np.nan] * 4])) or "")
    assert np.isnan(extreme_lines([20, 20], [10, 10.5], [1, 1]).steepest_gradient)


def test_points_without_bars_on_a_line_leave_that_line_only():
    found = extreme_lines(X, 0.6 * X - 2.0, np.zeros(5))
    assert float(found.steepest_gradient) == pytest.approx(0.6)
    assert float(found.shallowest_gradient) == pytest.approx(0.6)


def test_order_of_the_points_and_falling_lines_make_no_difference():
    y, half = np.array([30.0, 26.0, 19.0, 15.0, 9.0]), np.full(5, 1.5)
    forward = extreme_lines(X, y, half, origin=273.15)
    backward = extreme_lines(X[::-1], y[::-1], half, origin=273.15)
    mirrored = extreme_lines(X, -y, half, origin=273.15)
    assert float(forward.steepest_gradient) == pytest.approx(float(backward.steepest_gradient))
    assert float(forward.steepest_gradient) == pytest.approx(-float(mirrored.shallowest_gradient))
    assert float(forward.shallowest_gradient) < float(forward.steepest_gradient) < 0


def test_many_tables_at_once_are_the_tables_one_by_one():
    rng = np.random.default_rng(9)
    y = 0.5 * X + rng.normal(0, 1, (200, 5))
    half = rng.uniform(0.5, 2.5, (200, 5))
    half[:, 2] = np.where(rng.uniform(size=200) < 0.3, np.nan, half[:, 2])
    together = extreme_lines(X, y, half)
    singles = [extreme_lines(X, *pair) for pair in zip(y, half, strict=True)]
    for what in ("steepest_gradient", "shallowest_intercept"):
        expected = np.array([float(getattr(single, what)) for single in singles])
        assert np.array_equal(getattr(together, what), expected, equal_nan=True)
    assert 0 < np.isnan(together.steepest_gradient).sum() < 200


@given(
    st.lists(
        st.tuples(st.integers(0, 100), st.floats(0, 60), st.floats(0.1, 5)), min_size=2, max_size=8
    )
)
def test_the_lines_pass_through_every_bar_and_touch_two(bars):
    x, y, half = (np.array(each, dtype=float) for each in zip(*bars, strict=True))
    found = extreme_lines(x, y, half)
    if np.isnan(found.steepest_gradient):
        assert np.isnan(found.shallowest_gradient)
        return
    assert found.shallowest_gradient <= found.steepest_gradient + 1e-9
    for which in ("steepest", "shallowest"):
        gradient = getattr(found, f"{which}_gradient")
        miss = np.abs(y - getattr(found, f"{which}_intercept") - gradient * x) - half
        assert (miss <= 1e-7).all()
        assert (np.abs(miss) <= 1e-7).sum() >= 2


def test_a_thousand_bars_are_no_burden():
    x = np.linspace(0, 100, 1000)
    found = extreme_lines(x, 0.5 * x + np.sin(x), np.full(1000, 2.0))
    assert float(found.shallowest_gradient) < 0.5 < float(found.steepest_gradient)
