"""Numbers stand as they were written, and readings meant for one temperature stand together."""

import pygame as K

from analysis.marking.study import Study
from sim.bench.model.after import PAGES
from sim.bench.ui.blocks import TableBox, Words
from sim.marking import named_temperature, sets_of, work_of
from sim.procedure import Procedure
from sim.state import Setup
from tests.bench.hands import bench, key, keys, text, wait
from tests.sim.steps import replay


def drop(at, water, rebound, codes=()):
    """One drop, written down: the ball to the rule, let go, read."""
    keys(at, *codes, K.K_r, K.K_SPACE)
    wait(at, 2.0)
    key(at, K.K_n)
    if at.desk.focus == "rough.temperature":
        text(at, water)
        key(at, K.K_RETURN)
    text(at, rebound)
    key(at, K.K_RETURN)


def table_on(at, number):
    key(at, K.K_0 + number, K.KMOD_CTRL)
    blocks = PAGES[at.desk.page].blocks(at.desk)
    return [row.cells for block in blocks if isinstance(block, TableBox) for row in block.rows]


MIX = (K.K_h, K.K_c)
PUT_BACK = (K.K_b, K.K_t)


def test_a_temperature_stands_as_it_was_written():
    at = bench()
    drop(at, "48.0 C", "38.5 cm", (*MIX, *PUT_BACK))
    drop(at, "48.0 C", "38 cm")
    assert [row[1:3] for row in table_on(at, 3)] == [("48.0 °C", "38 cm"), ("48.0 °C", "38.5 cm")]
    assert table_on(at, 4)[0] == ("48.0 °C", "38.5,  38")
    assert named_temperature(at.desk.state) == "48.0 °C"
    assert replay(Setup(seed=3), at.keeper.actions) == at.desk.state


def test_read_by_knows_the_camera_and_the_aid():
    at = bench()
    drop(at, "20 C", "27 cm")
    drop(at, "20 C", "27 cm", (K.K_k,))
    drop(at, "20 C", "27 cm", (K.K_k, K.K_a))
    assert [row[3] for row in table_on(at, 3)] == ["aid", "camera", "own eye"]


def test_readings_of_water_that_cooled_are_one_row_on_the_page_and_in_the_marking():
    at = bench()
    drop(at, "48.0 C", "38 cm", (*MIX, *PUT_BACK))
    for water in ("46.5 C", "45.0 C"):
        drop(at, water, "38 cm", PUT_BACK)
    drop(at, "38.0 C", "33 cm", (K.K_c, *PUT_BACK))
    assert [row[0] for row in table_on(at, 4)[:2]] == ["45.0 to 48.0 °C", "38.0 °C"]
    study = Study(work_of(at.desk.state))
    assert [len(one.standing_cm) for one in study.sets] == [1, 3]


def test_water_that_was_let_cool_to_another_temperature_is_another_row():
    at = bench()
    drop(at, "48 C", "38 cm", (*MIX, *PUT_BACK))
    drop(at, "38 C", "33 cm", PUT_BACK)
    assert len(sets_of(at.desk.state.rough)) == 2


def test_with_a_plan_each_reading_belongs_to_its_temperature():
    plan = Procedure(temperatures_k=(303.15, 323.15), repeats=2, bath="beaker")
    at = bench(Setup(seed=3, plan=plan))
    drop(at, "51.0 C", "38 cm", (*MIX, *PUT_BACK))
    drop(at, "48.5 C", "38 cm", (K.K_h, *PUT_BACK))
    assert len(sets_of(at.desk.state.rough, plan)) == 1
    assert len(sets_of(at.desk.state.rough)) == 2


def test_a_temperature_that_was_asked_about_is_named_for_good():
    at = bench()
    for water, codes in (("30.0 C", MIX), ("40.0 C", (K.K_h,)), ("50.0 C", (K.K_h,))):
        drop(at, water, "38 cm", (*codes, *PUT_BACK))
        drop(at, water, "38 cm")
        key(at, K.K_6, K.KMOD_CTRL)
        words = [b.text for b in PAGES["Conclusion"].blocks(at.desk) if isinstance(b, Words)]
        assert any("30.0\u00a0°C" in one for one in words)
        key(at, K.K_ESCAPE)
    assert named_temperature(at.desk.state) == "30.0 °C"
    assert Study(work_of(at.desk.state)).named_c == 30.0
    again = replay(Setup(seed=3), at.keeper.actions)
    assert named_temperature(again) == "30.0 °C"
