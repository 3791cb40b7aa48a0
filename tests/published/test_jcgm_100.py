"""JCGM 100:2008, "Guide to the expression of uncertainty in measurement".

Annex H.3, calibration of a thermometer: correction b = y1 + y2 (t - 20 °C) from eleven readings.
Figures read at second hand and recomputed; the residual standard deviation from memory.
"""

import numpy as np
import pytest

from analysis.statistics.line import fit_line
from analysis.statistics.spread import spread

T = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511]
B = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160]


@pytest.fixture(scope="module")
def line():
    return fit_line(T, B, origin=20.0)


@pytest.mark.parametrize(
    ("what", "printed", "half_a_last_digit"),
    [
        ("intercept", -0.1712, 0.00005),
        ("intercept_uncertainty", 0.0029, 0.00005),
        ("gradient", 0.00218, 0.000005),
        ("gradient_uncertainty", 0.00067, 0.000005),
        ("coefficient_correlation", -0.930, 0.0005),
        ("residual_sd", 0.0035, 0.00005),
    ],
)
def test_annex_h3_calibration_line(line, what, printed, half_a_last_digit):
    assert abs(float(getattr(line, what)) - printed) <= half_a_last_digit


def test_annex_h3_prediction_at_30_degrees(line):
    assert float(line.at(30.0)) == pytest.approx(-0.1494, abs=0.00005)
    assert float(line.uncertainty_at(30.0)) == pytest.approx(0.0041, abs=0.00005)
    assert line.degrees_of_freedom == 9


def test_type_a_evaluation():
    # Clause 4.2 (from memory): mean, sample variance with n - 1, s/sqrt(n); worked by hand:
    # 2, 4, 6 has mean 4, s^2 = (4 + 0 + 4)/2 = 4, u = 2/sqrt(3).
    found = spread([2.0, 4.0, 6.0])
    assert float(found.mean_m) == 4.0
    assert float(found.standard_deviation_m) == 2.0
    assert float(found.standard_uncertainty_m) == pytest.approx(2.0 / 3.0**0.5, rel=1e-15)


def test_rounding_counts_as_a_rectangular_distribution():
    # Clause 4.3.7 (from memory): half-width a has standard uncertainty a/sqrt(3). A graduation r
    # gives a = r/2. Three readings exactly in line have no scatter but rounding, so the slope's
    # uncertainty is (r/2)/sqrt(3)/sqrt(2): run^2 of repeats 1, 2, 3 about their middle is 2.
    found = spread([0.30, 0.29, 0.28], resolution_m=0.01)
    expected = 0.005 / np.sqrt(3.0) / np.sqrt(2.0)
    assert float(found.drift.uncertainty_m_per_repeat) == pytest.approx(expected, rel=1e-9)
