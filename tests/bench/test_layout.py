import itertools
import subprocess
import sys

import pygame
import pytest

from sim.bench.screen.layout import (
    BALL_DISPLACES_KG,
    BALL_RADIUS_M,
    LEAST_HANDLE,
    Layout,
    around,
)
from sim.bench.screen.lettering import line_surface
from sim.bench.screen.window import SIZE, show_bare_room
from sim.bench.ui.theme import COVER, FLOOR_FAR, INK, PAGE, TYPE_SMALL, TYPE_TEXT, Box
from tests.bench.measures import encloses, meet

WINDOWS = [(1024, 600), (1280, 720), (1366, 768), (1600, 900), (1920, 1080), (3840, 2160)]
SCALES = [1.0, 1.25, 1.5, 2.0]
EYES_M = [0.0, 0.05, 0.3, 0.7, 1.0, 1.2, 2.5]

STANDING = [
    "kettle",
    "beaker",
    "jug",
    "tray",
    "tongs",
    "towel",
    "bath",
    "bath_control",
    "stopwatch",
    "thermometer",
    "thermometer_lens",
    "rule",
    "lens",
    "camera_shelf",
    "message",
    "book",
]
"""What never moves and must never cover anything else in this list."""


LEAST_TARGET = 24
"""Pixels: WCAG 2.2, success criterion 2.5.8 (level AA), for a room that is drawn small."""


def least_handle(plan):
    return LEAST_HANDLE if plan.scale >= 1.0 else LEAST_TARGET


@pytest.fixture(params=itertools.product(WINDOWS, SCALES), ids=str)
def plan(request):
    return Layout(*request.param)


def test_nothing_that_stands_covers_anything_else_that_stands(plan):
    for first, second in itertools.combinations(STANDING, 2):
        assert not meet(getattr(plan, first), getattr(plan, second)), (first, second)


def test_everything_lies_inside_its_half_of_the_window(plan):
    for name in STANDING[:-1]:
        assert encloses(plan.corner, getattr(plan, name)), name
    assert encloses(plan.window, plan.corner)
    assert encloses(plan.window, plan.book)
    assert encloses(plan.book, plan.bookmarks)
    assert encloses(plan.book, plan.page)
    assert not meet(plan.bookmarks, plan.page)
    assert plan.corner.width + plan.book.width == plan.size[0]


def test_puddles_stay_clear_of_the_message(plan):
    assert encloses(plan.corner, plan.floor_puddle)
    assert not meet(plan.floor_puddle, plan.message)
    assert not meet(plan.bench_puddle, plan.tray)


def test_every_handle_is_large_enough_to_hit(plan):
    for name, box in plan.handles.items():
        assert min(box.width, box.height) >= least_handle(plan), name


def test_no_two_handles_share_a_pixel(plan):
    for (first, a), (second, b) in itertools.combinations(plan.handles.items(), 2):
        assert not meet(a, b), (first, second)


@pytest.mark.parametrize("height_m", EYES_M)
def test_eye_and_camera_can_be_hit_beside_the_rule_at_every_height(plan, height_m):
    eye, camera = plan.eye_mark(height_m), plan.camera_on_stand(height_m)
    for box in (eye, camera):
        assert min(box.width, box.height) >= least_handle(plan)
        assert encloses(plan.corner, box)
        assert not meet(box, plan.rule)
        assert not meet(box, plan.lens)
        assert not meet(box, plan.message)
    assert not meet(eye, camera)


@pytest.mark.parametrize("height_m", [0.1, 0.3, 0.9])
def test_the_camera_is_level_with_its_height(plan, height_m):
    row = plan.sight(height_m).to_px(height_m)
    assert plan.camera_on_stand(height_m).centre[1] == pytest.approx(row, abs=1.0)


def test_the_rule_is_read_to_half_a_centimetre_and_the_lens_to_a_millimetre(plan):
    # A room that is drawn small is read through the lens.
    assert plan.sight(0.5).px_per_m * 0.005 >= 2.5 * min(plan.scale, 1.0)
    assert plan.lens_px_per_m >= (4000 if plan.scale >= 1.0 else 3000)
    assert plan.lens_px_per_m % 1000 == 0
    assert plan.lens_view.height == pytest.approx(0.09 * plan.lens_px_per_m, abs=1)


def test_a_ball_at_the_mark_is_whole_in_the_lens(plan):
    for looked_at_m in (None, 1.0):
        sight = plan.lens_sight(1.0, looked_at_m)
        top, lowest = sight.ball_span_px(1.0, 2 * BALL_RADIUS_M)
        assert plan.lens_view.y <= top
        assert lowest < plan.lens_view.bottom


def test_words_fit_where_they_are_written(plan):
    heading = line_surface("Height / cm", plan.mark_px(TYPE_TEXT), INK)
    assert heading.get_width() <= plan.lens.width - plan.px(20)
    hundred = line_surface("100", plan.mark_px(TYPE_TEXT), INK)
    assert plan.px(28 + 41) + hundred.get_width() <= plan.thermometer_lens.width - plan.px(14)
    ninety = line_surface("90", plan.mark_px(TYPE_SMALL), INK)
    assert plan.px(20) + ninety.get_width() <= plan.rule.width - plan.px(6)
    end = line_surface("100", plan.mark_px(TYPE_SMALL), INK)
    assert end.get_width() <= plan.rule.width - plan.px(6)
    message = line_surface("Mg½", plan.type_px(TYPE_TEXT), INK)
    assert message.get_height() <= plan.message.height


def test_more_water_stands_higher_and_stays_below_the_rim(plan):
    levels = [plan.water_level_px(mass_kg) for mass_kg in (0.0, 0.1, 0.2, 0.3, 0.4)]
    steps = [low - high for low, high in itertools.pairwise(levels)]
    assert min(steps) == pytest.approx(max(steps))
    assert min(steps) > 20.0 * min(plan.scale, 1.0)
    assert levels[-1] > plan.beaker.y
    assert levels[0] < plan.beaker.bottom


def test_a_ball_held_under_lifts_the_water_by_what_it_displaces(plan):
    sphere_kg = 4.0 / 3.0 * 3.14159265 * BALL_RADIUS_M**3 * 1000.0
    assert pytest.approx(sphere_kg, rel=0.002) == BALL_DISPLACES_KG
    lifted = plan.water_level_px(0.2) - plan.water_level_px(0.2, ball_under=True)
    alone = plan.water_level_px(0.2) - plan.water_level_px(0.2 + BALL_DISPLACES_KG)
    assert lifted == pytest.approx(alone)
    assert plan.water_level_px(0.4, ball_under=True) >= plan.beaker.y


def test_the_ball_under_water_lies_inside_the_glass(plan):
    x, y = plan.beaker_ball
    r = round(plan.table_ball_radius_px)
    assert encloses(plan.beaker, Box(x - r, y - r, 2 * r, 2 * r))


def test_a_carried_ball_shrinks_from_the_table_to_the_rule(plan):
    near, far = plan.px_per_m_at(plan.tray.x), plan.px_per_m_at(plan.rule.x)
    assert near > plan.px_per_m_at((plan.table.right + plan.rule.x) / 2) > far
    assert far == pytest.approx(plan.sight(1.0).px_per_m, rel=0.002)


def test_a_larger_window_draws_everything_larger():
    small, large = Layout((1366, 768)), Layout((2732, 1536))
    assert large.scale == pytest.approx(2.0)
    assert large.rule.height == 2 * small.rule.height


def test_a_smaller_window_shrinks_the_room_and_not_the_text():
    usual, small = Layout(), Layout((1024, 600))
    assert small.scale < 0.8
    for size in (TYPE_SMALL, TYPE_TEXT):
        assert small.type_px(size) == usual.type_px(size)
        assert small.mark_px(size) == pytest.approx(usual.mark_px(size), abs=1)


def test_the_book_is_wider_where_text_is_too_large_for_it():
    for size in WINDOWS:
        books = [Layout(size, scale).book.width for scale in SCALES]
        assert books == sorted(books)
        assert books[-1] > books[0]
        assert books[-1] <= size[0] / 2 + 1


def test_boxes_know_what_they_hold():
    box = Box(10, 20, 30, 40)
    assert (box.right, box.bottom, box.centre) == (40, 60, (25, 40))
    assert box.holds((10, 20))
    assert box.holds((39, 59))
    assert not box.holds((40, 59))
    assert meet(box, Box(39, 59, 5, 5))
    assert not meet(box, Box(40, 20, 5, 5))
    assert box.inset(5) == Box(15, 25, 20, 30)
    assert around(100.0, 50.0, 44, 44) == Box(78, 28, 44, 44)


def test_layout_theme_and_eye_need_no_window():
    check = (
        "import sys, sim.bench.screen.layout, sim.bench.ui.theme, sim.bench.screen.layout; "
        "sys.exit('pygame' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", check], check=False).returncode == 0


def test_the_bare_room_has_its_wall_floor_and_book_where_the_bench_has_them(layout):
    width, height = SIZE
    surface = pygame.display.set_mode(SIZE)
    show_bare_room(surface)
    column = [tuple(surface.get_at((5, y)))[:3] for y in range(height)]
    assert column.index(FLOOR_FAR) == layout.floor_line_px
    row = [tuple(surface.get_at((x, height // 2)))[:3] for x in range(width)]
    assert row.index(COVER) == layout.book.x
    assert row.index(PAGE) == layout.page.x
