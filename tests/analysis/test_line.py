import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.statistics.line import fit_line

X = np.array([20.0, 30.0, 40.0, 50.0, 60.0])


def test_a_line_by_hand():
    # x 0, 1, 2; y 0, 2, 1: gradient 0.5, intercept 0.5, residuals -0.5, 1, -0.5, squares 1.5.
    found = fit_line([0, 1, 2], [0, 2, 1])
    assert float(found.gradient) == 0.5
    assert float(found.intercept) == 0.5
    assert float(found.residual_sd) == pytest.approx(1.5**0.5)
    assert float(found.gradient_uncertainty) == pytest.approx(0.75**0.5)
    assert float(found.r_squared) == pytest.approx(0.25)
    assert float(found.correlation) == pytest.approx(0.5)


@given(st.floats(-5, 5), st.floats(-50, 50), st.floats(-100, 100))
def test_points_on_a_line_give_it_back(gradient, height, origin):
    found = fit_line(X, height + gradient * (X - 40.0), origin=origin)
    assert float(found.gradient) == pytest.approx(gradient, abs=1e-9)
    assert float(found.intercept) == pytest.approx(height + gradient * (origin - 40.0), abs=1e-7)
    assert float(found.at(40.0)) == pytest.approx(height, abs=1e-9)


def test_many_lines_at_once_are_the_lines_one_by_one():
    y = np.random.default_rng(1).normal(size=(3, 4, 5))
    y[1, 2, 0] = np.nan
    together, one = fit_line(X, y), fit_line(X[1:], y[1, 2, 1:])
    for what in ("gradient", "intercept", "gradient_uncertainty", "residual_sd", "n"):
        assert getattr(together, what)[1, 2] == pytest.approx(float(getattr(one, what)), rel=1e-12)


def test_the_origin_moves_the_intercept_and_nothing_else():
    y = [12.0, 17.0, 25.0, 29.0, 36.0]
    here, there = fit_line(X, y), fit_line(X, y, origin=40.0)
    assert float(here.gradient) == float(there.gradient)
    assert float(there.intercept) == pytest.approx(np.mean(y))
    assert float(here.at(33.0)) == pytest.approx(float(there.at(33.0)))
    assert float(here.uncertainty_at(0.0)) == pytest.approx(float(here.intercept_uncertainty))
    # About the mean of x the two estimates are independent.
    assert float(there.coefficient_correlation) == pytest.approx(0.0, abs=1e-12)


def test_two_points_have_a_line_but_no_uncertainty_and_one_has_nothing():
    two = fit_line([20, 60], [10, 30])
    assert float(two.gradient) == 0.5
    assert np.isnan(two.gradient_uncertainty)
    one = fit_line([20], [10])
    assert np.isnan(one.gradient)
    assert np.isnan(fit_line([20, 20, 20], [1, 2, 3]).gradient)


def test_a_level_line_has_no_correlation():
    found = fit_line(X, np.full(5, 3.0))
    assert float(found.gradient) == 0.0
    assert np.isnan(found.correlation)


def test_uncertainty_of_the_gradient_is_what_repeating_the_experiment_shows():
    rng = np.random.default_rng(6)
    found = fit_line(X, 0.5 * X + rng.normal(0, 1.0, (20_000, 5)))
    # True standard deviation of the gradient: sigma / sqrt(sum of squares) = 1/sqrt(1000).
    assert float(found.gradient.std()) == pytest.approx(1000**-0.5, rel=0.03)
    mean_variance = float((found.gradient_uncertainty**2).mean())
    assert mean_variance == pytest.approx(1e-3, rel=0.04)
