"""Ctrl+Z takes the last writing back, and the record keeps that it was written."""

import pygame as K

from sim import actions as act
from sim.bench.model.hints import told
from tests.bench.books import FULL, SETUP, enter, open_page, sitting
from tests.bench.hands import bench, key, keys, text, wait


def undo(at):
    key(at, K.K_z, K.KMOD_CTRL)


def test_a_reading_is_struck_out_and_can_be_written_anew():
    at = bench(SETUP)
    keys(at, K.K_r, K.K_SPACE)
    wait(at, 2.0)
    for rebound in ("72 cm", "27 cm"):
        key(at, K.K_n)
        if at.desk.focus == "rough.temperature":
            text(at, "20 C")
            key(at, K.K_RETURN)
        text(at, rebound)
        key(at, K.K_RETURN)
        if rebound == "72 cm":
            undo(at)
            assert "struck out" in told(at.desk).text
    first, second = at.desk.state.rough
    assert first.struck_out
    assert second.height_m == 0.27
    assert second.drop is first.drop
    kinds = [type(one) for one in at.keeper.actions]
    assert kinds.count(act.NoteReading) == 2
    assert kinds.count(act.StrikeReading) == 1


def test_answers_cells_crosses_and_the_line_come_back_one_after_another():
    at = sitting(FULL)
    before = at.desk.state.book
    open_page(at, "Energy")
    enter(at, "Energy.efficiency", "99 %")
    open_page(at, "Results table")
    enter(at, "Results table.1.1", "99")
    undo(at)
    assert at.desk.fields["Results table.1.1"].text == before.cells[1, 1]
    undo(at)
    assert at.desk.fields["Energy.efficiency"].text == before.answers["Energy", "efficiency"]
    open_page(at, "Graph")
    key(at, K.K_TAB)
    while at.desk.focus != "Graph.no line":
        key(at, K.K_TAB)
    key(at, K.K_RETURN)
    assert at.desk.state.book.line == ()
    undo(at)
    now = at.desk.state.book
    assert now.line == before.line
    assert dict(now.cells) == dict(before.cells)
    assert before.answers.items() <= now.answers.items()


def test_where_nothing_was_written_that_is_said():
    at = bench(SETUP)
    undo(at)
    assert told(at.desk).text.startswith("Not now: nothing has been written")


def test_on_the_rough_page_what_is_being_typed_goes_before_a_reading_does():
    at = bench(SETUP)
    keys(at, K.K_n)
    text(at, "20")
    undo(at)
    assert at.desk.fields["rough.temperature"].text == ""
    assert at.keeper.actions == []
