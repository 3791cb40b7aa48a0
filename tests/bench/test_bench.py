"""The bench worked by hand: a whole practical by keyboard, and again by mouse."""

import pygame
import pytest

from analysis.quantity.units import places_in_cm, restated, units_of
from physics.constants import ZERO_CELSIUS_K
from sim import actions as act
from sim.bench.model.after import PAGES
from sim.bench.model.desk import BENCH, PAPER
from sim.bench.model.keeping import Keeper
from sim.bench.model.keys import BENCH_KEYS, PAPER_KEYS
from sim.bench.screen.events import wish_of
from sim.bench.ui.blocks import focus_order
from sim.passing import ball_k
from sim.state import Place, Setup
from tests.bench.hands import (
    Kept,
    bench,
    click,
    drag,
    key,
    keys,
    layout,
    mouse,
    place_of,
    text,
    wait,
)
from tests.sim.steps import replay

K = pygame
TEMPERATURES_C = (30, 50)
REPEATS = 2


def readable_cm(at):
    """What a perfect eye would read of the last drop, to the centimetre."""
    return round(at.desk.state.last_drop.apex_m * 100.0)


def by_keyboard(at):
    """Two temperatures, two drops each, with keys alone."""
    for celsius in TEMPERATURES_C:
        key(at, K.K_ESCAPE)
        if at.desk.state.water_kg > 0.0:
            keys(at, *[K.K_x] * 6)
        hot = 3 if celsius == 50 else 2
        keys(at, *[K.K_h] * hot, *[K.K_c] * 3)
        for _ in range(REPEATS):
            keys(at, K.K_b, K.K_s)
            wait(at, 6.0)
            keys(at, K.K_t, K.K_r, K.K_SPACE)
            wait(at, 2.5)
            key(at, K.K_TAB)
            if at.desk.focus != "rough.temperature":
                raise AssertionError(at.desk.focus)
            key(at, K.K_a, K.KMOD_CTRL)
            text(at, f"{celsius} C")
            key(at, K.K_RETURN)
            text(at, f"{readable_cm(at)} cm")
            key(at, K.K_RETURN)
            key(at, K.K_ESCAPE)


def by_mouse(at):
    """The same with the mouse; letters still come from the keyboard."""
    here = layout(at)
    beaker, rule_x = here.beaker.centre, here.ball_x_px
    for celsius in TEMPERATURES_C:
        while at.desk.state.water_kg > 1e-9:
            drag(at, beaker, (beaker[0], here.size[1] - 90))
        for _ in range(3 if celsius == 50 else 2):
            drag(at, here.kettle.centre, (beaker[0] - 20, here.beaker.y - 30))
        for _ in range(3):
            drag(at, here.jug.centre, (beaker[0] + 20, here.beaker.y - 30))
        for _ in range(REPEATS):
            ball = here.tray.centre if at.desk.state.place is Place.TRAY else None
            floor = (rule_x, here.rule.bottom - 11)
            drag(at, ball or floor, (beaker[0], here.beaker.y + 20))
            click(at, here.stopwatch.centre)
            wait(at, 6.0)
            drag(at, here.beaker_ball, here.towel.centre)
            drag(at, here.hand_ball, (rule_x, here.rule.y + 40))
            held = here.sight(at.desk.eye_m).ball_px(at.desk.hand_m)
            mark = here.sight(at.desk.eye_m).ball_px(1.0)
            drag(at, (rule_x, round(held) - 11), (rule_x, round(mark) - 11))
            held = here.sight(at.desk.eye_m).ball_px(at.desk.hand_m)
            click(at, (rule_x, round(held) - 11))
            wait(at, 2.5)
            click(at, place_of(at, "rough.temperature"))
            key(at, K.K_a, K.KMOD_CTRL)
            text(at, f"{celsius} C")
            click(at, place_of(at, "rough.height"))
            text(at, f"{readable_cm(at)} cm")
            click(at, place_of(at, "rough.write"))


@pytest.mark.parametrize("hands", [by_keyboard, by_mouse])
def test_a_whole_practical_by_hand_replays_to_the_same_readings(hands):
    at = bench(Setup(seed=3))
    hands(at)
    rough = at.desk.state.rough
    assert len(rough) == len(TEMPERATURES_C) * REPEATS
    assert [round(line.temperature_k - ZERO_CELSIUS_K) for line in rough] == [30, 30, 50, 50]
    assert all(line.drop.mark_m == pytest.approx(1.0, abs=0.003) for line in rough)
    assert replay(Setup(seed=3), at.keeper.actions) == at.desk.state
    assert rough[-1].height_m > rough[0].height_m


def pressed_key(entry):
    """The event of a key in a table."""
    modifiers = {"": 0, "Shift": K.KMOD_SHIFT, "Alt": K.KMOD_ALT}
    return K.Event(K.KEYDOWN, key=getattr(K, f"K_{entry.key}"), mod=modifiers[entry.modifier])


@pytest.mark.parametrize(("table", "focus"), [(BENCH_KEYS, BENCH), (PAPER_KEYS, PAPER)])
def test_every_key_of_the_table_stands_for_its_wish_and_no_two_are_alike(table, focus):
    assert len({(entry.key, entry.modifier) for entry in table}) == len(table)
    at = bench()
    for entry in table:
        assert wish_of(pressed_key(entry), at.desk.at(focus)) == entry.intent


def test_the_keys_of_the_apparatus_go_on_record():
    at = bench()
    for entry in BENCH_KEYS:
        at.event(pressed_key(entry))
    assert at.keeper.actions


def test_letters_go_to_the_text_while_one_writes():
    at = bench()
    key(at, K.K_TAB)
    assert at.desk.focus == "rough.temperature"
    key(at, K.K_h)
    text(at, "h")
    assert at.desk.state.water_kg == 0.0
    assert at.desk.fields["rough.temperature"].text == "h"
    key(at, K.K_ESCAPE)
    assert at.desk.focus == BENCH
    key(at, K.K_h)
    assert at.desk.state.water_kg > 0.0


def test_tab_goes_round_everything_and_back():
    at = bench()
    names = focus_order(PAGES[at.desk.page].blocks(at.desk))
    passed_by = []
    for _ in range(len(names) + 1):
        key(at, K.K_TAB)
        passed_by.append(at.desk.focus)
    assert passed_by == [*names, BENCH]
    key(at, K.K_TAB, K.KMOD_SHIFT)
    assert at.desk.focus == names[-1]


@pytest.mark.parametrize(
    ("water", "rebound", "words"),
    [
        ("", "34 cm", "Write the temperature as a number and its unit"),
        ("40", "34 cm", "The temperature has no unit yet"),
        ("40 cm", "34 cm", "no unit of temperature"),
        ("40 °C", "34", "The height has no unit yet"),
        ("40 °C", "34 °C", "no unit of height"),
        ("40 °C", "340 cm", "not on this rule"),
        ("140 °C", "34 cm", "ice or steam"),
        ("40 °C", "tall", "Write the height as a number and its unit"),
    ],
)
def test_a_reading_without_its_unit_is_not_written_down(water, rebound, words):
    at = dropped()
    write(at, water, rebound)
    assert at.desk.state.rough == ()
    assert words in at.desk.note.text
    assert at.desk.fields["rough.height"].text == rebound


@pytest.mark.parametrize("unit", units_of("length"))
@pytest.mark.parametrize("degrees", units_of("temperature"))
def test_a_reading_is_understood_in_every_unit(unit, degrees):
    at = dropped()
    water, rebound = restated(40.0, "°C", degrees), restated(34.5, "cm", unit)
    write(at, f"{water:.2f} {degrees}", f"{rebound:.3f} {unit}")
    (line,) = at.desk.state.rough
    assert line.temperature_k == pytest.approx(313.15)
    assert line.height_m == pytest.approx(0.345, rel=1e-3)
    assert line.decimal_places == places_in_cm(3, unit)


def dropped():
    at = bench()
    keys(at, K.K_h, K.K_c, K.K_b)
    wait(at, 1.0)
    keys(at, K.K_r, K.K_SPACE)
    wait(at, 2.5)
    return at


def write(at, water, rebound):
    key(at, K.K_TAB)
    text(at, water)
    key(at, K.K_TAB)
    text(at, rebound)
    key(at, K.K_RETURN)


def test_a_reading_is_struck_out_with_its_reason_and_never_erased():
    at = dropped()
    write(at, "40 °C", "34.5 cm")
    assert at.desk.state.rough[0].decimal_places == 1
    while at.desk.focus != "rough.line":
        key(at, K.K_TAB)
    text(at, "1")
    key(at, K.K_RETURN)
    key(at, K.K_RETURN)
    assert at.desk.state.rough[0].struck_out is None
    assert "why" in at.desk.note.text
    text(at, "the ball hit the clamp")
    key(at, K.K_RETURN)
    assert at.desk.state.rough[0].struck_out == "the ball hit the clamp"
    assert at.desk.state.rough[0].height_m == 0.345


def test_the_stopwatch_shortens_the_soak_and_not_the_physics():
    ends = []
    for hasty in (False, True):
        at = bench()
        keys(at, K.K_h, K.K_c, K.K_b)
        if hasty:
            key(at, K.K_s)
        wait(at, 6.0 if hasty else 120.0)
        keys(at, K.K_t)
        ends.append(at.desk.state)
    assert ends[0].time_s == pytest.approx(ends[1].time_s, abs=0.01)
    assert ball_k(ends[0]) == pytest.approx(ball_k(ends[1]), abs=1e-3)


def test_where_nothing_is_waited_for_nothing_is_hastened():
    at = bench()
    key(at, K.K_s)
    assert "nothing is waited for" in at.desk.note.text
    wait(at, 6.0)
    keys(at, K.K_h)
    assert at.desk.state.time_s == pytest.approx(6.0 + act.AddHotWater.handling_time_s, abs=0.05)


def test_bare_fingers_bring_a_caution_and_leave_the_ball():
    at = bench()
    keys(at, K.K_h, K.K_h, K.K_b, K.K_f)
    assert at.desk.state.place is Place.WATER
    assert at.desk.note.kind == "caution"
    assert "tongs" in at.desk.note.text


def test_a_vessel_swung_too_fast_spills_until_it_is_wiped():
    at = bench()
    here = layout(at)
    drag(at, here.kettle.centre, (here.beaker.centre[0], here.beaker.y - 30), seconds=0.1)
    assert at.desk.state.floor_wet
    click(at, here.floor_puddle.centre)
    assert not at.desk.state.floor_wet


def test_the_reading_aid_is_recorded_as_aided_and_says_what_it_read():
    at = bench()
    key(at, K.K_a)
    keys(at, K.K_h, K.K_c, K.K_b)
    wait(at, 1.0)
    keys(at, K.K_r, K.K_SPACE)
    wait(at, 2.5)
    assert "calls out" in at.desk.note.text
    write(at, "40 °C", "30 cm")
    assert at.desk.state.rough[0].aided


def test_nothing_on_the_desk_tells_the_true_height_without_the_aid():
    at = dropped()
    said = f"{at.desk.note.text} {at.desk.fields}"
    true_cm = at.desk.state.last_drop.apex_m * 100.0
    assert f"{true_cm:.1f}" not in said
    assert f"{true_cm:.0f} cm" not in said


def test_help_lies_on_top_and_lets_nothing_through():
    at = bench()
    key(at, K.K_F1)
    keys(at, K.K_h)
    click(at, layout(at).stopwatch.centre)
    assert at.desk.state.water_kg == 0.0
    assert at.desk.hasty_until_s is None
    assert not at.desk.help_open


def test_text_grows_to_200_percent_and_no_further():
    at = bench()
    for _ in range(5):
        key(at, K.K_EQUALS, K.KMOD_CTRL)
    assert at.desk.text_scale == 2.0
    for _ in range(5):
        key(at, K.K_MINUS, K.KMOD_CTRL)
    assert at.desk.text_scale == 1.0


def test_what_is_written_on_the_hazards_page_is_kept_when_one_goes_on():
    at = bench()
    key(at, K.K_1, K.KMOD_CTRL)
    key(at, K.K_TAB)
    text(at, "hot water")
    assert not at.desk.state.book.answers
    key(at, K.K_TAB)
    assert at.desk.state.book.answers["Hazards", "hazard 1"] == "hot water"
    text(at, "a scald")
    key(at, K.K_2, K.KMOD_CTRL)
    assert at.desk.state.book.answers["Hazards", "risk 1"] == "a scald"


def test_copy_cut_and_paste_work_in_a_text_line(monkeypatch):
    clipboard = []
    monkeypatch.setattr(pygame.scrap, "put_text", clipboard.append)
    monkeypatch.setattr(pygame.scrap, "get_text", lambda: clipboard[-1])
    at = bench()
    key(at, K.K_TAB)
    text(at, "42 °C")
    key(at, K.K_a, K.KMOD_CTRL)
    key(at, K.K_x, K.KMOD_CTRL)
    assert at.desk.fields["rough.temperature"].text == ""
    key(at, K.K_v, K.KMOD_CTRL)
    key(at, K.K_v, K.KMOD_CTRL)
    assert at.desk.fields["rough.temperature"].text == "42 °C42 °C"


def test_composed_letters_are_shown_before_they_are_text():
    at = bench()
    key(at, K.K_TAB)
    at.event(pygame.Event(pygame.TEXTEDITING, text="ü", start=0, length=1))
    assert at.desk.composing == "ü"
    text(at, "ü")
    assert at.desk.composing == ""
    assert at.desk.fields["rough.temperature"].text == "ü"


def test_the_window_keeps_what_is_being_written_when_it_is_closed():
    at = bench()
    key(at, K.K_1, K.KMOD_CTRL)
    key(at, K.K_TAB)
    text(at, "steam")
    at.event(pygame.Event(pygame.QUIT))
    assert not at.open
    assert at.desk.state.book.answers["Hazards", "hazard 1"] == "steam"


def test_dragging_the_eye_moves_the_eye():
    at = bench()
    here = layout(at)
    start = here.eye_mark(at.desk.eye_m).centre
    mouse(at, "down", start)
    goal = round(here.sight(0.0).to_px(0.40))
    mouse(at, "move", (start[0], goal))
    mouse(at, "up", (start[0], goal))
    assert at.desk.eye_m == pytest.approx(0.40, abs=0.002)


class Full(Kept):
    """A keeper whose disk is full."""

    def keep(self, before, actions):
        return "x.rebound.jsonl cannot be written: the disk is full."


def test_a_full_disk_is_told_at_once_and_the_practical_goes_on():
    at = bench(keeper=Full())
    key(at, K.K_s)
    before = shown(at)
    key(at, K.K_h)
    assert "disk is full" in at.desk.trouble
    assert (shown(at) != before).any()
    assert at.desk.state.water_kg > 0.0


def shown(at):
    """The strip at the foot of the corner, where words are said."""
    at.draw()
    box = layout(at).message
    return pygame.surfarray.array3d(at.surface.subsurface(box))


def test_where_no_record_can_be_kept_that_is_told():
    at = bench(keeper=Keeper(None, "The folder is read-only."))
    key(at, K.K_h)
    wait(at, 6.0)
    assert at.desk.trouble == "The folder is read-only."


@pytest.mark.parametrize("way", ["key", "button"])
def test_the_teachers_page_is_opened_by_key_or_by_button(monkeypatch, way):
    opened = []
    monkeypatch.setattr(
        "sim.bench.screen.demonstration.showing.show_in",
        lambda _, show: opened.append(show) or True,
    )
    at = bench()
    if way == "key":
        key(at, K.K_d, K.KMOD_CTRL)
    else:
        key(at, K.K_7, K.KMOD_CTRL)
        key(at, K.K_TAB, K.KMOD_SHIFT)
        assert at.desk.focus == "Evaluation.demonstrate"
        key(at, K.K_RETURN)
    (show,) = opened
    assert not show.heeded
    assert at.open
    assert not at.desk.demonstrating
