import numpy as np
import pytest

from analysis.quantity.units import kelvin
from analysis.statistics.spread import can_cool, spread, suggests

LEVELS_M = np.array([0.12, 0.18, 0.24, 0.30, 0.36])[:, None]


def readings(slope_m: float, sd_m: float, seed: int = 1, tables: int = 1) -> np.ndarray:
    noise = np.random.default_rng(seed).normal(0.0, sd_m, (tables, 5, 5))
    return LEVELS_M + slope_m * np.arange(5) + noise


def test_falling_readings_suggest_cooling():
    found = spread(readings(-0.005, 0.004)[0]).pooled_drift
    assert suggests(found) == "cooling"
    assert float(found.slope_m_per_repeat) == pytest.approx(-0.005, abs=0.0015)
    assert found.degrees_of_freedom == 5 * 4 - 1


def test_rising_readings_are_said_to_rise_and_level_ones_suggest_nothing():
    assert suggests(spread(readings(0.005, 0.004)[0]).pooled_drift) == "rising"
    assert suggests(spread(readings(0.0, 0.004)[0]).pooled_drift) == "nothing"


def test_pooling_tells_what_single_sets_cannot():
    found = spread(np.round(readings(-0.004, 0.006, seed=4)[0], 2), resolution_m=0.01)
    assert suggests(found.pooled_drift) == "cooling"
    assert (found.drift.p > 0.05).sum() >= 3


def test_a_set_as_warm_as_the_room_has_no_part_in_the_common_slope():
    heights = readings(0.0, 0.004)[0]
    heights[0] -= 0.01 * np.arange(5)
    warm = can_cool(kelvin([20.0, 30.0, 40.0, 50.0, 60.0]))
    assert warm.tolist() == [False, True, True, True, True]
    assert suggests(spread(heights).pooled_drift) == "cooling"
    assert suggests(spread(heights, 0.0, warm).pooled_drift) == "nothing"
    without = spread(heights[1:]).pooled_drift
    assert spread(heights, 0.0, warm).pooled_drift == without
    assert suggests(spread(heights, 0.0, np.zeros(5, bool)).pooled_drift) == "cannot be told"


def test_no_drift_is_called_cooling_or_rising_in_one_table_of_twenty():
    tables = 5000
    p = spread(readings(0.0, 0.01, tables=tables)).pooled_drift.p
    assert abs((p < 0.05).sum() - 0.05 * tables) <= 4 * np.sqrt(tables * 0.05 * 0.95)


def test_slope_is_recovered_within_its_uncertainty():
    found = spread(readings(-0.003, 0.01, tables=4000)).pooled_drift
    pull = (found.slope_m_per_repeat + 0.003) / found.uncertainty_m_per_repeat
    # Student's t with 19 degrees of freedom has standard deviation sqrt(19/17).
    assert float(pull.mean()) == pytest.approx(0.0, abs=0.07)
    assert float(pull.std()) == pytest.approx(np.sqrt(19 / 17), abs=0.06)


def test_a_missing_repeat_keeps_the_numbers_of_the_others():
    found = spread([0.30, np.nan, 0.28, 0.27]).drift
    assert float(found.slope_m_per_repeat) == pytest.approx(-0.01)


def test_three_rounded_readings_in_line_are_not_certainty():
    found = spread([0.30, 0.29, 0.28], resolution_m=0.01).drift
    assert suggests(found) == "nothing"
    assert float(found.slope_m_per_repeat) == pytest.approx(-0.01)


def test_too_few_repeats_cannot_tell():
    assert suggests(spread([[0.1], [0.2]]).pooled_drift) == "cannot be told"
    assert suggests(spread([0.1, 0.2]).drift) == "cannot be told"
    # Two sets of two: one degree of freedom is left over.
    assert suggests(spread([[0.1, 0.1], [0.2, 0.2]], 0.01).pooled_drift) == "nothing"
