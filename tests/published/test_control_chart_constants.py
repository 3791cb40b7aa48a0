"""Control-chart constants d2 and c4: mean range and standard deviation of n normal readings.

Source: the tables of control-chart factors (ASTM E2587, from memory): d2 = 1.693, 2.059, 2.326,
2.534 and c4 = 0.8862, 0.9213, 0.9400, 0.9515 for n = 3 to 6. Half of d2 is the mean half-range.
"""

import numpy as np
import pytest

from analysis.statistics.spread import spread


@pytest.mark.parametrize(
    ("n", "half_range", "deviation"),
    [(3, 0.846, 0.886), (4, 1.029, 0.921), (5, 1.163, 0.940), (6, 1.267, 0.951)],
)
def test_mean_half_range_and_standard_deviation_of_normal_readings(n, half_range, deviation):
    rng = np.random.default_rng(20)
    found = spread(rng.normal(size=(40_000, n)))
    # Five standard errors of 40,000 sets: a half-range scatters by less than 0.45, so 0.0025 each.
    assert float(found.half_range_m.mean()) == pytest.approx(half_range, abs=0.012)
    assert float(found.standard_deviation_m.mean()) == pytest.approx(deviation, abs=0.012)
