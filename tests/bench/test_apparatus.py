import numpy as np
import pygame
import pytest

from sim.bench.model.seeing import BallSeen
from sim.bench.screen.apparatus import instruments, lens, rule, tongs, vessels, water
from sim.bench.screen.apparatus.room import draw_room, draw_towel
from sim.bench.screen.layout import Layout
from sim.bench.ui.theme import SPIRIT

EYES_M = (0.1, 0.283, 0.7, 1.0, 1.2)
HEIGHTS_M = (0.05, 0.283, 0.55, 0.9)


@pytest.fixture
def sheet(layout):
    surface = pygame.Surface(layout.corner[2:])
    surface.fill((255, 255, 255))
    return surface


@pytest.fixture(scope="module")
def room():
    return draw_room(Layout())


def pixels(surface):
    return pygame.surfarray.array3d(surface).astype(int)


def rubber(column):
    """Where a column of pixels is as dark and as grey as the ball."""
    return (column.max(axis=-1) < 120) & (np.ptp(column, axis=-1) < 14)


def lowest_edge(column):
    """The edge below the lowest pixel of the ball in a column."""
    return int(np.flatnonzero(rubber(column))[-1]) + 1


@pytest.mark.parametrize("held", [False, True])
@pytest.mark.parametrize("eye_m", EYES_M)
@pytest.mark.parametrize("height_m", HEIGHTS_M)
def test_the_lowest_pixel_of_the_ball_is_where_the_formula_says(
    layout, sheet, eye_m, height_m, held
):
    sight = layout.sight(eye_m)
    lens.draw_ball_seen(sheet, layout.ball_x_px, sight, BallSeen(height_m, held=held))
    found = lowest_edge(pixels(sheet)[layout.ball_x_px])
    assert found == pytest.approx(sight.ball_px(height_m), abs=1.0)


@pytest.mark.parametrize("eye_m", EYES_M)
@pytest.mark.parametrize("height_m", HEIGHTS_M)
def test_the_lens_shows_the_lowest_point_where_the_formula_says(layout, sheet, eye_m, height_m):
    near = layout.lens_sight(eye_m)
    sight = layout.lens_sight(eye_m, looked_at_m=near.to_m(near.ball_px(height_m)))
    lens.draw_lens(sheet, layout, sight, BallSeen(height_m))
    view = layout.lens_view
    column = pixels(sheet)[layout.lens_edge_px - 6, view.y : view.bottom]
    assert view.y + lowest_edge(column) == pytest.approx(sight.ball_px(height_m), abs=1.0)


def test_the_ball_in_the_lens_keeps_its_size(layout, sheet):
    sight = layout.lens_sight(0.5)
    lens.draw_lens(sheet, layout, sight, BallSeen(0.48))
    view = layout.lens_view
    column = pixels(sheet)[layout.lens_edge_px - 6, view.y : view.bottom]
    top, lowest = sight.ball_span_px(0.48, 0.04)
    assert rubber(column).sum() == pytest.approx(lowest - top, abs=3)


def test_kneeling_to_the_level_of_the_ball_moves_it_on_the_rule(layout, sheet):
    rows = []
    for eye_m in (1.2, 0.283):
        sheet.fill((255, 255, 255))
        sight = layout.lens_sight(eye_m, looked_at_m=0.26)
        lens.draw_lens(sheet, layout, sight, BallSeen(0.283))
        view = layout.lens_view
        column = pixels(sheet)[layout.lens_edge_px - 6, view.y : view.bottom]
        rows.append(lowest_edge(column))
    shift_m = (rows[0] - rows[1]) / sight.px_per_m
    assert shift_m == pytest.approx((1.2 - 0.283) * 0.05 / 0.95, abs=0.002)


def test_every_centimetre_of_the_rule_is_marked_within_a_pixel(layout, room):
    dark = pixels(room)[layout.rule.x + 3].sum(axis=-1) < 250
    sight = layout.sight(0.5)
    for cm in range(1, 100):
        row = round(sight.to_px(cm / 100.0))
        assert dark[row - 1 : row + 1].any(), cm


@pytest.mark.parametrize("eye_m", EYES_M)
def test_every_millimetre_of_the_lens_is_marked_and_the_wood_shows_between(layout, sheet, eye_m):
    sight = layout.lens_sight(eye_m)
    lens.draw_lens(sheet, layout, sight)
    view, per_mm = layout.lens_view, layout.lens_px_per_m // 1000
    bright = pixels(sheet)[layout.lens_edge_px + 4].sum(axis=-1)
    rows = [round(sight.to_px(mm / 1000.0)) for mm in range(1, 1000)]
    # The lens is shaded at its rim; in its middle the marks are read.
    marks = np.array([row for row in rows if view.y + 40 < row < view.bottom - 40])
    assert len(marks) > 30
    assert (bright[marks] < 250).all()
    assert (bright[marks + per_mm // 2] > 400).all()


@pytest.mark.parametrize("mass_kg", [0.05, 0.2, 0.4])
def test_water_stands_at_its_level(layout, sheet, mass_kg):
    vessels.draw_water(sheet, layout, mass_kg)
    x = layout.beaker.centre[0]
    touched = np.flatnonzero((pixels(sheet)[x] != 255).any(axis=-1))
    oval = layout.px(6)
    assert touched[0] == pytest.approx(layout.water_level_px(mass_kg), abs=oval)
    assert layout.beaker.bottom - layout.px(12) <= touched[-1] < layout.beaker.bottom


def test_two_levels_of_water_differ_by_what_was_poured(layout, sheet):
    tops = []
    for mass_kg in (0.1, 0.3):
        sheet.fill((255, 255, 255))
        vessels.draw_water(sheet, layout, mass_kg)
        column = pixels(sheet)[layout.beaker.centre[0]]
        tops.append(np.flatnonzero((column != 255).any(axis=-1))[0])
    poured = layout.water_level_px(0.1) - layout.water_level_px(0.3)
    assert tops[0] - tops[1] == pytest.approx(poured, abs=1.0)


def test_an_empty_beaker_holds_no_water(layout, sheet):
    vessels.draw_water(sheet, layout, 0.0)
    assert (pixels(sheet) == 255).all()


def call_out(layout, sheet, reading_c):
    """Rows of the thread's tip and of the divisions, in the thermometer's call-out."""
    instruments.draw_thermometer_lens(sheet, layout, layout.thermometer_bulb("beaker"), reading_c)
    inside = instruments.lens_inside(layout)
    picture = pixels(sheet)
    bore = inside.x + layout.px(28)
    rows = slice(inside.y, inside.bottom)
    red = np.flatnonzero((picture[bore - 3, rows] == SPIRIT).all(axis=-1))
    dark = picture[bore + layout.px(15), rows].sum(axis=-1) < 300
    starts = np.flatnonzero(dark & ~np.roll(dark, 1))
    return int(red[0]), starts


def test_a_whole_degree_ends_on_a_division_and_a_half_between_two(layout, sheet):
    tip, divisions = call_out(layout, sheet, 47.0)
    assert np.abs(divisions - tip).min() <= 1
    tip, divisions = call_out(layout, sheet, 47.5)
    above, below = divisions[divisions <= tip][-1], divisions[divisions > tip][0]
    assert tip - above == pytest.approx(below - tip, abs=2)
    assert min(tip - above, below - tip) >= 6


def test_the_call_out_shows_fifteen_degrees(layout, sheet):
    _, divisions = call_out(layout, sheet, 62.25)
    assert 14 <= len(divisions) <= 16


def test_the_thread_climbs_with_the_reading(layout):
    ends = [instruments.thread_end(layout, (200, 400), c) for c in (0.0, 20.0, 60.0, 100.0)]
    rows = [y for _, y in ends]
    assert rows == sorted(rows, reverse=True)
    assert (rows[1] - rows[2]) == pytest.approx(rows[2] - rows[3])


def thread(picture):
    """Rows and middle columns of the red thread on its way up a white sheet."""
    red = (picture[..., 0] > 150) & (picture[..., 1] < 90) & (picture[..., 2] < 90)
    rows = np.flatnonzero(red.any(axis=0))
    return rows, np.array([np.flatnonzero(red[:, row]).mean() for row in rows])


@pytest.mark.parametrize("reading_c", [5.0, 20.0, 55.0, 90.0])
def test_the_thread_ends_at_the_stems_own_mark_of_the_reading(reading_c):
    # Found on the picture alone, three times as large: the full thread tells how the stem
    # leans, and the long marks beside it stand at -10, 0, 10, ... 110 C from below.
    large = Layout((3 * 1366, 3 * 768))
    sheet = pygame.Surface((large.jug.x, large.table.bottom))

    def drawn(c):
        sheet.fill((255, 255, 255))
        instruments.draw_thermometer(sheet, large, large.thermometer_bulb("beaker"), c)
        return pixels(sheet)

    full = drawn(110.0)
    lean = np.polyfit(*thread(full), 1)
    rows = np.arange(thread(full)[0][0] - 12, large.beaker.bottom - 40 * 3)
    beside = np.round(np.polyval(lean, rows) + 8.5).astype(int)
    dark = full[beside, rows].sum(axis=-1) < 480
    marks = rows[np.flatnonzero(dark & ~np.roll(dark, 1))]
    assert len(marks) == 13
    expected = np.interp(reading_c, np.arange(-10, 111, 10), marks[::-1])
    top = thread(drawn(reading_c))[0][0]
    per_k = (marks[-1] - marks[0]) / 120.0
    assert top == pytest.approx(expected, abs=0.6 * per_k)


def test_steam_needs_hot_water_and_grows_with_it(layout, sheet):
    inked = []
    for temperature_c in (30.0, 60.0, 90.0):
        sheet.fill((180, 180, 180))
        water.draw_steam(sheet, (220.0, 340.0), 80.0, temperature_c, 1.5)
        inked.append(np.abs(pixels(sheet) - 180).sum())
    assert inked[0] == 0
    assert 0 < inked[1] < inked[2]


def test_steam_moves_with_the_time_alone(layout, sheet):
    def seen(time_s):
        sheet.fill((180, 180, 180))
        water.draw_steam(sheet, (220.0, 340.0), 80.0, 90.0, time_s)
        return pixels(sheet)

    first = seen(1.5)
    assert (first != seen(1.6)).any()
    assert (first == seen(1.5)).all()


VALUES = {"reading_c": 60.0, "eye_m": 0.4, "wet": True, "word": "running"}


def corner(surface, room, layout, **changes):
    """Everything once, from back to front."""
    values = VALUES | changes
    surface.blit(room, (0, 0))
    on_the_table(surface, layout, values["reading_c"], values["word"])
    at_the_rule(surface, layout, values["eye_m"], values["wet"])


def on_the_table(surface, layout, reading_c, word):
    draw_towel(surface, layout)
    instruments.draw_stopwatch(surface, layout, 75.0, word)
    vessels.draw_vessel(surface, layout, "kettle", (60, 190), 30)
    water.draw_stream(surface, vessels.vessel_lip(layout, "kettle", (60, 190), 30), 400.0, 6)
    vessels.draw_vessel(surface, layout, "jug")
    water.draw_floor_puddle(surface, layout)
    water.draw_bench_puddle(surface, layout)
    vessels.draw_beaker_back(surface, layout)
    bulb = layout.thermometer_bulb("beaker")
    instruments.draw_thermometer(surface, layout, bulb, reading_c)
    vessels.draw_water(surface, layout, 0.3)
    vessels.draw_beaker_front(surface, layout)
    water.draw_steam(surface, layout.beaker.centre, 80.0, 80.0, 2.0)
    instruments.draw_thermometer_lens(surface, layout, bulb, reading_c)
    tongs.draw_tongs_at_rest(surface, layout)
    tongs.draw_resting_shadow(surface, 420.0, 470.0, 23.0)


def at_the_rule(surface, layout, eye_m, wet):
    rule.draw_jaws(surface, layout)
    rule.draw_marker(surface, layout, 1.0)
    rule.draw_eye_mark(surface, layout, eye_m)
    lens.draw_camera_on_shelf(surface, layout)
    lens.draw_camera_on_stand(surface, layout, 0.3)
    seen = BallSeen(0.38, wet=wet)
    tongs.draw_floor_shadow(surface, layout, layout.ball_x_px, seen.lowest_m, 12.0)
    lens.draw_lens(surface, layout, layout.lens_sight(eye_m), seen)
    lens.draw_ball_seen(surface, layout.ball_x_px, layout.sight(eye_m), seen)


def test_the_same_values_give_the_same_picture(layout, room, sheet):
    corner(sheet, room, layout)
    first = pixels(sheet)
    corner(sheet, room, layout, reading_c=20.0, eye_m=1.1, wet=False)
    corner(sheet, room, layout)
    assert (pixels(sheet) == first).all()


def test_a_room_painted_again_is_the_same_room(layout, room):
    assert (pixels(draw_room(layout)) == pixels(room)).all()


@pytest.mark.parametrize(
    "change", [{"reading_c": 60.5}, {"eye_m": 0.41}, {"wet": False}, {"word": "stopped"}], ids=str
)
def test_a_changed_value_changes_the_picture(layout, room, sheet, change):
    corner(sheet, room, layout)
    first = pixels(sheet)
    corner(sheet, room, layout, **change)
    assert (pixels(sheet) != first).any()


def test_the_lens_gives_the_surface_back_unclipped(layout, sheet):
    sheet.set_clip(pygame.Rect(0, 0, 880, 700))
    lens.draw_lens(sheet, layout, layout.lens_sight(0.5), BallSeen(0.5, held=True))
    assert sheet.get_clip() == pygame.Rect(0, 0, 880, 700)


def test_the_ball_in_the_lens_stays_inside_the_glass(layout, sheet):
    before = pixels(sheet)
    lens.draw_lens(sheet, layout, layout.lens_sight(0.5), BallSeen(0.42, held=True))
    view = layout.lens_view
    assert (pixels(sheet)[view.right :] == before[view.right :]).all()
    below = slice(view.bottom, layout.message.y)
    assert (pixels(sheet)[view.x :, below] == before[view.x :, below]).all()


@pytest.mark.parametrize(("tilt_deg", "falls"), [(0, False), (40, True)])
def test_a_tilted_kettle_lowers_its_lip(layout, tilt_deg, falls):
    upright = vessels.vessel_lip(layout, "kettle", (60, 190), 0)
    tilted = vessels.vessel_lip(layout, "kettle", (60, 190), tilt_deg)
    assert (tilted[1] > upright[1] + 10.0) is falls


def test_a_tilted_jug_lowers_its_lip(layout):
    upright, tilted = (vessels.vessel_lip(layout, "jug", (260, 260), tilt) for tilt in (0, 40))
    assert tilted[1] > upright[1] + 10.0


def test_the_lip_of_a_tilted_kettle_is_where_its_spout_is_drawn(layout, sheet):
    at, tilt = (200, 200), 35
    vessels.draw_vessel(sheet, layout, "kettle", at, tilt)
    x, y = (round(v) for v in vessels.vessel_lip(layout, "kettle", at, tilt))
    inked = (pixels(sheet) != 255).any(axis=-1)
    assert inked[x - 6 : x + 7, y - 6 : y + 7].any()
    assert not inked[x + 14 :, :].any()
