"""The hints lead a student who has never seen the bench to a first reading."""

import pygame as K
import pytest

from sim.bench.model.seeing import (
    ALL,
    POUR,
    PUT_IN,
    SET_AND_LET_GO,
    SOAK,
    TO_RULE,
    WARM,
    WRITE,
    hint,
)
from sim.bench.screen.layout import Layout
from sim.bench.screen.lettering import MEASURE
from sim.bench.ui.theme import TYPE_TEXT
from sim.state import Procedure, Setup
from tests.bench.hands import bench, key, keys, text, wait


def test_following_the_hints_ends_with_a_reading():
    at = bench()
    said = [hint(at.desk)]
    for codes in ((K.K_h, K.K_c, K.K_c), (K.K_b,), (K.K_t,), (K.K_r,), (K.K_SPACE,)):
        keys(at, *codes)
        wait(at, 1.0)
        said.append(hint(at.desk))
    assert said == [WARM, PUT_IN, SOAK, TO_RULE, SET_AND_LET_GO, WRITE]
    key(at, K.K_TAB)
    text(at, "30 C")
    key(at, K.K_TAB)
    text(at, "29 cm")
    key(at, K.K_RETURN)
    assert len(at.desk.state.rough) == 1
    assert hint(at.desk) == ""


def test_a_refusal_stands_before_a_hint():
    at = bench()
    key(at, K.K_b)
    assert "water" in at.desk.note.text
    assert hint(at.desk) == WARM


def test_a_plan_with_a_beaker_begins_at_the_kettle():
    assert hint(bench(Setup(seed=3, plan=Procedure(bath="beaker"))).desk) == POUR


@pytest.mark.parametrize("scale", [1.0, 1.25, 1.5])
def test_every_hint_fits_one_line(scale):
    layout = Layout(text_scale=scale)
    room = layout.message.width - 2 * layout.px(8)
    for text_of_hint in ALL:
        assert MEASURE.width_px(text_of_hint, layout.type_px(TYPE_TEXT)) <= room
