"""The teacher's page: what it does on a wish, what fits on it, and what the bench keeps."""

import itertools

import numpy as np
import pygame
import pytest

from analysis.readings.sets import RepeatTable
from physics.ball import PLAYING_SPEEDS
from physics.constants import ZERO_CELSIUS_K
from physics.reading import CAREFUL, HURRIED
from sim.__main__ import main
from sim.actions import ChooseBall
from sim.bench.model.show import (
    DROPS_PER_S,
    SHOW_HELP,
    SHOW_KEYS,
    Close,
    FillScreen,
    GoTo,
    Hasten,
    Heed,
    Pass,
    Pause,
    Show,
    Turn,
    show_after,
    show_at_bench,
)
from sim.bench.screen.demonstration.plan import (
    TYPE_PLAIN,
    PixelAxis,
    ShowPlan,
    first_row,
)
from sim.bench.screen.demonstration.showing import draw_show, show_in, wish_of
from sim.bench.screen.lettering import MEASURE, broken, forget
from sim.bench.ui.theme import SOFT_INK
from sim.practical import apply
from sim.procedure import SHOWN_PROCEDURE, Procedure
from sim.state import Setup, beginning
from sim.teaching.demonstration import demonstration, laid_over, plain_sentence
from tests.bench.hands import bench, key
from tests.bench.measures import meet

SIZES = ((1366, 768), (1920, 1080), (1024, 768), (1280, 1024))


def celsius(*values):
    return tuple(ZERO_CELSIUS_K + value for value in values)


@pytest.fixture(scope="module")
def shown():
    return demonstration(Setup(seed=1), Procedure(observer=CAREFUL, soak_s=300.0))


@pytest.fixture(scope="module")
def laid(shown):
    """The demonstration with a class's own readings laid over, at two of its temperatures."""
    table = RepeatTable(np.array(celsius(40, 60)), np.array([[0.31, 0.33, np.nan], [0.5] * 3]))
    return laid_over(shown, table, "club.csv")


@pytest.fixture(scope="module")
def many():
    plan = Procedure(
        temperatures_k=celsius(10, 20, 30, 40, 50, 60, 70, 80), repeats=3, observer=HURRIED
    )
    return demonstration(Setup(seed=2), plan)


def going(shown, progress=0.0, **more):
    return Show(shown, progress, heeded=True, **more)


def pixels(show, size=(1366, 768)):
    surface = pygame.Surface(size)
    draw_show(surface, show)
    return pygame.surfarray.array3d(surface)


@pytest.mark.parametrize("speed", PLAYING_SPEEDS)
def test_what_is_shown_at_the_bench_is_the_ball_that_lies_there(speed):
    state = apply(beginning(Setup(seed=9)), ChooseBall(speed))
    held = show_at_bench(state).shown.sides[0].landings
    own = demonstration(Setup(seed=1, model=PLAYING_SPEEDS[speed]), SHOWN_PROCEDURE)
    assert [one.height_m for one in held] == [one.height_m for one in own.sides[0].landings]


# What follows on a wish.


def test_nothing_true_is_seen_before_the_warning_is_heeded(shown):
    other = demonstration(Setup(seed=9), Procedure(temperatures_k=celsius(70)))
    warned = Show(shown)
    for wish in (Pass(10.0), Turn(1), GoTo(end=True), Hasten(1)):
        warned = show_after(warned, wish)
    assert not warned.heeded
    assert warned.progress == 0.0
    assert (pixels(warned) == pixels(Show(other, 1.0))).all()
    assert show_after(warned, Heed()).heeded
    assert (pixels(show_after(warned, Heed())) != pixels(warned)).any()


def test_time_lets_drops_land_at_the_chosen_speed(shown):
    show = show_after(going(shown, speed=2), Pass(3.0))
    assert show.progress == pytest.approx(3.0 * DROPS_PER_S[2])
    faster = show_after(show_after(show, Hasten(1)), Pass(1.0))
    assert faster.progress - show.progress == pytest.approx(DROPS_PER_S[3])


def test_speed_stays_within_its_ends(shown):
    show = going(shown)
    for by in (1, -1):
        for _ in range(9):
            show = show_after(show, Hasten(by))
        assert show.speed == (len(DROPS_PER_S) - 1 if by > 0 else 0)


def test_one_wish_pauses_and_the_same_goes_on(shown):
    paused = show_after(going(shown, 4.5), Pause())
    assert show_after(paused, Pass(60.0)).progress == 4.5
    assert show_after(show_after(paused, Pause()), Pass(0.1)).progress > 4.5


def test_it_stops_at_the_end(shown):
    show = show_after(going(shown, 49.0), Pass(1000.0))
    assert show.at_end
    assert show.progress == 50.0
    assert show_after(show, GoTo(end=False)).progress == 0.0


def test_between_the_procedures_it_waits_for_what_the_class_expects(shown):
    waiting = show_after(going(shown, 24.0), Pass(1000.0))
    assert (waiting.progress, waiting.paused) == (25.0, True)
    assert show_after(waiting, Pass(60.0)).progress == 25.0
    on = show_after(show_after(waiting, Pause()), Pass(1.0))
    assert on.progress > 25.0
    panel = ShowPlan((1366, 768), shown).panel(1)
    ink = [
        (
            pixels(show)[panel.x + 4 : panel.right, panel.y : panel.bottom - 8].sum(axis=2) < 200
        ).sum()
        for show in (waiting, on)
    ]
    assert ink[0] > 2000 > ink[1]  # the question stands there, and is gone


def test_a_lesson_of_two_minutes_shows_all_there_is():
    shown = demonstration(Setup(seed=1), SHOWN_PROCEDURE)
    assert shown.length / DROPS_PER_S[Show(shown).speed] <= 120.0
    assert list(shown.temperatures_k) == sorted(shown.temperatures_k, reverse=True)


def test_drops_are_turned_one_by_one_and_it_waits(shown):
    forward = show_after(going(shown, 4.5), Turn(1))
    assert (forward.progress, forward.paused) == (5.0, True)
    assert show_after(going(shown, 4.5), Turn(-1)).progress == 4.0
    assert show_after(forward, Turn(-1)).progress == 4.0
    assert show_after(going(shown), Turn(-1)).progress == 0.0


def test_it_can_be_left_even_from_the_warning(shown):
    assert not show_after(Show(shown), Close()).open


# Keys.


def test_every_wish_but_time_has_a_key_and_the_page_names_them():
    assert {type(wish) for wish in SHOW_KEYS.values()} == {
        *(Pause, Hasten, Turn, GoTo, Heed, FillScreen, Close)
    }
    for word in ("Space", "↑ ↓", "← →", "R:", "F11", "Esc"):
        assert word in SHOW_HELP


def test_events_become_wishes():
    press = pygame.Event(pygame.KEYDOWN, key=pygame.K_SPACE, mod=0, unicode=" ")
    assert wish_of(press) == Pause()
    assert wish_of(pygame.Event(pygame.MOUSEBUTTONDOWN, button=1, pos=(5, 5))) == Pause()
    assert wish_of(pygame.Event(pygame.KEYDOWN, key=pygame.K_q, mod=0, unicode="q")) is None


# What fits.


def boxes(plan):
    yield from (plan.key, plan.count, plan.ratio, plan.words, plan.keys)
    for row, side in itertools.product(plan.rows, range(plan.lanes)):
        yield plan.lane(row, side)
    for side in (0, 1):
        yield plan.panel(side)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", ["shown", "many", "laid"])
def test_everything_has_a_place_of_its_own_in_the_window(request, name, size):
    plan = ShowPlan(size, request.getfixturevalue(name))
    placed = list(boxes(plan))
    for box in placed:
        assert 0 <= box.x <= box.right <= size[0]
        assert 0 <= box.y <= box.bottom <= size[1]
    for first, second in itertools.combinations(placed, 2):
        assert not meet(first, second)


@pytest.mark.parametrize("size", SIZES)
def test_readings_stand_within_their_strips(shown, size):
    plan = ShowPlan(size, shown)
    for side, one in enumerate(shown.sides):
        for landing in one.landings:
            lane = plan.lane(landing.row, side)
            x = plan.height_scale(landing.row).px(landing.height_m * 100.0)
            assert lane.x <= x <= lane.right
            panel = plan.panel(side)
            y = plan.warmth_scale(side).px(landing.ball_k)
            assert panel.y <= y <= panel.bottom


def test_strips_of_all_rows_have_one_scale(shown):
    plan = ShowPlan((1366, 768), shown)
    widths = {plan.height_scale(row).high - plan.height_scale(row).low for row in plan.rows}
    assert max(widths) - min(widths) < 1e-9


def test_no_letter_is_smaller_than_24_pixels():
    assert TYPE_PLAIN >= 24
    assert ShowPlan((1366, 768), None).px(TYPE_PLAIN) == TYPE_PLAIN


def test_the_last_words_fit_their_place(shown, many):
    room = demonstration(Setup(seed=1), Procedure(temperatures_k=celsius(20), observer=CAREFUL))
    short = demonstration(Setup(seed=1), Procedure(temperatures_k=celsius(60), soak_s=60.0))
    for each in (shown, many, room, short):
        plan = ShowPlan((1366, 768), each)
        lines = broken(plain_sentence(each), TYPE_PLAIN, plan.words.width)
        assert len(lines) * (MEASURE.line_height_px(TYPE_PLAIN) + 1) <= plan.words.height + 1
    assert MEASURE.width_px(SHOW_HELP, TYPE_PLAIN) <= plan.keys.width


def test_no_number_of_the_last_words_stands_apart_from_its_unit(shown, monkeypatch):
    said = []

    def kept(_, text, *__):
        said.append(text)
        return pygame.Rect(0, 0, 0, 0)

    monkeypatch.setattr("sim.bench.screen.demonstration.draw.write", kept)
    for width in (1024, 1366, 1500, 1920):
        pixels(going(shown, 50.0), (width, 768))
    assert any("It takes" in text for text in said)
    assert not [text for text in said if text.endswith("±") or text.startswith(("°C", "cm"))]


def test_many_temperatures_are_shown_five_at_a_time_with_the_next_drop_among_them(many):
    for progress in np.arange(0.0, 48.1, 0.5):
        rows = ShowPlan((1366, 768), many, first_row(many, progress)).rows
        assert len(rows) == 5
        assert (7 if progress == 48.0 else int(progress) % 24 // 3) in rows


def test_ticks_are_round_and_not_too_near():
    scale = PixelAxis(19.7, 25.2, 0.0, 460.0)
    assert scale.ticks(64.0) == [20.0, 21.0, 22.0, 23.0, 24.0, 25.0]
    assert scale.ticks(100.0) == [20.0, 22.0, 24.0]
    assert scale.px(22.45) == pytest.approx(230.0)


# The picture.


def test_the_same_moment_gives_the_same_picture_and_another_one_another(shown):
    assert (pixels(going(shown, 12.8)) == pixels(going(shown, 12.8))).all()
    assert (pixels(going(shown, 12.8)) != pixels(going(shown, 12.9))).any()
    assert (pixels(going(shown, 12.2)) != pixels(going(shown, 12.2, paused=True))).any()


def test_a_reading_is_drawn_where_it_belongs_once_it_has_landed(shown):
    plan = ShowPlan((1366, 768), shown)
    landing = shown.sides[1].landings[16]
    x = round(plan.height_scale(landing.row).px(landing.height_m * 100.0))
    lane = plan.lane(landing.row, 1)
    before, after = (
        pixels(going(shown, progress))[x - 8 : x + 8, lane.y : lane.bottom]
        for progress in (41.0, 42.0)
    )
    dark = [(part.sum(axis=2) < 200).sum() for part in (before, after)]
    assert dark[1] > dark[0] + 20


@pytest.mark.parametrize("size", SIZES)
def test_it_is_drawn_in_any_window(many, size):
    assert np.ptp(pixels(going(many, 20.4), size)) > 100


# At the bench.


@pytest.fixture
def screen():
    pygame.display.init()
    pygame.font.init()
    yield pygame.display.set_mode((1366, 768))
    pygame.display.quit()


def post(*codes):
    for code in codes:
        pygame.event.post(pygame.Event(pygame.KEYDOWN, key=code, mod=0, unicode=""))


def test_a_showing_ends_with_escape_and_keeps_the_window(screen, shown):
    post(pygame.K_RETURN, pygame.K_END, pygame.K_ESCAPE)
    pygame.key.set_repeat(350, 40)
    assert show_in(screen, Show(shown))
    assert pygame.key.get_repeat() == (350, 40)


def test_f11_fills_the_screen_and_leaves_it_again(screen, shown):
    for filled in (True, False):
        post(pygame.K_F11, pygame.K_ESCAPE)
        assert show_in(screen, Show(shown))
        assert pygame.display.is_fullscreen() is filled
        size = pygame.display.get_desktop_sizes()[0] if filled else (1366, 768)
        assert pygame.display.get_surface().get_size() == size


def test_closing_the_window_ends_the_showing_and_the_bench(screen, shown):
    pygame.event.post(pygame.Event(pygame.QUIT))
    assert not show_in(screen, Show(shown))


@pytest.mark.usefixtures("screen")
def test_ctrl_d_at_the_bench_leaves_the_practical_untouched():
    at = bench()
    key(at, pygame.K_h)
    before, actions = at.desk, list(at.keeper.actions)
    post(pygame.K_RETURN, pygame.K_END, pygame.K_ESCAPE)
    key(at, pygame.K_d, pygame.KMOD_CTRL)
    assert at.desk == before
    assert at.keeper.actions == actions
    assert at.open
    pygame.event.post(pygame.Event(pygame.QUIT))
    key(at, pygame.K_d, pygame.KMOD_CTRL)
    assert not at.open


@pytest.fixture
def fonts_anew():
    """After a command has closed its window, and all typefaces with it."""
    yield
    pygame.font.init()
    forget()


def test_own_readings_are_drawn_in_strips_of_their_own_where_they_share_a_temperature(laid):
    plan = ShowPlan((1366, 768), laid)
    page = pixels(going(laid)).astype(int)
    lanes = [plan.lane(row, 2) for row in plan.rows]
    parts = [page[lane.x : lane.right, lane.y : lane.bottom] for lane in lanes]
    soft = [(np.abs(part - SOFT_INK).max(axis=2) < 8).sum() for part in parts]
    # Four rows are seen; of these the third, at 40 °C, has readings.
    assert [count > 30 for count in soft] == [False, False, True, False]
    assert laid.own.half_range_m == pytest.approx(0.005)  # the mean of 1 cm and 0 cm


@pytest.mark.usefixtures("fonts_anew")
def test_the_command_lays_a_files_readings_over_or_says_that_none_fit(
    monkeypatch, tmp_path, capsys
):
    seen = []
    monkeypatch.setattr("sim.commands.demonstrate.show_in", lambda _, show: seen.append(show))
    path = tmp_path / "club.csv"
    path.write_text("temperature / °C,height 1 / cm,height 2 / cm\n60,40,37\n20,14,15\n", "utf-8")
    assert main(["demonstrate", "--readings", str(path), "--full-screen"]) == 0
    (show,) = seen
    assert show.shown.own.heights_m[0].tolist() == [0.40, 0.37]
    assert show.shown.own.heights_m[1:] == (None, None)
    assert main(["demonstrate", "--readings", str(path), "--temperatures-c", "40"]) == 1
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "club.csv has no readings at 40 °C" in said


@pytest.mark.usefixtures("fonts_anew")
def test_the_command_opens_it_directly(monkeypatch):
    seen = []

    def shown_in(surface, show):
        seen.append((surface.get_size(), show))
        return True

    monkeypatch.setattr("sim.commands.demonstrate.show_in", shown_in)
    arguments = [
        "--seed",
        "3",
        "--reader",
        "hurried",
        "--temperatures-c",
        "20,60",
        "--repeats",
        "5",
    ]
    assert main(["demonstrate", *arguments]) == 0
    ((size, show),) = seen
    assert size == (1366, 768)
    assert show.shown.observer == HURRIED
    assert show.shown.drops == 10
    assert not show.heeded


def test_a_plan_it_cannot_show_is_one_sentence(capsys):
    assert main(["demonstrate", "--temperatures-c", "40,40"]) == 1
    assert capsys.readouterr().err.count("\n") == 1
