import numpy as np
import pytest

from analysis.quantity.units import kelvin
from analysis.report.sentences import (
    anomaly_sentences,
    drift_sentence,
    repeatability_sentence,
    spread_reason,
    straightness_sentence,
    trend_reason,
)
from analysis.statistics.spread import spread
from analysis.statistics.trend import straight_enough, trend

NAN = np.nan
T_C = np.array([20.0, 30.0, 40.0, 50.0, 60.0])
LEVELS_M = (0.12 + 0.006 * (T_C - 20))[:, None]


def test_reasons_for_a_missing_half_range():
    found = spread([[0.3, 0.3], [0.3, NAN], [NAN, NAN], [0.3, 0.32]], resolution_m=0.01)
    assert spread_reason(found, 0) == (
        "All the repeats agree, so the resolution sets the uncertainty: half a graduation, "
        "± 0.5 cm."
    )
    assert "take repeats" in (spread_reason(found, 1) or "")
    assert "no reading" in (spread_reason(found, 2) or "")
    assert spread_reason(found, 3) is None
    assert "resolution of the rule" in (spread_reason(spread([[0.3, 0.3]]), 0) or "")


def test_an_anomaly_is_named_with_its_numbers():
    heights = [[0.20, 0.21, 0.20, 0.19, 0.22], [0.30, 0.31, 0.30, 0.50, 0.29]]
    (text,) = anomaly_sentences(kelvin([20, 22.5]), spread(heights, 0.01), heights)
    assert text.startswith("At 22.5 °C repeat 4 (50 cm) may be an anomaly")
    assert "more than the 1.72 that 5 readings allow" in text
    assert "without it the mean would be 30.0 cm instead of 34.0 cm" in text
    assert anomaly_sentences(kelvin([20]), spread(heights[:1], 0.01), heights[:1]) == ()


@pytest.mark.parametrize(
    ("slope_m", "part"),
    [
        (-0.01, "suggests that the ball was cooling"),
        (0.01, "the readings rise by 1.00 ± 0.01 cm"),
        (0.0, "neither fall nor rise"),
    ],
)
def test_drift(slope_m, part):
    pattern = np.array([0.001, -0.001, 0.0, -0.001, 0.001])
    found = spread(LEVELS_M + slope_m * np.arange(5) + pattern, 0.001)
    assert part in drift_sentence(found.pooled_drift, kelvin([30, 40, 50, 60, 70]))


def test_drift_of_single_readings():
    told = drift_sentence(spread(LEVELS_M).pooled_drift, kelvin([30, 40, 50, 60, 70]))
    assert "cannot be told" in told


def test_a_drift_says_which_sets_it_leaves_out():
    found = spread(LEVELS_M - 0.01 * np.arange(5), 0.001)
    for coldest_c, said in ((20, True), (30, False)):
        text = drift_sentence(found.pooled_drift, kelvin([coldest_c, 35, 40, 50, 60]))
        assert ("above 25 °C, where a ball can cool," in text) is said


def test_repeatability():
    def said(half_m: float, levels=LEVELS_M) -> str:
        found = spread(levels + half_m * np.array([-1, 0, 1]), 0.01)
        return repeatability_sentence(trend(kelvin(T_C), found).repeatability)

    assert said(0.015).startswith("The readings are repeatable")
    assert "the half-ranges together are 50 % of the change" in said(0.015)
    assert said(0.05).startswith("The readings are not repeatable")
    assert "overlap for 4 of 4 pairs" in said(0.05)
    uneven = np.array([0.1, 0.12, 0.2, 0.3, 0.4])[:, None]
    assert said(0.015, uneven).startswith("The readings are partly repeatable")
    assert "between 20 °C and 30 °C the half-ranges together are 150 %" in said(0.015, uneven)
    assert "does not change at all" in said(0.015, np.full((5, 1), 0.2))
    assert "cannot be told" in repeatability_sentence(
        trend(kelvin(T_C), spread(LEVELS_M)).repeatability
    )


def test_straightness():
    def said(levels, repeats=3, celsius=T_C) -> str:
        offsets = np.linspace(-0.005, 0.005, repeats) if repeats > 1 else np.zeros(1)
        return straightness_sentence(straight_enough(kelvin(celsius), spread(levels + offsets)))

    bend = 0.0001 * (T_C - 40)[:, None] ** 2
    zigzag = 0.02 * np.array([1, -1, 1, -1, 1])[:, None]
    assert "A straight line is enough" in said(LEVELS_M)
    assert "lack of fit against the repeats" in said(LEVELS_M)
    assert "curves upwards" in said(LEVELS_M + bend)
    assert "curves downwards" in said(LEVELS_M - bend)
    assert "without a clear curve" in said(LEVELS_M + zigzag)
    assert "cannot tell a curve from a stray point" in said(LEVELS_M[[0, 1, 4]], celsius=T_C[:3])
    single = said(LEVELS_M + bend + 0.001 * zigzag, repeats=1)
    assert "F test of a squared term, p < 0.001" in single
    assert "cannot be told" in said(LEVELS_M[:2], celsius=T_C[:2])


def test_reasons_for_a_missing_trend():
    def of(levels, offsets=(-0.01, 0.0, 0.01)):
        return trend(kelvin(T_C[: len(levels)]), spread(levels + np.array(offsets), 0.01))

    assert trend_reason(of(LEVELS_M)) is None
    assert "two temperatures or more" in (trend_reason(of(LEVELS_M[:1])) or "")
    assert "always lie on a line" in (trend_reason(of(LEVELS_M[:2])) or "")
    assert "take repeats" in (trend_reason(of(LEVELS_M, (0.0,))) or "")
    zigzag = 0.05 * np.array([1, -1, 1, -1, 1])[:, None]
    assert trend_reason(of(LEVELS_M + zigzag)) == (
        "No straight line passes through all the half-range bars."
    )
