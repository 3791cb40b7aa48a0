"""Random right work never loses a mark; one random perturbation loses exactly what rests on it."""

from dataclasses import replace

import numpy as np
from hypothesis import assume, given
from hypothesis import strategies as st

from analysis.marking.questions import CONCLUSION, ENERGY, EVALUATION, METHOD
from analysis.marking.work import Verdict
from analysis.quantity.units import mean_places, significant
from tests.analysis.marking.right_work import (
    Style,
    numeric,
    right_work,
    with_cells,
    with_graph,
)


@st.composite
def readings(draw):
    """Heights in cm at three to seven temperatures, rising about straight, to 1 or 0.1 cm."""
    places = draw(st.sampled_from([0, 1]))
    interval = draw(st.sampled_from([5, 8, 10, 12]))
    start = draw(st.integers(5, 20))
    count = draw(st.integers(3, 6))
    repeats = draw(st.integers(2, 5))
    gradient = draw(st.floats(0.3, 0.9))
    at_start = draw(st.floats(8.0, 25.0))
    unit = 10**places
    scatter = st.integers(-2 * unit, 2 * unit)
    heights = {}
    for n in range(count):
        true = at_start + gradient * interval * n
        row = [round(true * unit) + draw(scatter) for _ in range(repeats)]
        heights[start + interval * n] = tuple(value / unit for value in row)
    return heights, places


def justified(heights, places):
    errors = [np.std(row, ddof=1) / np.sqrt(len(row)) for row in heights.values()]
    return mean_places(places, errors)


@st.composite
def right(draw):
    heights, places = draw(readings())
    style = Style(
        places=places,
        mean_places=draw(st.sampled_from(sorted({places, justified(heights, places)}))),
        gravity=draw(st.sampled_from([9.8, 9.81, 10.0])),
        figures=draw(st.sampled_from([2, 3])),
        gradient_figures=draw(st.sampled_from([2, 3])),
        unit_style=draw(st.sampled_from(["{} / {}", "{} ({})", "{} in {}"])),
        answers_from_rounded=draw(st.booleans()),
    )
    drop_cm = draw(st.sampled_from([80.0, 100.0, 150.0]))
    mass_g = draw(st.sampled_from([23.2, 24.0, 25.0]))
    return heights, style, right_work(heights, style, drop_cm, mass_g)


def lost(work):
    return {one.criterion for one in numeric(work) if not one.earned}


@given(right())
def test_right_work_never_loses_a_mark(drawn):
    _, _, work = drawn
    found = {one.criterion: one for one in numeric(work) if one.verdict is not Verdict.RIGHT}
    assert found == {}


@given(right(), st.integers(0, 10_000), st.sampled_from([-1, 1]), st.floats(1.0, 9.0))
def test_a_miscopied_reading_loses_that_mark_alone(drawn, which, way, size):
    heights, style, work = drawn
    row, column = which % len(heights), which % len(next(iter(heights.values())))
    old = list(heights.values())[row][column]
    new = f"{abs(old + way * size):.{style.places}f}"
    changed = with_cells(work, {(row + 1, column + 1): new})
    if float(new) not in list(heights.values())[row]:
        assert lost(changed) == {"table.readings"}


@given(right(), st.integers(0, 10_000), st.floats(0.6, 5.0), st.sampled_from([-1, 1]))
def test_a_cross_astray_loses_the_cross_alone(drawn, which, squares, way):
    _, _, work = drawn
    crosses = list(work.graph.crosses)
    x, y = crosses[which % len(crosses)]
    mean = float(work.cells[which % len(crosses) + 1, max(c for _, c in work.cells)])
    y = mean + way * squares * work.graph.axes["up"].large_square / 10
    crosses[which % len(crosses)] = (x, y)
    assert lost(with_graph(work, crosses=tuple(crosses))) == {"graph.crosses"}


# The answer may be rounded by half a small square, and half a square is allowed: less than a whole
# square beside the points need not spoil it.
@given(right(), st.floats(0.6, 3.0), st.sampled_from([-1, 1]))
def test_a_line_beside_all_its_points_loses_balance_and_what_was_read_off(drawn, squares, way):
    heights, _, work = drawn
    means = [float(work.cells[n + 1, max(c for _, c in work.cells)]) for n in range(len(heights))]
    (x, y), (x_end, y_end) = work.graph.line
    at = [y + (y_end - y) * (t - x) / (x_end - x) for t in heights]
    farthest = max(way * (mean - line) for mean, line in zip(means, at, strict=True))
    up = work.graph.axes["up"].large_square / 10
    shift = way * (farthest + (0.5 + squares) * up)
    # A line that meets the origin by chance is told as forced there, which is another fault.
    assume(abs(y + shift - x * (y_end - y) / (x_end - x)) > up)
    moved = with_graph(work, line=((x, y + shift), (x_end, y_end + shift)))
    assert lost(moved) == {"graph.line-balance", "conclusion.read-off"}


PERTURBED = {
    "lowest temperature": (METHOD, {"method.lowest"}),
    "highest temperature": (METHOD, {"method.highest"}),
    "read off": (CONCLUSION, {"conclusion.read-off"}),
    "gradient": (CONCLUSION, {"conclusion.gradient"}),
    "half-range": (EVALUATION, {"evaluation.half-range"}),
    "height before": (ENERGY, {"energy.height-before"}),
    "height after": (ENERGY, {"energy.height-after"}),
    "energy transferred": (ENERGY, {"energy.transferred"}),
    "efficiency": (ENERGY, {"energy.efficiency"}),
}


@given(right(), st.sampled_from(sorted(PERTURBED)), st.floats(3.1, 9.0))
def test_a_wrong_number_loses_its_own_mark_alone(drawn, question, factor):
    _, _, work = drawn
    page, criteria = PERTURBED[question]
    number, _, unit = work.answers[page, question].partition(" ")
    places = len(number.partition(".")[2])
    wrong = f"{(float(number) + (float(number) == 0)) * factor:.{places}f} {unit}"
    if question in ("efficiency", "energy transferred", "gradient"):
        wrong = f"{significant(float(number) * factor, 2)} {unit}"
    changed = replace(work, answers={**work.answers, (page, question): wrong})
    assert lost(changed) == criteria
