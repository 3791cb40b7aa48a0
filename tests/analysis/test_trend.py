import numpy as np
import pytest

from analysis.quantity.units import kelvin
from analysis.refusal import Refused
from analysis.report.sentences import conclusion
from analysis.statistics.spread import spread
from analysis.statistics.trend import trend

T_C = np.array([20.0, 30.0, 40.0, 50.0, 60.0])
T_K = kelvin(T_C)
RISING = np.array(
    [[10, 11, 10], [16, 17, 18], [24, 23, 23], [30, 31, 29], [36, 37, 37]], dtype=float
)


def of(heights_cm, celsius=T_C):
    return trend(kelvin(celsius), spread(np.asarray(heights_cm) / 100.0, resolution_m=0.01))


def test_line_is_in_metres_and_kelvin_from_0_degrees():
    found = of(RISING)
    assert float(found.line.at(kelvin(0.0))) == pytest.approx(float(found.line.intercept))
    reference = np.polyfit(T_C, RISING.mean(axis=1), 1)
    assert float(found.line.gradient) * 100 == pytest.approx(reference[0])
    assert float(found.line.intercept) * 100 == pytest.approx(reference[1])
    assert (found.lowest_k, found.highest_k) == (kelvin(20.0), kelvin(60.0))
    assert found.direction == 1.0


def test_extreme_lines_pass_through_the_half_range_bars():
    found = of(RISING)
    means, half = RISING.mean(axis=1), np.ptp(RISING, axis=1) / 2
    for which in ("steepest", "shallowest"):
        at = getattr(found.extremes, f"{which}_intercept") + T_C * getattr(
            found.extremes, f"{which}_gradient"
        )
        assert (np.abs(at * 100 - means) <= half + 1e-9).all()
    assert (
        found.extremes.shallowest_gradient < found.line.gradient < found.extremes.steepest_gradient
    )


def test_sentence_of_a_rise():
    assert conclusion(of(RISING)) == (
        "As the temperature of the ball increases, the rebound height increases. Between 20 °C and "
        "60 °C it increases by about 0.66 cm for each 1 °C. A straight line fits the points. The "
        "line of best fit does not pass through the origin, so the rebound height is not directly "
        "proportional to the temperature in °C."
    )


def test_sentence_of_a_fall():
    text = conclusion(of(RISING[::-1]))
    assert text.startswith("As the temperature of the ball increases, the rebound height decreases")
    assert "it decreases by about 0.66 cm for each 1 °C" in text


def test_sentence_of_no_clear_change():
    level = np.random.default_rng(3).integers(18, 23, (5, 3))
    assert conclusion(of(level)) == (
        "Between 20 °C and 60 °C the readings show no clear change of rebound height with "
        "temperature."
    )


@pytest.mark.parametrize(
    ("sign", "bend", "manner"),
    [
        (1, 1, "increases more steeply"),
        (1, -1, "increases less steeply"),
        (-1, 1, "decreases less steeply"),
        (-1, -1, "decreases more steeply"),
    ],
)
def test_sentence_of_a_curve_says_how_it_bends(sign, bend, manner):
    level = 50 + sign * 0.5 * (T_C - 40) + bend * 0.008 * (T_C - 40) ** 2
    text = conclusion(of(level[:, None] + np.array([-0.5, 0.0, 0.5])))
    assert f"{manner} at higher temperatures" in text
    assert "origin" not in text


def test_a_line_through_the_origin_is_not_denied():
    heights = 0.5 * T_C[:, None] + np.array([[-1, 1], [0, 1], [1, -1], [-1, 0], [1, 0]])
    assert "cannot tell whether the line of best fit passes through the origin" in conclusion(
        of(heights)
    )


def test_two_temperatures_tell_a_direction_only_when_their_bars_stay_apart():
    assert of(RISING[:2], T_C[:2]).direction == 1.0
    assert "increases by about 0.67 cm" in conclusion(of(RISING[:2], T_C[:2]))
    overlapping = of([[10, 14, 12], [13, 16, 14]], T_C[:2])
    assert overlapping.direction == 0.0


def test_a_bent_rise_of_three_temperatures_is_still_a_rise():
    # The line's own p value is 0.08 here, since the middle point lies far off it.
    bent = of([[10, 11, 9], [20, 21, 19], [36, 37, 35]], T_C[:3])
    assert bent.gradient_p > 0.05
    assert bent.direction == 1.0


def test_a_step_of_one_graduation_is_no_proof():
    assert of([[10], [11], [12]], T_C[:3]).direction == 0.0


@pytest.mark.parametrize("rows", [1, 2])
def test_too_little_cannot_be_told_and_is_said(rows):
    found = of(RISING[:rows, :1], T_C[:rows])
    assert np.isnan(found.direction)
    assert conclusion(found).startswith("The readings cannot tell")


def test_many_tables_at_once_are_the_tables_one_by_one():
    rng = np.random.default_rng(2)
    heights = RISING + rng.normal(0, 2, (2, 3, 5, 3))
    together, one = of(heights), of(heights[1, 2])
    assert together.direction.shape == (2, 3)
    assert together.line.gradient[1, 2] == pytest.approx(float(one.line.gradient), rel=1e-12)
    assert together.straightness.p[1, 2] == pytest.approx(float(one.straightness.p), rel=1e-9)
    assert together.gradient_p[1, 2] == pytest.approx(float(one.gradient_p), rel=1e-9)
    assert conclusion(one)


def test_level_readings_are_called_a_trend_in_hardly_more_than_one_table_of_twenty():
    heights = np.random.default_rng(4).normal(0.2, 0.01, (4000, 5, 3))
    found = trend(T_K, spread(heights))
    # 5 % from the gradient's own test and next to none from the neighbours' rule.
    assert 0.035 <= np.mean(found.direction != 0) <= 0.065


def test_temperatures_that_do_not_fit_the_readings_are_refused():
    with pytest.raises(Refused, match="4 temperatures for 5 sets"):
        of(RISING, T_C[:4])
    with pytest.raises(Refused, match="temperature is missing"):
        of(RISING, [20, 30, np.nan, 50, 60])
    with pytest.raises(Refused, match="1 sets"):
        trend(T_K, spread([0.1, 0.2]))
