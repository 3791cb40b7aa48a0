"""An axis as a student should choose it."""

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from analysis.paper.scales import Scale, choose_scale

lows = st.floats(-1000, 1000, allow_subnormal=False)
spans = st.floats(1e-3, 2000)
sheets = st.integers(5, 12)


@given(lows, spans, sheets)
@example(20.0, 40.0, 8)
@example(0.0, 100.0, 8)
@example(0.3, 0.6, 10)
@example(21.0, 16.0, 8)
@example(3.99, 6.02, 5)
def test_a_large_square_is_one_two_or_five_and_the_data_fill_over_half(low, span, squares):
    high = low + span
    scale = choose_scale(low, high, squares)
    slack = 1e-8 * scale.per_large_square
    assert scale.digit in (1, 2, 5)
    assert scale.per_large_square == pytest.approx(scale.digit * 10.0**scale.power)
    assert scale.start - slack <= low
    assert high <= scale.end + slack
    assert 1 <= scale.squares <= squares
    assert scale.filled(low, high) > 0.5


@given(lows, spans, sheets)
def test_the_axis_starts_at_a_whole_multiple_of_its_large_square(low, span, squares):
    scale = choose_scale(low, low + span, squares)
    steps = scale.start / scale.per_large_square
    assert steps == pytest.approx(round(steps), abs=1e-6)


@given(lows)
@example(0.0)
@example(0.0004)
def test_one_value_lies_inside_its_axis(value):
    scale = choose_scale(value, value, 8)
    assert scale.start <= value <= scale.end
    assert scale.start < scale.end
    assert scale.digit in (1, 2, 5)
    assert value < 0 or scale.start >= 0


@given(lows, spans, sheets)
def test_numbers_are_exact_on_every_large_line(low, span, squares):
    scale = choose_scale(low, low + span, squares)
    assert len(scale.numbers()) == scale.squares + 1
    for text, line in zip(scale.numbers(), scale.large_lines(), strict=True):
        assert float(text) == pytest.approx(line, abs=1e-9 * max(1, abs(line)))


@given(st.floats(0, 1000), spans)
def test_data_above_zero_never_start_an_axis_below_zero(low, span):
    assert choose_scale(low, low + span, 8).start >= 0


@pytest.mark.parametrize(
    ("low", "high", "squares", "expected"),
    [
        (20, 60, 8, (10, 70, 10)),  # kept off the edges: 5 °C a square would pin both ends
        (0, 100, 10, (0, 120, 20)),
        (0, 35, 10, (0, 40, 5)),
        (23.5, 48.1, 10, (20, 50, 5)),
        (0.21, 0.29, 8, (0.2, 0.3, 0.02)),
    ],
)
def test_axes_that_we_can_check_by_eye(low, high, squares, expected):
    scale = choose_scale(low, high, squares)
    assert (scale.start, scale.end, scale.per_large_square) == pytest.approx(expected)


def test_ten_small_squares_make_a_large_one():
    scale = Scale(digit=5, power=0, first=4, squares=7)
    assert len(scale.small_lines()) == 71
    assert scale.small_lines()[10] == pytest.approx(scale.large_lines()[1])


@pytest.mark.parametrize("pair", [(2.0, 1.0), (math.nan, 1.0), (0.0, math.inf)])
def test_numbers_out_of_order_or_not_finite_are_refused(pair):
    with pytest.raises(ValueError, match="two finite numbers in order"):
        choose_scale(*pair, 8)


def test_too_small_a_sheet_is_refused():
    with pytest.raises(ValueError, match="at least 5"):
        choose_scale(3.99, 10.01, 4)
