"""The figure of two procedures: every drop in its order, beside its temperature."""

from itertools import pairwise

import numpy as np
import pytest

from analysis.quantity.units import kelvin
from analysis.readings.readings import Grid
from analysis.report.contrast_graph import draw_contrast

FALLING = np.array([[0.30, 0.29, np.nan, 0.27], [0.40, 0.38, 0.37, 0.36]])


def grid_of(celsius, heights_m):
    return Grid(kelvin(np.array(celsius)), np.array(heights_m), drop_height_m=1.0)


@pytest.fixture
def axes():
    level = grid_of([50.0, 60.0], [[0.31, 0.31, 0.32], [0.40, 0.41, 0.40]])
    (drawn,) = draw_contrast(grid_of([50.0, 60.0], FALLING), level, ("left", "back")).axes
    return drawn


def marks(axes, sign):
    drawn = [line.get_xydata() for line in axes.lines if line.get_marker() == sign]
    return [group for group in drawn if len(group)]


def test_drops_stand_in_their_order_and_a_missing_one_leaves_its_place(axes):
    hottest, cooler = marks(axes, "o")
    assert hottest[:, 1].tolist() == pytest.approx([40, 38, 37, 36])
    assert np.diff(hottest[:, 0]).tolist() == [1, 1, 1]
    assert cooler[:, 1].tolist() == pytest.approx([30, 29, 27])
    assert np.diff(cooler[:, 0]).tolist() == [1, 2]


def test_the_procedures_stand_beside_each_other_at_each_temperature_hottest_first(axes):
    places = [
        (group[:, 0].min(), group[:, 0].max())
        for pair in zip(marks(axes, "o"), marks(axes, "x"), strict=True)
        for group in pair
    ]
    assert all(first[1] < then[0] for first, then in pairwise(places))
    assert [text.get_text() for text in axes.texts] == ["60 °C", "50 °C"]
    assert [label.get_text() for label in axes.get_xticklabels()] == ["1", "4", "1", "3"] * 2
    assert "temperature" not in axes.get_xlabel()  # no axis of degrees that drops seem to lie on


def test_a_temperature_of_one_procedure_alone_has_one_strip():
    figure = draw_contrast(
        grid_of([50.0, 60.0], FALLING), grid_of([60.0], [[0.4, 0.4]]), ("a", "b")
    )
    assert len(marks(figure.axes[0], "o")) == 2
    assert len(marks(figure.axes[0], "x")) == 1
