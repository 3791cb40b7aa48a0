"""Two published student tables of rebound height against temperature, through spread and trend.

The printed means are the source's; gradients and correlations were computed from
them independently by least squares, and are quoted to the digits given.
"""

import numpy as np
import pytest

from analysis.quantity.units import centimetres, kelvin
from analysis.report.sentences import conclusion
from analysis.statistics.spread import spread
from analysis.statistics.trend import trend
from tests.published.student_tables import A, S

A_MEANS_CM = [3.33, 8.67, 17.33, 30.0, 45.0, 60.67]


def of(celsius: np.ndarray, heights_m: np.ndarray):
    return trend(kelvin(celsius), spread(heights_m, resolution_m=0.01))


def test_table_a_means():
    means = centimetres(spread(A.heights_m).mean_m)
    assert means == pytest.approx(A_MEANS_CM, abs=0.005)


@pytest.mark.parametrize(
    ("celsius", "heights_m", "gradient_cm", "r"),
    [
        (A.celsius[1:4], A.heights_m[1:4], 0.533, 0.994),
        (A.celsius, A.heights_m, 0.583, 0.985),
        (S.celsius, S.heights_m, 0.469, 0.997),
        (S.celsius[1:7], S.heights_m[1:7], 0.476, 0.994),
    ],
    ids=["A, 20 to 60", "A, all", "S, all", "S, 22 to 71"],
)
def test_gradient_and_correlation(celsius, heights_m, gradient_cm, r):
    line = of(celsius, heights_m).line
    # S's reference was worked on means, where one or two thousandths may hide in rounding.
    assert float(centimetres(line.gradient)) == pytest.approx(gradient_cm, abs=0.0015)
    assert float(line.correlation) == pytest.approx(r, abs=0.001)


def test_table_a_curves_upwards_by_0_0034_cm_per_square_degree():
    found = of(A.celsius, A.heights_m)
    assert float(centimetres(found.straightness.curvature_m_per_k2)) == pytest.approx(
        0.0034, abs=0.00005
    )
    assert "more steeply at higher temperatures" in conclusion(found)


def test_table_s_is_straight_and_misses_the_origin():
    text = conclusion(of(S.celsius, S.heights_m))
    assert "increases by about 0.47 cm for each 1 °C" in text
    assert "A straight line fits the points." in text
    assert "does not pass through the origin" in text


def test_pooled_scatter_of_the_repeats():
    # A: 0.82 cm without the 80 °C set, 2.2 cm with it. S: 1.15 cm.
    def pooled_cm(rows: np.ndarray) -> float:
        deviation = spread(rows).standard_deviation_m
        return float(centimetres(np.sqrt(np.mean(deviation**2))))

    assert pooled_cm(np.delete(A.heights_m, 4, axis=0)) == pytest.approx(0.82, abs=0.005)
    assert pooled_cm(A.heights_m) == pytest.approx(2.2, abs=0.05)
    assert pooled_cm(S.heights_m) == pytest.approx(1.15, abs=0.005)
