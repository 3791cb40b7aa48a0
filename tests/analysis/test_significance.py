import numpy as np
import pytest

from analysis.statistics.spread import f_p, t_multiplier, two_sided_p


def test_students_t_by_the_closed_forms():
    # One degree of freedom is Cauchy's distribution: t = 1 leaves a quarter in each tail.
    assert float(two_sided_p(-1.0, 1.0, 1)) == pytest.approx(0.5)
    # Two degrees of freedom: p = 1 - t / sqrt(2 + t^2).
    assert float(two_sided_p(3.0, 2.0, 2)) == pytest.approx(1 - 1.5 / (2 + 2.25) ** 0.5)


def test_an_f_with_one_degree_above_is_t_squared():
    assert float(f_p(6.25, 1.0, 1, 9)) == pytest.approx(float(two_sided_p(2.5, 1.0, 9)))


def test_limits_and_gaps():
    assert float(two_sided_p(0.0, 0.0, 3)) == 1.0
    assert float(two_sided_p(1.0, 0.0, 3)) == 0.0
    assert float(f_p(0.0, 0.0, 2, 3)) == 1.0
    assert float(f_p(1.0, 0.0, 2, 3)) == 0.0
    assert np.isnan(two_sided_p([1.0, np.nan, 1.0], [1.0, 1.0, np.nan], [0, 3, 3])).all()
    assert np.isnan(f_p(1.0, 1.0, [0, 2], [4, 0])).all()


def test_multiplier_of_a_95_per_cent_interval():
    # Tables of Student's t (from memory): 12.706 for one degree of freedom, 1.96 for many.
    assert float(t_multiplier(1)) == pytest.approx(12.706, abs=0.0005)
    assert float(t_multiplier(1e7)) == pytest.approx(1.960, abs=0.0005)
    assert np.isnan(t_multiplier(0))
