import numpy as np

from analysis.quantity.units import ratio


def test_ratio_gives_a_gap_where_it_cannot_divide():
    found = ratio([1.0, 2.0, np.nan, 0.0], [2.0, 0.0, 1.0, 0.0])
    assert found[0] == 0.5
    assert np.isnan(found[1:]).all()


def test_ratio_broadcasts_and_keeps_scalars():
    assert ratio(np.ones((2, 3)), [1.0, 2.0, 4.0]).tolist() == [[1.0, 0.5, 0.25]] * 2
    assert ratio(3.0, 2.0) == 1.5
