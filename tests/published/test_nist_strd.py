"""NIST Statistical Reference Datasets: certified straight-line fit and univariate summaries.

Source: National Institute of Standards and Technology, Statistical Reference Datasets,
https://www.itl.nist.gov/div898/strd/ (certified values quoted to fifteen digits; read at second
hand and recomputed). The readings of Lew, Lottery, Mavro and Michelso stand in
nist_univariate.toml. PiDigits is left out: its certified mean, 4.5348, is not that of the first
5000 digits of pi as computed (4.5358), so the file cannot be rebuilt from pi.
"""

import tomllib
from pathlib import Path

import numpy as np
import pytest

from analysis.statistics.line import fit_line
from analysis.statistics.spread import spread

# Norris (linear, n = 36), pairs as in the file: y first.
NORRIS_Y_X = """
0.1 0.2  338.8 337.4  118.1 118.2  888.0 884.6  9.2 10.1  228.1 226.5  668.5 666.3  998.5 996.3
449.1 448.6  778.9 777.0  559.2 558.2  0.3 0.4  0.1 0.6  778.1 775.5  668.8 666.9  339.3 338.0
448.9 447.5  10.8 11.6  557.7 556.0  228.3 228.1  998.0 995.8  888.8 887.6  119.6 120.2  0.3 0.3
0.6 0.3  557.6 556.8  339.3 339.1  888.0 887.2  998.5 999.0  778.9 779.0  10.2 11.1  117.6 118.3
228.9 229.2  668.4 669.1  449.2 448.9  0.2 0.5
"""


@pytest.fixture(scope="module")
def norris():
    y, x = np.array(NORRIS_Y_X.split(), dtype=float).reshape(-1, 2).T
    assert x.size == 36
    return fit_line(x, y)


@pytest.mark.parametrize(
    ("what", "certified"),
    [
        ("intercept", -0.262323073774029),
        ("gradient", 1.00211681802045),
        ("intercept_uncertainty", 0.232818234301152),
        ("gradient_uncertainty", 4.29796848199937e-4),
        ("residual_sd", 0.884796396144373),
        ("r_squared", 0.999993745883712),
    ],
)
def test_norris_straight_line(norris, what, certified):
    # Double arithmetic on these readings keeps some twelve of the fifteen certified digits.
    assert float(getattr(norris, what)) == pytest.approx(certified, rel=1e-11)


def test_norris_residual_sum_of_squares(norris):
    squares = float(norris.residual_sd**2 * norris.degrees_of_freedom)
    assert squares == pytest.approx(26.6173985294224, rel=1e-11)


UNIVARIATE = tomllib.loads(
    Path(__file__).with_name("nist_univariate.toml").read_text(encoding="utf-8")
)


@pytest.mark.parametrize(
    ("name", "n"), [("Lew", 200), ("Lottery", 218), ("Mavro", 50), ("Michelso", 100)]
)
def test_univariate_summaries(name, n):
    certified = UNIVARIATE[name]
    found = spread(certified["readings"])
    assert len(certified["readings"]) == n
    assert float(found.mean_m) == pytest.approx(certified["mean"], rel=1e-14)
    # Mavro varies in its fourth place only: of the sixteen digits of a double, twelve are left.
    assert float(found.standard_deviation_m) == pytest.approx(
        certified["standard_deviation"], rel=1e-12
    )


def alternating(first: float, low: float, high: float) -> np.ndarray:
    """NumAcc2 to 4: one value, then 500 pairs of two values about it."""
    return np.array([first] + [low, high] * 500)


@pytest.mark.parametrize(
    ("readings", "mean", "deviation", "tolerance"),
    [
        ([10000001, 10000003, 10000002], 10000002.0, 1.0, 0.0),  # NumAcc1
        (alternating(1.2, 1.1, 1.3), 1.2, 0.1, 1e-14),  # NumAcc2
        # The readings themselves are rounded to double: 1000000.1 to 6e-11, 10000000.1 to 9e-10,
        # which moves a standard deviation of 0.1 by about as much.
        (alternating(1000000.2, 1000000.1, 1000000.3), 1000000.2, 0.1, 1e-10),  # NumAcc3
        (alternating(10000000.2, 10000000.1, 10000000.3), 10000000.2, 0.1, 2e-9),  # NumAcc4
    ],
    ids=["NumAcc1", "NumAcc2", "NumAcc3", "NumAcc4"],
)
def test_numerically_hard_summaries(readings, mean, deviation, tolerance):
    found = spread(readings)
    assert float(found.mean_m) == pytest.approx(mean, rel=1e-15)
    assert abs(float(found.standard_deviation_m) - deviation) <= tolerance
