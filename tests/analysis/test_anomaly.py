import numpy as np
import pytest

from analysis.statistics.spread import critical_value, spread


def test_a_gross_misreading_is_flagged_reported_and_still_counted():
    readings = [0.30, 0.31, 0.30, 0.50, 0.29]
    found = spread([[0.20, 0.21, 0.20, 0.19, 0.22], readings], resolution_m=0.01)
    assert found.anomalies.flagged.tolist() == [[False] * 5, [False, False, False, True, False]]
    assert found.mean_m[1] == pytest.approx(0.34)
    assert found.anomalies.mean_without_m == pytest.approx([0.204, 0.30])
    assert found.n[1] == 5
    assert found.half_range_m[1] == pytest.approx(0.105)


def test_one_graduation_apart_is_never_an_anomaly():
    for n in range(3, 9):
        readings = [0.17] * (n - 1) + [0.18]
        assert not spread(readings, resolution_m=0.01).anomalies.flagged.any()
    # Without knowing that they were rounded, the test takes the agreement for certainty.
    assert spread([0.17, 0.17, 0.17, 0.17, 0.18]).anomalies.flagged.any()


def test_three_readings_have_next_to_no_power():
    def flagged(far_m: float) -> bool:
        return bool(spread([0.10, 0.10, far_m], resolution_m=0.01).anomalies.flagged.any())

    assert not flagged(0.10 + 0.19)
    assert flagged(0.10 + 0.20)


def test_two_readings_and_repeats_that_agree_cannot_be_judged():
    assert not spread([0.1, 0.9], resolution_m=0.01).anomalies.flagged.any()
    assert not spread([0.3, 0.3, 0.3]).anomalies.flagged.any()
    assert np.isnan(critical_value(np.array([1, 2]))).all()


def test_a_gap_is_never_flagged_and_does_not_count():
    found = spread([0.30, np.nan, 0.31, 0.30, 0.50, np.nan, 0.29], resolution_m=0.01)
    assert np.flatnonzero(found.anomalies.flagged).tolist() == [4]
    assert found.anomalies.critical == critical_value(np.array(5))


@pytest.mark.parametrize("n", [4, 5, 8])
def test_unrounded_normal_readings_are_flagged_in_one_set_of_twenty(n):
    sets = 20_000
    found = spread(np.random.default_rng(n).normal(0.3, 0.01, (sets, n)))
    flagged = int(found.anomalies.flagged.any(axis=-1).sum())
    # Four binomial standard deviations about 5 %.
    assert abs(flagged - 0.05 * sets) <= 4 * np.sqrt(sets * 0.05 * 0.95)


@pytest.mark.parametrize("sd_m", [0.003, 0.005, 0.010])
def test_rounded_readings_raise_no_more_false_alarms_than_that(sd_m):
    readings = np.round(np.random.default_rng(2).normal(0.3, sd_m, (20_000, 5)), 2)
    found = spread(readings, resolution_m=0.01)
    assert found.anomalies.flagged.any(axis=-1).mean() <= 0.05
