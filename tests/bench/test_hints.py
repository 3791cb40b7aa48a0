"""The hints lead a student who has never seen the bench through every drop, and never fall silent
but while the ball is in the air."""

import re

import pygame as K
import pytest

from sim.bench.model import after, handling
from sim.bench.model import intents as want
from sim.bench.model.along_bench import THINGS
from sim.bench.model.desk import Wording
from sim.bench.model.hints import (
    ALL,
    ALL_READ,
    DRY_IT,
    LET_GO,
    LET_GO_AGAIN,
    NEXT_BATH,
    NEXT_BEAKER,
    NEXT_DROP,
    POUR,
    PUT_IN,
    SAID_FOR_S,
    SOAK,
    TO_FLAG,
    TO_RULE,
    WARM,
    WRITE,
    hint,
    told,
)
from sim.bench.model.keys import BENCH_KEYS, key_words
from sim.bench.model.pages import question_pages
from sim.bench.screen.layout import Layout
from sim.bench.screen.lettering import MEASURE, broken
from sim.bench.ui.theme import TYPE_TEXT
from sim.procedure import Procedure
from sim.state import Setup
from tests.bench.hands import bench, key, keys, text, wait


def written(at, *words):
    """Write the last drop down: the key, and each field's text with a return."""
    key(at, K.K_n)
    for word in words:
        text(at, word)
        key(at, K.K_RETURN)


def test_following_the_hints_ends_with_a_reading():
    at = bench()
    said = [hint(at.desk)]
    for codes in ((K.K_h, K.K_c, K.K_c), (K.K_b,), (K.K_t,), (K.K_r,), (K.K_SPACE,)):
        keys(at, *codes)
        wait(at, 2.0)
        said.append(hint(at.desk))
    assert said == [
        WARM.keys,
        PUT_IN.keys,
        SOAK.format("5:00").keys,
        TO_RULE.keys,
        LET_GO.keys,
        WRITE.keys,
    ]
    written(at, "30 C", "29 cm")
    assert len(at.desk.state.rough) == 1
    assert hint(at.desk) == NEXT_DROP.format(2, 5).keys
    keys(at, K.K_r)
    assert hint(at.desk) == LET_GO_AGAIN.keys


def test_there_is_a_hint_in_every_state_but_while_the_ball_is_in_the_air():
    plan = Procedure(temperatures_k=(303.15, 313.15), repeats=2, soak_s=60.0)
    at = bench(Setup(seed=3, plan=plan))
    said, silent_s = [], 0.0
    for rise in (2, 2):
        codes = (*[K.K_d] * rise, K.K_m, K.K_s, "warm", K.K_v, K.K_s, "soak", K.K_t, K.K_r)
        for code in (*codes, K.K_SPACE, "fall", "30 cm", K.K_r, K.K_SPACE, "fall", "31 cm"):
            if isinstance(code, str) and code.endswith("cm"):
                key(at, K.K_n)
                if at.desk.focus == "rough.temperature":
                    text(at, f"{10 * len(at.desk.state.rough) // 2 + 30} C")
                    key(at, K.K_RETURN)
                text(at, code)
                key(at, K.K_RETURN)
            elif not isinstance(code, str) and not (code == K.K_m and said.count("m")):
                key(at, code)
                said += ["m"] if code == K.K_m else []
            for _ in range(30 * {"warm": 16, "soak": 5, "fall": 3}.get(code, 1)):
                wait(at, 1 / 30)
                words = told(at.desk).text
                silent_s += 0.0 if words else 1 / 30
                said.append(words)
    assert len(at.desk.state.rough) == 4
    assert hint(at.desk) == ALL_READ.format("Ctrl+4").keys
    assert NEXT_BATH.format(2, 2).keys in said
    # Four falls, each about a second and a half until the ball rolls; silent at no other time.
    assert 4 * 1.3 < silent_s < 4 * 1.7


def test_the_last_reading_at_a_temperature_is_followed_by_the_next_temperature():
    plan = Procedure(temperatures_k=(313.15, 323.15), repeats=1, bath="beaker")
    at = bench(Setup(seed=3, plan=plan))
    keys(at, K.K_h, K.K_c, K.K_b, K.K_t, K.K_r, K.K_SPACE)
    wait(at, 2.0)
    written(at, "40 C", "30 cm")
    assert hint(at.desk) == NEXT_BEAKER.format(2, 2).keys
    keys(at, K.K_h)
    assert hint(at.desk) == PUT_IN.keys


def test_a_ball_at_the_rule_hangs_at_the_flag_and_the_hint_sends_it_there_and_no_lower():
    at = bench()
    keys(at, K.K_r)
    assert at.desk.hand_m == at.desk.state.setup.drop_height_m
    assert hint(at.desk) == LET_GO.keys
    for _ in range(6):
        key(at, K.K_DOWN)
    assert hint(at.desk) == TO_FLAG.keys
    keys(at, K.K_t, K.K_r)
    assert at.desk.hand_m == at.desk.state.setup.drop_height_m


def test_a_wet_ball_is_to_be_dried_first():
    at = bench()
    keys(at, K.K_h, K.K_c, K.K_b, K.K_r)
    assert hint(at.desk) == DRY_IT.keys
    keys(at, K.K_t)
    assert hint(at.desk) == LET_GO.keys
    plan = Procedure(towel=False)
    wet = bench(Setup(seed=3, plan=plan))
    keys(wet, K.K_v, K.K_r)
    assert hint(wet.desk) == LET_GO.keys


def told_by_hand():
    """All that the model says in one way to keys and in another to fingers."""
    parts = [vars(part).values() for part in (after, handling, question_pages)]
    told_of_things = [words for words, _ in THINGS.values()]
    said = [one for part in parts for one in part if isinstance(one, Wording)]
    return [*ALL, *told_of_things, *said]


def test_no_key_is_named_to_who_works_by_finger():
    names = {word for key in BENCH_KEYS for word in re.findall(r"\w+|[↑↓←→]", key_words(key))}
    names = (names | {"Tab", "Return", "Esc", "F1", "Ctrl"}) - {"Page", "A"}  # "A tap", "that page"
    spoken = re.compile("|".join(rf"(?<![\w°]){one}(?!\w)" for one in names))
    assert len(told_by_hand()) > 40
    assert not [words.finger for words in told_by_hand() if spoken.search(words.finger)]
    assert sum(bool(spoken.search(words.keys)) for words in told_by_hand()) > 35
    assert not [part for words in told_by_hand() for part in words if set("[]|") & set(part)]


def test_who_works_by_finger_is_told_of_fingers_and_after_the_next_key_of_keys():
    at = bench()
    at.desk = after.after(at.desk, want.ChangeHands(by_finger=True)).desk
    assert told(at.desk).text == WARM.finger
    keys(at, K.K_d)
    assert "a tap on the stopwatch makes that 20 times as fast" in told(at.desk).text
    keys(at, K.K_r, K.K_SPACE)
    wait(at, 2.0)
    keys(at, K.K_r, K.K_SPACE)
    assert told(at.desk).text == "Not now: " + handling.LEAVE_IT.finger
    at.desk = after.after(at.desk, want.ChangeHands(by_finger=False)).desk
    keys(at, K.K_UP)
    wait(at, SAID_FOR_S + 0.5)
    assert told(at.desk).text == LET_GO.keys


def test_a_drop_is_not_left_without_a_line_unasked():
    at = bench()
    keys(at, K.K_r, K.K_SPACE)
    wait(at, 2.0)
    keys(at, K.K_r, K.K_SPACE)
    assert at.desk.state.drops == 1
    assert "no line yet" in told(at.desk).text
    written(at, "20 C", "27 cm")
    assert at.desk.state.rough[0].drop.number == 0
    keys(at, K.K_SPACE)
    assert at.desk.state.drops == 2
    wait(at, 2.0)
    keys(at, K.K_r, K.K_SPACE, K.K_SPACE)
    assert at.desk.state.drops == 3


def test_n_goes_to_the_height_alone_until_the_water_is_another():
    at = bench()
    keys(at, K.K_r, K.K_SPACE)
    wait(at, 2.0)
    key(at, K.K_n)
    assert at.desk.focus == "rough.temperature"
    text(at, "20 C")
    key(at, K.K_RETURN)
    text(at, "27 cm")
    key(at, K.K_RETURN)
    assert at.desk.focus == "bench"
    keys(at, K.K_r, K.K_SPACE, K.K_n)
    assert at.desk.focus == "rough.height"
    text(at, "26.5")
    key(at, K.K_RETURN)
    keys(at, K.K_d, K.K_m, K.K_s)
    wait(at, 12.0)
    keys(at, K.K_v, K.K_t, K.K_r, K.K_SPACE, K.K_n)
    assert at.desk.focus == "rough.temperature"
    text(at, "25.5")
    assert at.desk.fields["rough.temperature"].text == "25.5"
    key(at, K.K_RETURN)
    text(at, "0.28")
    key(at, K.K_RETURN)
    assert "0.28 what?" in at.desk.note.text
    key(at, K.K_a, K.KMOD_CTRL)
    text(at, "28")
    key(at, K.K_RETURN)
    assert [round(line.height_m, 4) for line in at.desk.state.rough] == [0.27, 0.265, 0.28]
    assert round(at.desk.state.rough[2].temperature_k, 2) == 298.65


def test_l_brings_the_eye_to_what_was_written_last_and_to_nothing_else():
    at = bench()
    keys(at, K.K_r, K.K_SPACE, K.K_l)
    assert at.desk.eye_m == 1.2
    written(at, "20 C", "27 cm")
    keys(at, K.K_l)
    assert at.desk.eye_m == pytest.approx(0.27)


def test_what_was_said_gives_way_to_the_hint():
    at = bench()
    key(at, K.K_b)
    assert "water" in told(at.desk).text
    wait(at, SAID_FOR_S + 0.5)
    assert told(at.desk).text == WARM.keys


def test_a_plan_with_a_beaker_begins_at_the_kettle():
    assert hint(bench(Setup(seed=3, plan=Procedure(bath="beaker"))).desk) == POUR.keys


@pytest.mark.parametrize("size", [(1024, 600), (1366, 768), (3840, 2160)])
@pytest.mark.parametrize("scale", [1.0, 1.25, 1.5, 2.0])
def test_every_hint_fits_the_room_that_is_kept_for_it(scale, size):
    """So that it covers nothing of the rule; one line in the usual window at the usual text."""
    layout = Layout(size, scale)
    room, pad = layout.message.width - 2 * layout.px(8), 2 * layout.px(8)
    for words in ALL:
        lines = broken(words.keys, layout.type_px(TYPE_TEXT), room)
        step = MEASURE.line_height_px(layout.type_px(TYPE_TEXT))
        assert len(lines) == 1 or len(lines) * step + pad <= layout.message.height
        assert len(lines) == 1 or layout.scale < 1.0 or scale > 1.0
