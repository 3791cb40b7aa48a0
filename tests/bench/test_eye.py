import pytest

from physics.reading import View, seen_height_m
from sim.bench.model.seeing import lens_centre_m
from sim.bench.screen.sight import Sight

EYES_M = (0.0, 0.15, 0.283, 0.5, 1.0, 1.2, 2.5)
HEIGHTS_M = (0.0, 0.05, 0.283, 0.6, 1.0)


def wall(layout, eye_m):
    return layout.sight(eye_m)


def lens(layout, eye_m):
    return layout.lens_sight(eye_m, looked_at_m=0.3)


@pytest.mark.parametrize("eye_m", EYES_M)
def test_the_view_of_the_corner_has_no_parallax(layout, eye_m):
    sight = wall(layout, eye_m)
    for height_m in HEIGHTS_M:
        assert sight.ball_px(height_m) == pytest.approx(sight.to_px(height_m), abs=1e-9)


@pytest.mark.parametrize("eye_m", EYES_M)
def test_the_ball_is_seen_where_the_parallax_formula_says_to_one_pixel(layout, eye_m):
    sight = lens(layout, eye_m)
    for height_m in HEIGHTS_M:
        seen_m = seen_height_m(height_m, eye_m, View(eye_m).eye_distance_m, View(eye_m).standoff_m)
        assert sight.ball_px(height_m) == pytest.approx(sight.to_px(seen_m), abs=1.0)


@pytest.mark.parametrize("eye_m", EYES_M)
def test_the_line_from_the_eye_through_the_ball_meets_the_rule_there(layout, eye_m):
    # By similar triangles, without the formula: eye 1 m and ball 5 cm before the rule.
    sight = lens(layout, eye_m)
    for height_m in HEIGHTS_M:
        slope = (height_m - eye_m) / 0.95
        meets_m = eye_m + slope * 1.0
        assert sight.to_m(sight.ball_px(height_m)) == pytest.approx(meets_m, abs=1e-9)


def test_an_eye_level_with_the_ball_sees_it_against_its_own_mark(layout):
    for height_m in HEIGHTS_M:
        sight = lens(layout, height_m)
        assert sight.ball_px(height_m) == pytest.approx(sight.to_px(height_m), abs=1e-9)


def test_a_standing_eye_sees_a_low_ball_too_low_by_centimetres(layout):
    sight = lens(layout, 1.2)
    shift_m = sight.to_m(sight.ball_px(0.283)) - 0.283
    assert shift_m == pytest.approx(-(1.2 - 0.283) * 0.05 / 0.95, abs=1e-9)
    assert shift_m < -0.04


def test_rows_and_heights_are_each_others_inverse():
    sight = Sight(eye_height_m=0.4, floor_y_px=704.0, px_per_m=570.0)
    assert sight.to_px(0.0) == 704.0
    assert sight.to_px(1.0) == 134.0
    for height_m in HEIGHTS_M:
        assert sight.to_m(sight.to_px(height_m)) == pytest.approx(height_m, abs=1e-12)
        assert sight.ball_m(sight.ball_px(height_m)) == pytest.approx(height_m, abs=1e-12)


def test_the_ball_looks_a_little_larger_than_the_rule_behind_it(layout):
    sight = lens(layout, 0.5)
    top, lowest = sight.ball_span_px(0.3, 0.04)
    assert (lowest - top) / (0.04 * sight.px_per_m) == pytest.approx(1.0 / 0.95)


def test_the_lens_stays_on_the_rule():
    assert lens_centre_m(0.5, 0.09) == 0.5
    assert lens_centre_m(2.5, 0.09) == 1.0
    assert lens_centre_m(0.0, 0.09) == pytest.approx(0.0225)


def test_the_lens_looks_at_the_eyes_level_unless_told_otherwise(layout):
    view = layout.lens_view
    middle = view.y + view.height / 2.0
    assert layout.lens_sight(0.42).to_px(0.42) == pytest.approx(middle)
    assert layout.lens_sight(1.2, looked_at_m=0.3).to_px(0.3) == pytest.approx(middle)
