"""Graph paper: places and values there and back, the view, the pencil by keys and pointer."""

import pygame as K
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.marking.questions import GRAPH
from analysis.marking.work import SIDES, Axis
from sim import actions as act
from sim.bench.model.desk import PAPER, SQUARES
from sim.bench.model.pages.book_page import field_name
from sim.bench.model.pages.graph_page import (
    NO_AXES,
    NO_CROSS,
    NO_LINE,
    TOOLS,
    Axes,
    axes_of,
    curve,
    value_at,
)
from sim.bench.screen.picture import picture
from sim.bench.ui.blocks import (
    CORNER,
    KEPT_IN_VIEW,
    ZOOMS,
    PaperPoint,
    PaperView,
    Pencil,
    Tool,
    nearest,
)
from sim.bench.ui.theme import Box
from sim.state import Setup
from tests.bench.books import FULL, focus, move, open_page, press, sitting, write
from tests.bench.hands import bench, click, drag, key, keys, mouse, place_of
from tests.sim.steps import replay

ACROSS, UP = Axis("temperature / °C", 20.0, 5.0), Axis("rebound height / cm", 20.0, 5.0)
AXES = Axes(ACROSS, UP)
LINE = field_name(GRAPH, "line")
GRID = Box(40, 60, 320, 400)

tenths = st.integers(0, 10 * SQUARES.across).map(lambda n: n / 10)
places = st.builds(PaperPoint, tenths, st.integers(0, 10 * SQUARES.up).map(lambda n: n / 10))
axes = st.builds(
    lambda start, digit, power: Axis("q / u", start * 10.0**power, digit * 10.0**power),
    st.integers(-50, 200),
    st.sampled_from([1, 2, 3, 4, 5, 7]),
    st.integers(-3, 3),
)


def pencil(zoom=1):
    return Pencil(SQUARES, CORNER, zoom=zoom)


@given(places, axes, axes)
def test_a_place_comes_back_from_its_values(place, across, up):
    both = Axes(across, up)
    back = both.place(both.values(place))
    assert back.across == pytest.approx(place.across, abs=1e-6)
    assert back.up == pytest.approx(place.up, abs=1e-6)


@given(places, st.sampled_from(ZOOMS), st.integers(1, 7))
def test_a_place_comes_back_from_the_screen_to_within_a_pixel(place, zoom, size):
    grid = GRID._replace(width=80 * size, height=100 * size)
    view = PaperView(grid, size * zoom, pencil(zoom).moved_to(place).corner)
    x, y = view.to_px(place)
    back = view.to_place(round(x), round(y))
    assert abs(back.across - place.across) <= 0.5 / view.px_per_square + 1e-9
    assert abs(back.up - place.up) <= 0.5 / view.px_per_square + 1e-9


def test_values_carry_no_dust():
    assert value_at(Axis("q", 20.0, 5.0), 37.0) == 38.5
    assert value_at(Axis("q", 0.0, 0.1), 3.0) == 0.03


@given(st.floats(-500, 500), st.floats(-500, 500))
def test_the_pencil_stays_on_the_sheet_at_a_tenth_of_a_square(across, up):
    at = pencil().moved_to(PaperPoint(across, up)).point
    assert 0.0 <= at.across <= SQUARES.across
    assert 0.0 <= at.up <= SQUARES.up
    assert abs(at.across * 10 - round(at.across * 10)) < 1e-9
    if 0 <= across <= SQUARES.across:
        assert abs(at.across - across) <= 0.05 + 1e-9


@given(places, places, st.sampled_from(ZOOMS))
def test_what_is_seen_follows_the_pencil_and_stays_on_the_sheet(first, second, zoom):
    paper = pencil(zoom).moved_to(first).moved_to(second)
    wide, tall = SQUARES.across / zoom, SQUARES.up / zoom
    left, low = paper.corner
    assert 0 <= left <= SQUARES.across - wide
    assert 0 <= low <= SQUARES.up - tall
    assert left <= second.across <= left + wide
    assert low <= second.up <= low + tall
    if zoom > 1 and KEPT_IN_VIEW < second.across < SQUARES.across - KEPT_IN_VIEW:
        assert second.across - left >= KEPT_IN_VIEW - 1.0


def test_squares_are_square_in_every_view():
    for zoom in ZOOMS:
        view = PaperView(GRID, 4 * zoom, PaperPoint(0.0, 0.0))
        x0, y0 = view.to_px(PaperPoint(0.0, 0.0))
        x1, y1 = view.to_px(PaperPoint(10.0, 10.0))
        assert x1 - x0 == y0 - y1 == 40 * zoom


def test_the_nearest_cross_is_found_and_none_that_is_far():
    crosses = (PaperPoint(10.0, 10.0), PaperPoint(11.0, 10.0), PaperPoint(40.0, 40.0))
    assert nearest(crosses, PaperPoint(10.8, 10.0)) == 1
    assert nearest(crosses, PaperPoint(41.4, 38.6)) == 2
    assert nearest(crosses, PaperPoint(60.0, 60.0)) is None
    assert nearest((), PaperPoint(0.0, 0.0)) is None


@given(st.lists(places, min_size=3, max_size=6, unique=True))
def test_a_curve_goes_through_its_points(points):
    line = curve(tuple(points))
    assert set(points) <= set(line)
    assert len(line) > len(points)


def test_a_curve_through_points_in_a_row_is_straight():
    line = curve(
        (
            PaperPoint(0.0, 0.0),
            PaperPoint(10.0, 5.0),
            PaperPoint(20.0, 10.0),
            PaperPoint(30.0, 15.0),
        )
    )
    assert all(place.up == pytest.approx(place.across / 2) for place in line)


# At the bench.


def drawing(with_axes=True):
    """A bench with the graph's page open and the pencil in hand."""
    at = bench()
    key(at, K.K_5, K.KMOD_CTRL)
    if with_axes:
        for question in ("across title", "across start", "across large square"):
            write(at, f"Graph.{question}", {"title": "t / °C"}.get(question[7:], "5"))
        for question, words in (("title", "h / cm"), ("start", "20"), ("large square", "2.5")):
            write(at, f"Graph.up {question}", words)
    focus(at, PAPER)
    return at


@given(place=places)
def test_a_cross_by_keys_is_where_it_should_be(place):
    at = DRAWN
    focus(at, PAPER)
    move(at, place)
    key(at, K.K_RETURN)
    across, up = at.desk.state.book.crosses[-1]
    assert across == pytest.approx(5.0 + place.across * 0.5, abs=0.02)
    assert up == pytest.approx(20.0 + place.up * 0.25, abs=0.01)
    key(at, K.K_DELETE)
    assert not at.desk.state.book.crosses


DRAWN = drawing()


def window_point(at, place):
    """Where a place of the sheet is in the window."""
    seen = at.seen()
    x, y = seen.sheet.frame(PAPER).paper[1].to_px(place)
    return round(x) + seen.view.x, round(y) + seen.view.y - seen.scroll_px


@pytest.mark.parametrize("closer", [0, 1, 2])
@pytest.mark.parametrize("place", [(12.0, 33.0), (0.0, 0.0), (7.5, 11.5)])
def test_a_cross_by_the_pointer_is_within_half_a_small_square(place, closer):
    at = drawing()
    move(at, place)
    keys(at, *[K.K_PLUS] * closer)
    point = window_point(at, PaperPoint(*place))
    mouse(at, "down", (point[0] + 9, point[1] - 14))
    mouse(at, "move", (point[0] + 3, point[1]))
    mouse(at, "move", point)
    assert not at.desk.state.book.crosses
    mouse(at, "up", point)
    (cross,) = at.desk.state.book.crosses
    found = Axes(Axis("", 5.0, 5.0), Axis("", 20.0, 2.5)).place(cross)
    assert abs(found.across - place[0]) <= 0.25
    assert abs(found.up - place[1]) <= 0.25


def test_past_the_edge_the_sheet_moves_along_and_nothing_is_put_down():
    at = drawing()
    move(at, (10.0, 10.0))
    keys(at, K.K_PLUS, K.K_PLUS)
    start = window_point(at, PaperPoint(10.0, 10.0))
    mouse(at, "down", start)
    mouse(at, "move", (start[0] + 300, start[1]))
    mouse(at, "up", (start[0] + 300, start[1]))
    assert at.desk.pencil.corner.across > 0.0
    assert not at.desk.state.book.crosses
    assert at.carried is None


def test_a_line_is_laid_by_its_two_ends_and_taken_away_again():
    at = drawing()
    press(at, "Graph.line")
    focus(at, PAPER)
    move(at, (10.0, 20.0))
    key(at, K.K_RETURN)
    key(at, K.K_RETURN)
    assert at.desk.pencil.laid == (PaperPoint(10.0, 20.0),)
    move(at, (70.0, 80.0))
    key(at, K.K_RETURN)
    assert at.desk.state.book.line == ((10.0, 25.0), (40.0, 40.0))
    assert at.desk.pencil.laid == ()
    press(at, "Graph.no line")
    assert at.desk.state.book.line == ()
    assert at.desk.focus == PAPER


def test_a_curve_goes_on_until_its_last_point_is_pressed_twice():
    at = drawing()
    press(at, "Graph.curve")
    focus(at, PAPER)
    for place in ((0.0, 0.0), (20.0, 30.0), (30.0, 30.0)):
        move(at, place)
        key(at, K.K_RETURN)
    key(at, K.K_BACKSPACE)
    move(at, (40.0, 50.0))
    keys(at, K.K_RETURN, K.K_RETURN)
    assert at.desk.state.book.line == ((5.0, 20.0), (15.0, 27.5), (25.0, 32.5))


def test_the_rubber_takes_the_nearest_cross_and_says_where_there_is_none():
    at = drawing()
    for place in ((10.0, 10.0), (30.0, 30.0)):
        move(at, place)
        key(at, K.K_RETURN)
    press(at, "Graph.rub out")
    assert at.desk.pencil.tool is Tool.RUB_OUT
    focus(at, PAPER)
    move(at, (50.0, 50.0))
    key(at, K.K_RETURN)
    assert at.desk.note.text == NO_CROSS
    move(at, (10.5, 9.5))
    key(at, K.K_RETURN)
    assert at.desk.state.book.crosses == ((20.0, 27.5),)


def test_without_axes_nothing_is_plotted():
    at = drawing(with_axes=False)
    key(at, K.K_RETURN)
    assert at.desk.note.text == NO_AXES
    assert not at.desk.state.book.crosses


def test_what_is_drawn_replays():
    at = drawing()
    move(at, (12.3, 45.6))
    key(at, K.K_RETURN)
    assert any(isinstance(action, act.PlotPoint) for action in at.keeper.actions)
    assert replay(Setup(seed=3), at.keeper.actions).book == at.desk.state.book


def test_the_pencil_does_nothing_at_the_bench_s_expense():
    at = drawing()
    before = at.desk.state.water_kg, at.desk.hand_m
    keys(at, K.K_UP, K.K_h, K.K_c, K.K_SPACE)
    assert (at.desk.state.water_kg, at.desk.hand_m) == before


# On the screen.


def ink_near(at, place, reach=2):
    """How dark the darkest pixel is about a place, 0 to 765."""
    picture(at.surface, at.desk, at.seen())
    x, y = window_point(at, place)
    pixels = K.surfarray.array3d(at.surface)[x - reach : x + reach + 1, y - reach : y + reach + 1]
    return int(pixels.astype(int).sum(axis=2).min())


@pytest.mark.parametrize("closer", [0, 2])
def test_a_cross_and_a_line_are_seen_where_they_are(closer):
    at = drawing()
    move(at, (43.5, 52.5))
    keys(at, *[K.K_PLUS] * closer)
    assert ink_near(at, PaperPoint(38.5, 47.5)) > 300
    before = ink_near(at, PaperPoint(43.5, 52.5))
    key(at, K.K_RETURN)
    assert ink_near(at, PaperPoint(43.5, 52.5)) < before - 100
    press(at, "Graph.line")
    focus(at, PAPER)
    for place in ((33.5, 42.5), (43.5, 52.5)):
        move(at, place)
        key(at, K.K_RETURN)
    assert ink_near(at, PaperPoint(38.5, 47.5)) < 250


def test_the_axes_carry_the_student_s_own_numbers_and_titles():
    at = drawing()
    words = {line.text for line in at.seen().sheet.frame(PAPER).lines}
    assert {f"{5 * n}" for n in range(1, 10)} <= words
    assert {f"{20 + 2.5 * n:g}" for n in range(11)} <= words
    assert "→ t / °C" in words
    assert "↑ h / cm" in words


def test_the_numbers_go_along_with_the_view():
    at = drawing()
    move(at, (80.0, 100.0))
    keys(at, K.K_PLUS, K.K_PLUS)
    words = {line.text for line in at.seen().sheet.frame(PAPER).lines}
    assert {"45", "40"} <= words
    assert "20" not in words


def graph_with_axes(size=(1366, 768)):
    at = sitting(FULL)
    at.surface = K.Surface(size)
    open_page(at, GRAPH)
    return at


def on_sheet(at, across, up):
    """The place of the window at which a place of the sheet is seen."""
    seen = at.seen()
    x, y = seen.sheet.frame(PAPER).paper[1].to_px(PaperPoint(across, up))
    return round(x) + seen.view.x, round(y) + seen.view.y - at.scroll_px


def test_press_draw_and_let_go_lays_the_line():
    at = graph_with_axes()
    press(at, LINE)
    start, end = on_sheet(at, 10.0, 20.0), on_sheet(at, 60.0, 80.0)
    drag(at, start, end, 0.2)
    axes = axes_of(at.desk.state)
    laid = axes.places(at.desk.state.book.line)
    assert laid[0] == pytest.approx((10.0, 20.0), abs=0.2)
    assert laid[-1] == pytest.approx((60.0, 80.0), abs=0.2)
    assert at.desk.pencil.laid == ()


def test_two_clicks_lay_the_line_too_however_the_hand_trembles():
    at = graph_with_axes()
    press(at, LINE)
    before = at.desk.state.book.line
    for place in ((10.0, 20.0), (60.0, 80.0)):
        assert at.desk.state.book.line == before
        x, y = on_sheet(at, *place)
        mouse(at, "down", (x, y))
        mouse(at, "move", (x + 3, y - 2))
        mouse(at, "up", (x + 3, y - 2))
    laid = axes_of(at.desk.state).places(at.desk.state.book.line)
    assert laid[-1] == pytest.approx((60.0, 80.0), abs=0.2)


def test_sheet_axes_and_tools_are_seen_at_once_in_the_usual_window():
    at = graph_with_axes()
    seen = at.seen()
    assert at.scroll_px == 0
    for side in SIDES:
        assert seen.sheet.frame(field_name(GRAPH, f"{side} title")).box.y >= 0
    for name in (*TOOLS, PAPER):
        assert seen.sheet.frame(name).box.bottom <= seen.view.height, name


@pytest.mark.parametrize("size", [(1024, 600), (1366, 768), (3840, 2160)])
def test_tools_stay_in_sight_of_the_sheet(size):
    at = graph_with_axes(size)
    focus(at, PAPER)
    seen = at.seen()
    for name in (*TOOLS, PAPER):
        box = seen.sheet.frame(name).box
        assert at.scroll_px <= box.y
        assert box.bottom <= at.scroll_px + seen.view.height, name


def test_the_page_stays_where_it_is_under_the_pointer():
    """Over a whole drawing: taking up a tool, laying a line, rubbing out, taking the line away."""
    at = graph_with_axes((1024, 600))
    scrolled, sheet = at.scroll_px, at.seen().sheet.frame(PAPER).box
    assert sheet.bottom > at.seen().view.height  # a part of it is out of sight
    click(at, place_of(at, LINE))
    drag(at, on_sheet(at, 10.0, 30.0), on_sheet(at, 60.0, 80.0), 0.2)
    click(at, place_of(at, NO_LINE))
    click(at, on_sheet(at, 40.0, 50.0))
    assert at.scroll_px == scrolled
    assert at.seen().sheet.frame(PAPER).box == sheet
