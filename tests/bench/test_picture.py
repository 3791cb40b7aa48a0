"""The picture as a function of the desk: same desk, same picture; the ball where it must be."""

import os
from dataclasses import replace
from pathlib import Path

import msgspec
import numpy as np
import pygame
import pytest

from sim.bench.model.after import PAGES, desk_for
from sim.bench.model.desk import ball_height_m
from sim.bench.model.keys import WITH_THE_MOUSE
from sim.bench.model.seeing import ball_seen, lens_seen
from sim.bench.screen.help_leaf import help_set
from sim.bench.screen.layout import Layout
from sim.bench.screen.lettering import MEASURE
from sim.bench.screen.picture import picture, ribbon_type_px, ribbons
from sim.bench.ui.marks import joined
from sim.bench.ui.theme import FLOOR_NEAR, TYPE_SMALL
from sim.state import Place, Setup, beginning
from tests.bench.books import FULL
from tests.bench.hands import bench, key, keys, text, wait
from tests.bench.measures import encloses, meet

K = pygame
GOLDEN = Path(__file__).parent / "golden"
ACCEPT = "REBOUND_ACCEPT_PICTURES"
SHRINK = 4
"""Golden pictures are kept at a quarter of the size: letters blur, apparatus stays."""


def pixels(at):
    surface = pygame.Surface(at.surface.get_size())
    picture(surface, at.desk, at.seen())
    return pygame.surfarray.array3d(surface).astype(int)


def soaking():
    at = bench()
    keys(at, K.K_h, K.K_h, K.K_h, K.K_c, K.K_b)
    wait(at, 4.0)
    return at


def at_the_mark():
    at = soaking()
    keys(at, K.K_t, K.K_r, *[K.K_UP] * 0)
    while at.desk.hand_m < 0.9995:
        key(at, K.K_UP, K.KMOD_SHIFT)
    return at


def dropped():
    at = at_the_mark()
    key(at, K.K_SPACE)
    return at


def at_the_apex(eye_m):
    at = dropped()
    at.desk = replace(at.desk, eye_m=eye_m)
    wait(at, at.desk.fall.path.apex_times_s[1])
    return at


def filmed():
    at = soaking()
    keys(at, K.K_t, K.K_r)
    at.desk = replace(at.desk, eye_m=0.3)
    keys(at, K.K_k, K.K_SPACE)
    wait(at, 3.0)
    key(at, K.K_PERIOD)
    return at


def spilt():
    at = bench()
    key(at, K.K_h, K.KMOD_ALT)
    wait(at, 2.0)
    return at


def in_the_bath():
    at = bench()
    keys(at, *[K.K_d] * 8, K.K_m, K.K_s)
    wait(at, 45.0)
    keys(at, K.K_v)
    wait(at, 1.0)
    return at


STATES = {
    "first view": bench,
    "in the bath": in_the_bath,
    "soaking": soaking,
    "at the mark": at_the_mark,
    "apex from a high eye": lambda: at_the_apex(1.2),
    "apex from its own level": lambda: at_the_apex(0.35),
    "film": filmed,
    "spilt": spilt,
}


@pytest.mark.parametrize("name", STATES)
def test_the_same_desk_gives_the_same_picture(name):
    at = STATES[name]()
    np.testing.assert_array_equal(pixels(at), pixels(at))


def test_different_states_give_different_pictures():
    shown = {name: pixels(make()) for name, make in STATES.items()}
    names = list(shown)
    for number, one in enumerate(names):
        for other in names[number + 1 :]:
            assert np.abs(shown[one] - shown[other]).sum() > 10_000, (one, other)


@pytest.mark.parametrize("name", STATES)
def test_the_corner_looks_as_it_was_accepted(name):
    at = STATES[name]()
    surface = pygame.Surface(at.surface.get_size())
    picture(surface, at.desk, at.seen())
    corner = surface.subsurface(at.seen().layout.corner)
    small = pygame.transform.smoothscale(
        corner, (corner.get_width() // SHRINK, corner.get_height() // SHRINK)
    )
    path = GOLDEN / f"{name.replace(' ', '-')}.png"
    if os.environ.get(ACCEPT):
        GOLDEN.mkdir(exist_ok=True)
        pygame.image.save(small, path)
    accepted = pygame.surfarray.array3d(pygame.image.load(path)).astype(int)
    apart = np.abs(pygame.surfarray.array3d(small).astype(int) - accepted).max(axis=2)
    assert apart.mean() < 1.0, "the corner as a whole looks different"
    assert np.quantile(apart, 0.999) < 40, "something in the corner looks different"


@pytest.mark.parametrize("eye_m", [0.05, 0.35, 0.8, 1.2])
def test_the_ball_in_the_corner_is_level_with_its_own_mark_whatever_the_eye(eye_m):
    at = at_the_apex(eye_m)
    layout = at.seen().layout
    height_m = ball_height_m(at.desk)
    expected_px = layout.rule.bottom - height_m * layout.rule.height
    with_ball = pixels(at)
    at.desk = replace(at.desk, fall=None, state=replace(at.desk.state, place=Place.WATER))
    column = layout.ball_x_px - 4
    changed = np.abs(with_ball[column] - pixels(at)[column]).max(axis=1) > 40
    near = np.flatnonzero(changed[round(expected_px) - 30 : round(expected_px) + 6])
    lowest_px = round(expected_px) - 30 + near.max() + 1
    assert abs(lowest_px - expected_px) <= 1.5


@pytest.mark.parametrize("eye_m", [0.05, 0.8, 1.2])
def test_the_ball_hangs_5_cm_before_the_rule_and_the_eye_is_1_m_away(eye_m):
    """The shift on the screen and that of the reader who calls out, by similar triangles.

    From 1 m away a thing 5 cm before the rule is seen against the mark that lies 5/95 of its
    height above the eye further on.
    """
    at = bench()
    keys(at, K.K_a, K.K_r)
    at.desk = replace(at.desk, eye_m=eye_m)
    key(at, K.K_SPACE)
    read = at.desk.state.last_drop.called_out
    pointed_at_m = read.apex_m + read.instant_m + read.place_m
    assert read.parallax_m == pytest.approx((pointed_at_m - eye_m) * 5.0 / 95.0, abs=1e-9)
    wait(at, at.desk.fall.path.apex_times_s[1])
    layout, apex_m = at.seen().layout, at.desk.state.last_drop.apex_m
    lens = layout.lens_sight(eye_m)
    seen_m = lens.to_m(lens.ball_px(apex_m))
    assert seen_m - apex_m == pytest.approx((apex_m - eye_m) * 5.0 / 95.0, abs=1e-9)


def test_the_trajectory_on_the_screen_is_that_of_the_flight():
    at = dropped()
    path, began_s = at.desk.fall.path, at.desk.fall.began_s
    assert path.apex_heights_m[1] == pytest.approx(at.desk.state.last_drop.apex_m, abs=1e-9)
    for _ in range(90):
        wait(at, 1.0 / 60.0)
        now_s = at.desk.clock_s - began_s
        assert ball_height_m(at.desk) == pytest.approx(float(path.height_m(now_s)), abs=1e-12)
    assert len(path.apex_heights_m) == 4


def test_the_ball_falls_before_the_rule_in_true_time():
    """Frame by frame as the window shows them, against the textbook's g t^2 / 2.

    Air takes a squash ball less than 2 % of its way in the first metre. The eye is level with
    where the ball must be, so that it is seen against its own mark.
    """
    pygame.display.init()
    pygame.display.set_mode((64, 64))
    at = at_the_mark()
    released_m, frames = at.desk.hand_m, 18
    key(at, K.K_SPACE)
    for _ in range(frames):
        at.frame(1.0 / 60.0)
    expected_m = released_m - 9.80665 / 2.0 * (frames / 60.0) ** 2
    at.desk = replace(at.desk, eye_m=expected_m)
    layout = at.seen().layout
    column = pixels(at)[layout.ball_x_px, : layout.rule.bottom - 20]
    black = np.flatnonzero((column.max(axis=1) < 90) & (np.ptp(column, axis=1) < 14))
    seen_m = (layout.rule.bottom - (black[-1] + 1)) / layout.rule.height
    assert seen_m == pytest.approx(expected_m, abs=0.02 * (released_m - expected_m))


@pytest.mark.parametrize("frames_per_second", [60, 240])
def test_the_film_goes_on_by_a_frame_of_its_camera(frames_per_second):
    """Heights in the film over ten frames on either side of the apex, against g t^2 / 2."""
    at = soaking()
    keys(at, K.K_t, K.K_r)
    if frames_per_second == 60:
        key(at, K.K_k, K.KMOD_SHIFT)
    at.desk = replace(at.desk, eye_m=0.3)
    keys(at, K.K_k, K.K_SPACE)
    wait(at, 3.0)
    assert at.desk.state.camera.camera.frames_per_second == frames_per_second
    heights_m = {}
    for frame in (-5, 0, 5):
        at.desk = replace(at.desk, frame=frame)
        heights_m[frame] = lens_seen(at.desk, ball_seen(at.desk)).ball.lowest_m
    # Second difference of a fall: g (5 frames)^2, whatever part of a frame the apex is missed by.
    fallen_m = 2.0 * heights_m[0] - heights_m[-5] - heights_m[5]
    assert fallen_m == pytest.approx(9.80665 * (5.0 / frames_per_second) ** 2, rel=0.02)


def test_moving_the_eye_to_the_level_of_the_bounce_removes_the_parallax():
    at = at_the_apex(1.2)
    apex_m = at.desk.state.last_drop.apex_m
    sight = Layout().lens_sight(1.2)
    assert abs(sight.ball_px(apex_m) - sight.to_px(apex_m)) > 100.0
    level = Layout().lens_sight(apex_m)
    assert level.ball_px(apex_m) == pytest.approx(level.to_px(apex_m), abs=1e-9)


def test_the_film_shows_the_ball_still_and_high_in_its_highest_frame():
    at = filmed()
    heights = []
    for frame in range(-5, 6):
        at.desk = replace(at.desk, frame=frame)
        through = lens_seen(at.desk, ball_seen(at.desk))
        heights.append(through.ball.lowest_m)
        assert through.eye_m == at.desk.state.camera.height_m
    assert max(heights) == heights[5]
    apex_m = at.desk.state.last_drop.apex_m
    # Half a frame at 240 a second: g/2 (1/480 s)^2 is a fiftieth of a millimetre.
    assert apex_m - heights[5] < 5e-5


@pytest.mark.parametrize("size", [(1024, 600), (1366, 768), (3840, 2160)])
@pytest.mark.parametrize("scale", [1.0, 1.25, 1.5, 2.0])
@pytest.mark.parametrize("page", PAGES)
def test_every_line_of_every_page_stays_inside_its_page(page, scale, size):
    at = bench(size=size)
    at.desk = replace(at.desk, page=page, text_scale=scale)
    seen = at.seen()
    for placed in seen.sheet.placed:
        frames = [line for frame in placed.frames if frame.writing is None for line in frame.lines]
        for line in (*placed.lines, *frames):
            width = MEASURE.width_px(line.text.rstrip(), line.size_px, line.bold)
            assert line.x >= 0
            assert line.x + width <= seen.sheet.width_px, line.text


OF_THE_SHEET = {"", "→", "↑", "Caution", "Struck", "out:"}
"""What setting a page adds to the words of its blocks."""


def joined_words(held):
    """Every word of whatever a block holds; a stroke keeps its unit beside it."""
    if isinstance(held, str):
        return set(joined(held).replace("\n", " ").split(" ")) | set(held.split())
    parts = held.values() if isinstance(held, dict) else held
    several = isinstance(held, dict | list | tuple)
    return set().union(*map(joined_words, parts)) if several else set()


@pytest.mark.parametrize("size", [(1024, 600), (1366, 768), (3840, 2160)])
@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("page", PAGES)
def test_no_word_of_a_page_is_broken_inside(page, scale, size):
    """Every line of a whole book, and of an empty one, is made of whole words of its block."""
    for state in (beginning(Setup(seed=3)), FULL):
        at = bench(size=size)
        at.desk = replace(desk_for(state), page=page, text_scale=scale)
        for placed in at.seen().sheet.placed:
            whole = OF_THE_SHEET | joined_words(msgspec.to_builtins(placed.source))
            lines = (*placed.lines, *(line for frame in placed.frames for line in frame.lines))
            broken = [line.text for line in lines if not whole.issuperset(line.text.split(" "))]
            assert not broken, broken


@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("size", [(1024, 600), (1366, 768), (1920, 1080), (3840, 2160)])
def test_the_help_leaf_holds_all_its_lines(size, scale):
    layout = Layout(size, scale)
    leaf = help_set(layout)
    right = leaf.area.right
    columns = sorted({line.keys_at[0] for line in leaf.lines})
    for line in leaf.lines:
        ends = [x for x in columns if x > line.keys_at[0]] + [right]
        width = MEASURE.width_px(line.words, leaf.size_px)
        assert line.words_at[0] + width <= ends[0], line.words
        assert line.keys_at[1] + leaf.size_px <= leaf.hands_at[1]
    assert " ".join(leaf.hands) == WITH_THE_MOUSE
    step = MEASURE.line_height_px(leaf.size_px)
    assert leaf.hands_at[1] + len(leaf.hands) * step <= leaf.area.bottom


@pytest.mark.parametrize("size", [(1024, 600), (1366, 768), (3840, 2160)])
@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
def test_every_ribbon_holds_its_name_at_a_readable_size(scale, size):
    layout = Layout(size, scale)
    type_px = ribbon_type_px(layout, tuple(PAGES))
    assert type_px >= 0.9 * layout.type_scale * TYPE_SMALL
    placed = ribbons(layout, tuple(PAGES))
    for number, (name, box) in enumerate(placed):
        assert MEASURE.width_px(name, type_px, True) + 8 <= box.width
        assert encloses(layout.bookmarks, box)
        assert not any(meet(box, other) for _, other in placed[number + 1 :])


def test_a_long_refusal_is_wrapped_inside_the_corner_and_not_over_it():
    at = bench()
    key(at, K.K_TAB)
    text(at, "40 furlongs")
    key(at, K.K_TAB)
    key(at, K.K_RETURN)
    assert len(at.desk.note.text) > 20
    shown = pixels(at)
    layout = at.seen().layout
    edge = shown[layout.corner.right - 3, layout.message.y : layout.message.bottom]
    assert np.abs(edge - np.array(FLOOR_NEAR)).max() < 60
