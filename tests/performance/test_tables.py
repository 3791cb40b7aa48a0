"""A thousand wide tables in one grouped call against the usual functions table by table."""

import statistics
from time import perf_counter

import numpy as np
import pytest
from scipy.stats import linregress

from analysis.statistics.spread import spread
from analysis.statistics.trend import trend

pytestmark = pytest.mark.performance

TABLES = 1000
TEMPERATURES_K = 273.15 + np.array([20.0, 30.0, 40.0, 50.0, 60.0])
LEAST_TIMES = 20.0


def heights_m():
    rng = np.random.default_rng(5)
    means = 0.23 + 0.0065 * (TEMPERATURES_K - TEMPERATURES_K[0])
    return np.round(means[:, None] + rng.normal(0.0, 0.015, (TABLES, 5, 5)), 2)


def together(heights):
    found = spread(heights, 0.01)
    return found, trend(TEMPERATURES_K, found)


def table_by_table(heights):
    x = TEMPERATURES_K.tolist()
    results = []
    for table in heights.tolist():
        means = [statistics.mean(row) for row in table]
        deviations = [statistics.stdev(row) for row in table]
        results.append((means, deviations, linregress(x, means)))
    return results


def test_one_grouped_call_is_twenty_times_as_fast(benchmark):
    heights = heights_m()
    found, line = benchmark.pedantic(together, (heights,), rounds=10, warmup_rounds=2)
    begun = perf_counter()
    one_by_one = table_by_table(heights)
    one_by_one_s = perf_counter() - begun
    times = one_by_one_s / benchmark.stats.stats.min
    print(f"\n{TABLES} tables: {times:.0f} x as fast as table by table (limit {LEAST_TIMES:.0f})")
    for number in (0, 499, 999):
        means, deviations, fit = one_by_one[number]
        np.testing.assert_allclose(found.mean_m[number], means, rtol=1e-12)
        np.testing.assert_allclose(found.standard_deviation_m[number], deviations, rtol=1e-9)
        np.testing.assert_allclose(line.line.gradient[number], fit.slope, rtol=1e-9)
    assert times >= LEAST_TIMES
