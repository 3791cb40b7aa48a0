"""Our vectorised fits and tests held against scipy.stats and statsmodels as references.

Tolerance 1e-9: two good double-precision routes to one number.
"""

import itertools

import numpy as np
import pytest
import statsmodels.api as sm
from scipy import stats
from scipy.optimize import linprog

from analysis.statistics.line import extreme_lines, fit_line
from analysis.statistics.spread import f_p, spread, t_multiplier, two_sided_p
from analysis.statistics.trend import straight_enough
from analysis.statistics.two_procedures import permutation_p, spread_ratio, variance_interval

TEMPERATURES_K = np.array([293.15, 303.15, 313.15, 323.15, 333.15, 343.15])
REL = 1e-9


@pytest.fixture(scope="module")
def heights():
    rng = np.random.default_rng(11)
    readings = 0.1 + 0.006 * (TEMPERATURES_K - 293.15)[:, None] + rng.normal(0, 0.01, (6, 5))
    readings[1, 3] = readings[4, 0] = readings[4, 1] = np.nan
    return readings


def test_line_against_scipy_linregress(heights):
    means = np.nanmean(heights, axis=1)
    ours, theirs = fit_line(TEMPERATURES_K, means), stats.linregress(TEMPERATURES_K, means)
    assert float(ours.gradient) == pytest.approx(theirs.slope, rel=REL)
    assert float(ours.intercept) == pytest.approx(theirs.intercept, rel=REL)
    assert float(ours.gradient_uncertainty) == pytest.approx(theirs.stderr, rel=REL)
    assert float(ours.intercept_uncertainty) == pytest.approx(theirs.intercept_stderr, rel=REL)
    assert float(ours.correlation) == pytest.approx(theirs.rvalue, rel=REL)
    p = two_sided_p(ours.gradient, ours.gradient_uncertainty, ours.degrees_of_freedom)
    assert float(p) == pytest.approx(theirs.pvalue, rel=1e-6)


def test_prediction_against_statsmodels(heights):
    means = np.nanmean(heights, axis=1)
    fitted = sm.OLS(means, sm.add_constant(TEMPERATURES_K)).fit()
    theirs = fitted.get_prediction([[1.0, 300.0], [1.0, 350.0]])
    ours = fit_line(TEMPERATURES_K, means)
    assert ours.at([300.0, 350.0]) == pytest.approx(theirs.predicted_mean, rel=REL)
    assert ours.uncertainty_at([300.0, 350.0]) == pytest.approx(theirs.se_mean, rel=1e-7)
    assert float(ours.r_squared) == pytest.approx(fitted.rsquared, rel=REL)


def test_lack_of_fit_against_nested_models_in_statsmodels(heights):
    rows = np.repeat(np.arange(6), 5)[~np.isnan(heights).ravel()]
    y = heights.ravel()[~np.isnan(heights).ravel()]
    line = sm.OLS(y, sm.add_constant(TEMPERATURES_K[rows])).fit()
    means = sm.OLS(y, np.eye(6)[rows]).fit()
    f, p, extra = means.compare_f_test(line)
    ours = straight_enough(TEMPERATURES_K, spread(heights))
    assert ours.from_repeats
    assert float(ours.statistic) == pytest.approx(f, rel=1e-7)
    assert float(ours.p) == pytest.approx(p, rel=1e-7)
    assert ours.degrees_between == extra
    assert ours.degrees_within == means.df_resid


def test_squared_term_without_repeats_against_statsmodels(heights):
    single = heights[:, :1].copy()
    single[4] = 0.35
    x = TEMPERATURES_K - TEMPERATURES_K.mean()
    fitted = sm.OLS(single[:, 0], np.column_stack([np.ones(6), x, x**2])).fit()
    ours = straight_enough(TEMPERATURES_K, spread(single))
    assert not ours.from_repeats
    assert float(ours.curvature_m_per_k2) == pytest.approx(fitted.params[2], rel=1e-8)
    assert float(ours.curvature_uncertainty) == pytest.approx(fitted.bse[2], rel=1e-8)
    assert float(ours.p) == pytest.approx(fitted.pvalues[2], rel=1e-7)


def test_pooled_drift_against_one_mean_a_set_in_statsmodels(heights):
    present = ~np.isnan(heights)
    rows, repeats = np.nonzero(present)
    design = np.column_stack([np.eye(6)[rows], repeats + 1.0])
    fitted = sm.OLS(heights[present], design).fit()
    ours = spread(heights).pooled_drift
    assert float(ours.slope_m_per_repeat) == pytest.approx(fitted.params[-1], rel=1e-8)
    assert float(ours.uncertainty_m_per_repeat) == pytest.approx(fitted.bse[-1], rel=1e-8)
    assert float(ours.p) == pytest.approx(fitted.pvalues[-1], rel=1e-8)
    assert ours.degrees_of_freedom == fitted.df_resid


def test_drift_of_one_set_against_linregress(heights):
    found = spread(heights).drift
    theirs = stats.linregress(np.arange(1, 6), heights[2])
    assert float(found.slope_m_per_repeat[2]) == pytest.approx(theirs.slope, rel=1e-8)
    assert float(found.uncertainty_m_per_repeat[2]) == pytest.approx(theirs.stderr, rel=1e-8)
    assert float(found.p[2]) == pytest.approx(theirs.pvalue, rel=1e-8)


def test_t_and_f_against_scipy():
    assert float(two_sided_p(-2.0, 0.8, 7)) == pytest.approx(2 * stats.t.sf(2.5, 7), rel=REL)
    assert float(f_p(3.0, 1.2, 4, 12)) == pytest.approx(stats.f.sf(2.5, 4, 12), rel=REL)
    assert float(t_multiplier(5)) == pytest.approx(stats.t.ppf(0.975, 5), rel=REL)


def test_variance_interval_against_scipy():
    low, high = variance_interval(2.0, 20, 12)
    assert float(low) == pytest.approx(2.0 / stats.f.ppf(0.975, 20, 12), rel=REL)
    assert float(high) == pytest.approx(2.0 / stats.f.ppf(0.025, 20, 12), rel=REL)


def test_permutation_against_scipy_permutation_test():
    # One set, whole-number distances whose largest is a hundred, so that no rounding comes in.
    a = np.array([3.0, 10.0, 25.0, 40.0])
    b = np.array([31.0, 55.0, 80.0, 100.0])
    theirs = stats.permutation_test(
        (b, a), lambda x, y: abs(x.sum() - y.sum()), n_resamples=np.inf, alternative="greater"
    )
    assert permutation_p([a], [b]) == pytest.approx(theirs.pvalue, rel=REL)


def test_permutation_over_two_sets_against_dealing_out_by_hand():
    sets = [([3, 20], [31, 100]), ([7, 44, 9], [15, 60])]
    found = sum(sum(b) for _, b in sets)
    totals = [
        sum(x) + sum(y)
        for x in itertools.combinations([3, 20, 31, 100], 2)
        for y in itertools.combinations([7, 44, 9, 15, 60], 2)
    ]
    expected = np.mean(totals)
    share = np.mean([abs(t - expected) >= abs(found - expected) - 1e-9 for t in totals])
    a, b = ([np.array(each[i], dtype=float) for each in sets] for i in (0, 1))
    assert permutation_p(a, b) == pytest.approx(float(share), rel=REL)


def test_permutation_of_large_sets_agrees_with_scipy_by_resampling():
    rng = np.random.default_rng(3)
    a, b = np.abs(rng.normal(size=30)), np.abs(rng.normal(size=30)) * 1.4
    theirs = stats.permutation_test(
        (b, a),
        lambda x, y, axis: abs(x.mean(axis) - y.mean(axis)),
        n_resamples=40_000,
        alternative="greater",
        vectorized=True,
        rng=np.random.default_rng(4),
    )
    # The normal approximation is good to about 0.006 here; 40,000 dealings to 0.006 (three standard
    # errors).
    assert permutation_p([a], [b]) == pytest.approx(theirs.pvalue, abs=0.012)


def test_ratio_pools_like_statsmodels_residuals(heights):
    other = heights[:, ::-1] * 1.3
    ours = spread_ratio(heights, other)
    present = ~np.isnan(heights)
    residual = sm.OLS(heights[present], np.eye(6)[np.nonzero(present)[0]]).fit()
    assert ours.pooled_a_m == pytest.approx(np.sqrt(residual.mse_resid), rel=REL)
    assert ours.ratio == pytest.approx(1.3, rel=REL)
    assert ours.degrees_a == residual.df_resid


def test_extreme_lines_against_a_linear_programme():
    rng = np.random.default_rng(8)
    none = 0
    for _ in range(60):
        x = np.sort(rng.uniform(0, 60, 5))
        y = 10 + 0.6 * x + rng.normal(0, 1.0, 5)
        half = rng.uniform(0.5, 2.5, 5)
        ours = extreme_lines(x, y, half)
        rows = np.column_stack([np.ones(5), x])
        limits = {"A_ub": np.vstack([rows, -rows]), "b_ub": np.concatenate([y + half, half - y])}
        steepest, shallowest = (
            linprog([0.0, sign], bounds=(None, None), **limits) for sign in (-1.0, 1.0)
        )
        if steepest.status == 2:
            none += 1
            assert np.isnan(ours.steepest_gradient)
            continue
        assert float(ours.steepest_gradient) == pytest.approx(steepest.x[1], abs=1e-8)
        assert float(ours.steepest_intercept) == pytest.approx(steepest.x[0], abs=1e-6)
        assert float(ours.shallowest_gradient) == pytest.approx(shallowest.x[1], abs=1e-8)
    assert 0 < none < 60
