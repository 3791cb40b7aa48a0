import numpy as np
import pytest

from analysis.quantity.units import kelvin
from analysis.statistics.spread import spread
from analysis.statistics.trend import repeatability, verdict

T_K = kelvin([20, 30, 40])
APART = np.array([[0.12, 0.13, 0.14], [0.18, 0.19, 0.19], [0.25, 0.26, 0.25]])


def of(heights, temperatures_k=T_K):
    return repeatability(temperatures_k, spread(heights, resolution_m=0.01))


def test_bars_that_stay_apart_are_repeatable():
    found = of(APART)
    assert verdict(found) == "repeatable"
    assert found.pairs == found.pairs_apart == 2
    # Worst pair: half-ranges 1 and 0.5 cm against 18.667 - 13 = 5.667 cm.
    assert float(found.worst_overlap) == pytest.approx(1.5 / (17 / 3))
    assert float(found.worst_low_k) == pytest.approx(293.15)
    assert float(found.worst_high_k) == pytest.approx(303.15)
    assert float(found.largest_percentage) == pytest.approx(100 / 13)
    assert found.monotone == 1.0


def test_order_of_the_temperatures_makes_no_difference():
    turned = of(APART[[2, 0, 1]], T_K[[2, 0, 1]])
    assert float(turned.worst_overlap) == float(of(APART).worst_overlap)
    assert turned.monotone == 1.0
    assert of(APART[::-1]).monotone == -1.0


def test_some_bars_overlapping_is_partly_and_all_is_not_repeatable():
    partly = APART.copy()
    partly[1] = [0.12, 0.19, 0.22]
    assert verdict(of(partly)) == "partly repeatable"
    assert of(partly).monotone == 0.0
    level = of(np.full((3, 3), 0.2))
    assert verdict(level) == "not repeatable"
    assert np.isinf(level.worst_overlap)


def test_touching_bars_count_as_overlapping():
    assert verdict(of([[0.25, 0.75], [0.75, 1.25]], T_K[:2])) == "not repeatable"


def test_up_and_down_is_not_one_way():
    zigzag = of([[0.12, 0.13], [0.30, 0.31], [0.20, 0.21]])
    assert verdict(zigzag) == "repeatable"
    assert zigzag.monotone == 0.0
    mostly_up = of([[0.1, 0.11], [0.2, 0.21], [0.4, 0.41], [0.3, 0.31]], kelvin([20, 30, 40, 50]))
    assert verdict(mostly_up) == "repeatable"
    assert mostly_up.monotone == 0.0


def test_without_repeats_or_a_neighbour_it_cannot_be_told():
    single = of(APART[:, :1])
    assert verdict(single) == "cannot be told"
    assert np.isnan(single.worst_overlap)
    assert np.isnan(single.worst_low_k)
    alone = of(APART[:1], T_K[:1])
    assert verdict(alone) == "cannot be told"
    assert np.isnan(alone.worst_low_k)
    assert alone.monotone == 0.0


def test_many_tables_at_once():
    tables = np.stack([APART, APART[::-1], np.full((3, 3), 0.2)])
    found = of(tables)
    assert found.monotone.tolist() == [1.0, -1.0, 0.0]
    assert found.pairs_apart.tolist() == [2, 2, 0]
