"""The bath at the bench: its dial, the thermometer in it, a practical by key and by mouse."""

import itertools

import pygame
import pytest

from physics.constants import ZERO_CELSIUS_K
from sim import actions as act
from sim.bench.model.hints import (
    BATH_READY,
    HASTENED,
    SET_BATH,
    SIGNS,
    SOAK,
    SOAKED,
    THERMOMETER_IN,
    TO_RULE,
    WARM,
    hint,
    told,
)
from sim.bench.model.seeing import bath_word
from sim.bench.screen.apparatus import tank
from sim.bench.screen.layout import Layout
from sim.bench.screen.lettering import MEASURE, broken
from sim.bench.ui.theme import TYPE_SMALL, TYPE_TEXT
from sim.procedure import Procedure
from sim.soaking import HOT_BATH
from sim.state import Place, Setup
from tests.bench.hands import bench, click, drag, key, keys, layout, mouse, text, wait
from tests.bench.measures import encloses
from tests.sim.steps import replay

K = pygame
HOT_K = ZERO_CELSIUS_K + 45.5


def noted(at, words):
    """Write the drop down; letters come from the keyboard either way."""
    key(at, K.K_TAB)
    key(at, K.K_a, K.KMOD_CTRL)
    text(at, "45 C")
    key(at, K.K_RETURN)
    text(at, words)
    key(at, K.K_RETURN)
    key(at, K.K_ESCAPE)


def by_keys(at):
    keys(at, *[K.K_d] * 6)
    key(at, K.K_d, K.KMOD_SHIFT)
    key(at, K.K_e)
    keys(at, K.K_m, K.K_s)
    wait(at, 30.0)
    for _ in range(2):
        keys(at, K.K_v, K.K_s)
        wait(at, 15.0)
        keys(at, K.K_t, K.K_r, K.K_SPACE)
        wait(at, 2.5)
        noted(at, "30 cm")


def by_pointer(at):
    here = layout(at)
    warmer, cooler = here.dial_half(warmer=True).centre, here.dial_half(warmer=False).centre
    for _ in range(6):
        click(at, warmer)
    click(at, cooler)
    drag(at, warmer, (warmer[0] + here.px(7), warmer[1]), seconds=0.0)
    drag(at, here.thermometer.centre, here.bath.centre, seconds=0.0)
    click(at, here.stopwatch.centre)
    wait(at, 30.0)
    ball = here.tray.centre
    for _ in range(2):
        drag(at, ball, here.bath.centre, seconds=0.0)
        click(at, here.stopwatch.centre)
        wait(at, 15.0)
        drag(at, here.bath_ball, here.towel.centre, seconds=0.0)
        drag(at, here.hand_ball, (here.ball_x_px, here.rule.y + 40), seconds=0.0)
        held = here.sight(at.desk.eye_m).ball_px(at.desk.hand_m)
        click(at, (here.ball_x_px, round(held) - 11))
        wait(at, 2.5)
        noted(at, "30 cm")
        ball = (here.ball_x_px, here.rule.bottom - 11)


def test_keys_and_pointer_do_the_same_and_it_replays_to_the_same_readings():
    by_key, by_hand = bench(Setup(seed=3)), bench(Setup(seed=3))
    by_keys(by_key)
    by_pointer(by_hand)
    assert by_key.keeper.actions == by_hand.keeper.actions
    state = by_key.desk.state
    assert len(state.rough) == 2
    assert state.bath_k == state.bath_setting_k == pytest.approx(HOT_K)
    # Five minutes at 45.5 °C and some ten seconds in air: warm, and below the bath.
    assert HOT_K - 6.0 < state.rough[0].drop.ball_k < HOT_K
    assert replay(Setup(seed=3), by_key.keeper.actions) == state


def test_turning_the_dial_says_how_long_it_takes_and_cautions_above_50_degrees():
    at = bench()
    keys(at, *[K.K_d] * 4)
    assert at.desk.note.text.startswith("The bath goes to 40 °C in about 7 minutes")
    keys(at, *[K.K_d] * 3)
    assert at.desk.note.kind == "caution"
    assert "the bath scalds" in at.desk.note.text
    assert at.desk.state.bath_setting_k == pytest.approx(ZERO_CELSIUS_K + 55.0)
    keys(at, K.K_d)
    assert at.desk.note.kind == "caution"  # quick presses must not carry it away


@pytest.mark.parametrize("scale", [1.0, 1.5])
def test_the_bath_s_caution_leaves_its_dial_to_be_seen(scale):
    plan = Layout(text_scale=scale)
    words = SIGNS["caution"] + HOT_BATH
    lines = broken(words, plan.type_px(TYPE_TEXT), plan.message.width - 2 * plan.px(8))
    step = MEASURE.line_height_px(plan.type_px(TYPE_TEXT))
    assert plan.message.bottom - len(lines) * step - 2 * plan.px(8) >= plan.bath_control.bottom


def test_the_dial_stops_at_its_ends():
    at = bench()
    keys(at, *[K.K_d] * 30)
    assert at.desk.state.bath_setting_k == ZERO_CELSIUS_K + 95.0
    for _ in range(30):
        key(at, K.K_d, K.KMOD_SHIFT)
    assert at.desk.state.bath_setting_k == ZERO_CELSIUS_K + 5.0
    assert bath_word(at.desk.state) == "cooling"


def test_a_ball_in_the_bath_keeps_the_dial_where_it_is():
    at = bench()
    keys(at, K.K_v, K.K_d)
    assert at.desk.state.place is Place.BATH
    assert "Lift the ball out before" in told(at.desk).text
    keys(at, K.K_b)
    assert "in the bath already" in told(at.desk).text


def test_bare_fingers_are_refused_by_the_hot_bath():
    at = bench()
    keys(at, *[K.K_d] * 8, K.K_s)
    wait(at, 60.0)
    keys(at, K.K_v, K.K_f)
    assert at.desk.state.place is Place.BATH
    assert at.desk.note.kind == "caution"
    assert "never fingers" in at.desk.note.text


def test_the_stopwatch_hastens_the_bath_but_never_a_ball_that_cools():
    at = bench()
    keys(at, *[K.K_d] * 8, K.K_s)
    before_s = at.desk.state.time_s
    wait(at, 6.0)
    assert at.desk.state.time_s - before_s > 100.0
    keys(at, K.K_r)
    before_s = at.desk.state.time_s
    wait(at, 6.0)
    assert at.desk.state.bath_changing
    assert at.desk.state.time_s - before_s < 10.0


def test_the_thermometer_goes_to_and_fro_and_stays_where_it_is_let_go_elsewhere():
    at = bench()
    here = layout(at)
    key(at, K.K_m)
    assert at.desk.state.thermometer_in == "bath"
    stem = here.thermometer_stem("bath").centre
    drag(at, stem, here.towel.centre)
    assert at.desk.state.thermometer_in == "bath"
    drag(at, stem, here.beaker.centre)
    assert at.desk.state.thermometer_in == "beaker"
    click(at, here.thermometer.centre)
    assert at.desk.state.thermometer_in == "bath"


def test_the_dial_shows_what_it_will_be_while_it_is_dragged():
    at = bench()
    here = layout(at)
    panel = pygame.Rect(here.bath_control)
    warmer = here.dial_half(warmer=True).centre
    at.draw()
    before = at.surface.subsurface(panel).copy()
    mouse(at, "down", warmer)
    mouse(at, "move", (warmer[0] + here.px(140), warmer[1]))
    at.draw()
    shown = at.surface.subsurface(panel).copy()
    mouse(at, "up", (warmer[0] + here.px(140), warmer[1]))
    assert pygame.image.tobytes(before, "RGB") != pygame.image.tobytes(shown, "RGB")
    assert at.desk.state.bath_setting_k == pytest.approx(ZERO_CELSIUS_K + 30.0)


PLAN = Procedure(temperatures_k=(ZERO_CELSIUS_K + 40.0,))


def test_the_hints_lead_through_a_plan_with_the_bath():
    at = bench(Setup(seed=3, plan=PLAN))
    said = [hint(at.desk)]
    for codes, seconds in (
        ((*[K.K_d] * 4, K.K_s), 1.0),
        ((), 30.0),
        ((K.K_m,), 1.0),
        ((K.K_v,), 1.0),
        ((K.K_s,), 1.0),
        ((), 15.0),
        ((K.K_t,), 1.0),
    ):
        keys(at, *codes)
        wait(at, seconds)
        said.append(hint(at.desk))
    soak = SOAK.format("5:00").keys
    assert said == [
        SET_BATH.keys,
        HASTENED.keys,
        THERMOMETER_IN.keys,
        BATH_READY.keys,
        soak,
        HASTENED.keys,
        SOAKED.keys,
        TO_RULE.keys,
    ]


def test_without_a_plan_both_ways_are_offered():
    assert hint(bench().desk) == WARM.keys
    assert "(H, C)" in WARM.keys
    assert "bath" in WARM.keys


@pytest.mark.parametrize("scale", [1.0, 1.25, 1.5])
@pytest.mark.parametrize("size", [(1366, 768), (1920, 1080)])
def test_what_the_thermostat_says_fits_its_display(size, scale):
    plan = Layout(size, scale)
    show = tank.display(plan)
    assert encloses(plan.bath_control, show)
    assert show.bottom <= plan.dial.y
    for text_shown in ("60.5 °C", "95.0 °C"):
        assert MEASURE.width_px(text_shown, plan.mark_px(TYPE_TEXT)) <= show.width
    for word in ("warming", "cooling", "ready"):
        assert MEASURE.width_px(word, plan.mark_px(TYPE_SMALL)) <= show.width


@pytest.mark.parametrize("scale", [1.0, 1.5])
def test_ball_and_bulb_stand_in_the_tank_and_apart(scale):
    plan = Layout(text_scale=scale)
    radius = round(plan.table_ball_radius_px)
    (ball_x, ball_y), bulb = plan.bath_ball, plan.thermometer_bulb("bath")
    assert plan.bath.holds((ball_x - radius, ball_y - radius))
    assert plan.bath.holds((ball_x + radius, ball_y + radius))
    assert plan.bath.holds(bulb)
    assert bulb[0] - ball_x > radius + plan.px(6)


def test_each_state_of_the_bath_is_seen():
    at = bench()
    pictures = []
    for codes, seconds in (((), 0.0), ((K.K_d,), 0.0), ((K.K_m,), 0.0), ((), 200.0), ((K.K_v,), 0)):
        keys(at, *codes)
        wait(at, seconds)
        at.draw()
        pictures.append(pygame.image.tobytes(at.surface.subsurface(layout(at).corner), "RGB"))
    assert all(a != b for a, b in itertools.combinations(pictures, 2))


def test_the_record_of_a_practical_with_the_bath_holds_its_acts():
    at = bench()
    by_keys(at)
    kinds = {type(one) for one in at.keeper.actions}
    assert {act.SetBath, act.MoveThermometer, act.PutBallIn} <= kinds
    assert act.PutBallIn("bath") in at.keeper.actions
    assert act.PutBallIn("beaker") not in at.keeper.actions
