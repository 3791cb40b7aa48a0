import numpy as np
import pytest

from analysis.quantity.units import kelvin
from analysis.readings.sets import RepeatTable
from analysis.refusal import Refused
from analysis.report.contrast_sentences import contrast_sentences
from analysis.statistics.two_procedures import b_steadier, contrast, steadier

T_C = np.array([20.0, 30.0, 40.0, 50.0, 60.0])


def table(seed: int, sd_m: float, drift: float = 0.0, repeats: int = 5, celsius=T_C) -> RepeatTable:
    """Readings to 1 cm; each repeat lower than the last by the share `drift`."""
    level = (0.12 + 0.006 * (celsius - 20))[:, None] * (1 - drift * np.arange(repeats))
    noise = np.random.default_rng(seed).normal(0, sd_m, (celsius.size, repeats))
    return RepeatTable(kelvin(celsius), np.round(level + noise, 2))


def test_cooling_between_drops_is_found_in_spread_drift_and_said():
    found = contrast(table(1, 0.007), table(2, 0.007, drift=0.06), 0.01)
    assert found.spreads.narrower == "a"
    assert found.spreads.ratio > 1.5
    assert found.drift_m_per_repeat.p < 0.05
    assert found.drift_m_per_repeat.difference < 0
    verdict, spread_text, drift_text, _ = contrast_sentences(found)
    assert "times as large with the ball put back as with the ball left to cool" in spread_text
    assert "cannot tell" not in spread_text
    assert "drifts more with the ball put back than with the ball left to cool" in drift_text
    assert steadier(found) == "a"
    assert verdict == "With the ball put back the repeats agree less well: they drift more."


def test_two_alike_procedures_cannot_be_told_apart():
    found = contrast(table(3, 0.007), table(4, 0.007), 0.01)
    assert found.spreads.narrower == "not settled"
    verdict, *others = contrast_sentences(found)
    assert "do not settle" in verdict
    for text in others:
        assert "cannot tell" in text


def test_a_smaller_gradient_is_said():
    a, b = table(1, 0.004), table(2, 0.004)
    flat = RepeatTable(b.temperatures_k, np.round(b.heights_m - 0.002 * (T_C - 20)[:, None], 2))
    found = contrast(a, flat, 0.01)
    assert found.gradient_m_per_k.p < 0.05
    assert found.gradient_m_per_k.difference == pytest.approx(-0.002, abs=0.0003)
    assert (
        "smaller than that with the ball left to cool (by 0.00" not in contrast_sentences(found)[3]
    )
    assert "is smaller than that with the ball left to cool (by 0.2" in contrast_sentences(found)[3]


def test_a_curve_shared_by_both_does_not_blur_the_gradient():
    a, b = table(5, 0.004), table(6, 0.004)
    bend = 0.0001 * (T_C - 40)[:, None] ** 2
    bent = contrast(
        RepeatTable(a.temperatures_k, a.heights_m + bend),
        RepeatTable(b.temperatures_k, b.heights_m + bend),
    )
    straight = contrast(a, b)
    assert bent.gradient_m_per_k.uncertainty == pytest.approx(
        straight.gradient_m_per_k.uncertainty, rel=1e-9
    )


def test_only_shared_temperatures_are_compared():
    a = table(1, 0.007, celsius=np.array([40.0, 20.0, 30.0, 55.0]))
    b = table(2, 0.007, celsius=np.array([60.0, 40.0, 30.0, 20.0]), repeats=3)
    found = contrast(a, b, 0.01)
    assert found.temperatures_k == pytest.approx(kelvin([20, 30, 40]))
    assert found.spread_a.mean_m[0] == pytest.approx(a.heights_m[1].mean())
    assert found.spread_b.mean_m[0] == pytest.approx(b.heights_m[3].mean())
    assert found.spread_b.n.tolist() == [3, 3, 3]


def test_no_shared_temperature_is_refused():
    with pytest.raises(Refused, match="share no temperature"):
        contrast(table(1, 0.01, celsius=T_C), table(1, 0.01, celsius=T_C + 5))


def test_single_readings_cannot_tell_anything_of_spread_or_drift():
    found = contrast(table(1, 0.007, repeats=1), table(2, 0.007, repeats=1), 0.01)
    assert found.spreads.narrower == "cannot be told"
    assert steadier(found) == "cannot be told"
    assert np.isnan(found.drift_m_per_repeat.p)
    _, spread_text, drift_text, _ = contrast_sentences(found)
    assert "both procedures need repeats" in spread_text
    assert "cannot tell" in drift_text


def test_two_temperatures_cannot_tell_of_the_gradient():
    two = T_C[:2]
    found = contrast(table(1, 0.007, celsius=two), table(2, 0.007, celsius=two), 0.01)
    assert "three temperatures are needed" in contrast_sentences(found)[3]


def test_drift_degrees_of_freedom_are_welchs_without_the_set_at_room_temperature():
    found = contrast(table(1, 0.007), table(2, 0.02, repeats=3), 0.01)
    a, b = found.spread_a.pooled_drift, found.spread_b.pooled_drift
    u, v = float(a.uncertainty_m_per_repeat) ** 2, float(b.uncertainty_m_per_repeat) ** 2
    expected = (u + v) ** 2 / (u**2 / 15 + v**2 / 7)
    assert found.drift_m_per_repeat.degrees_of_freedom == pytest.approx(expected)


def test_alike_drifts_are_called_different_in_one_experiment_of_twenty():
    p = [
        contrast(table(seed, 0.01), table(seed + 10_000, 0.02), 0.01).drift_m_per_repeat.p
        for seed in range(60)
    ]
    # Up to four binomial standard deviations above 5 %.
    assert 0.0 < np.mean(np.array(p) < 0.05) <= 0.05 + 4 * np.sqrt(0.05 * 0.95 / 60)


def test_a_fall_at_room_temperature_is_no_drift_of_a_procedure():
    a, b = table(1, 0.004), table(2, 0.004)
    fell = a.heights_m - np.where(T_C == 20.0, 0.02, 0.0)[:, None] * np.arange(5)
    found = contrast(RepeatTable(a.temperatures_k, fell), b, 0.01)
    assert found.drift_m_per_repeat.nearer_nought == "not settled"
    cold = contrast(table(1, 0.004, celsius=T_C[:1]), table(2, 0.004, celsius=T_C[:1]), 0.01)
    assert cold.drift_m_per_repeat.nearer_nought == "cannot be told"
    assert "above 25 °C" in contrast_sentences(cold)[2]


def test_where_the_drift_says_nothing_the_spread_decides():
    found = contrast(table(3, 0.03, repeats=6), table(4, 0.006, repeats=6), 0.01)
    assert found.drift_m_per_repeat.nearer_nought == "not settled"
    assert steadier(found) == "b"
    assert contrast_sentences(found)[0].endswith("agree better: they spread less.")


def test_one_table_and_many_are_judged_alike():
    kinds = ((0.007, 0.0), (0.007, 0.02), (0.007, 0.05), (0.02, 0.0))
    pairs = [
        (table(2 * seed, sd_m, drift), table(2 * seed + 1, 0.007))
        for sd_m, drift in kinds
        for seed in range(20)
    ]
    alone = [steadier(contrast(a, b, 0.01)) == "b" for a, b in pairs]
    a_m, b_m = (np.array([pair[side].heights_m for pair in pairs]) for side in (0, 1))
    assert b_steadier(a_m, b_m, kelvin(T_C), 0.01).tolist() == alone
    assert 20 < sum(alone) < 60


def test_alike_procedures_are_called_different_in_one_experiment_of_twenty_at_most():
    found = [
        steadier(contrast(table(seed, 0.01), table(seed + 9_999, 0.01))) for seed in range(200)
    ]
    told = np.mean([each in ("a", "b") for each in found])
    # Up to three binomial standard deviations above 5 %; each direction takes half of it.
    assert 0.0 < told <= 0.05 + 3 * np.sqrt(0.05 * 0.95 / 200)
