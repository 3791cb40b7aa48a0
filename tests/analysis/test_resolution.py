"""The step that heights were read to, told from the readings themselves."""

import numpy as np
import pytest

from analysis.quantity.units import resolution_m
from analysis.statistics.spread import spread

HALVES = np.array([[23.0, 23.0, 23.0, 23.5, 23.0], [28.5, 28.0, 29.0, 28.5, 28.0]]) / 100.0


def test_halves_of_a_centimetre_are_told_from_tenths():
    assert resolution_m(HALVES, 1) == pytest.approx(0.005)
    tenths = HALVES + np.array([[0.001], [0.0]])
    assert resolution_m(tenths, 1) == pytest.approx(0.001)


def test_few_readings_or_all_the_same_tell_nothing():
    assert resolution_m(HALVES[0], 1) == pytest.approx(0.001)
    assert resolution_m(np.full(10, 0.235), 1) == pytest.approx(0.001)


def test_missing_readings_are_left_out():
    heights = HALVES.copy()
    heights[1, 4] = np.nan
    assert resolution_m(heights, 1) == pytest.approx(0.005)


def test_one_step_of_a_half_is_no_anomaly():
    assert spread(HALVES, 0.001).anomalies.flagged.any()
    assert not spread(HALVES, resolution_m(HALVES, 1)).anomalies.flagged.any()
