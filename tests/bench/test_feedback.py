"""Feedback on the pages of the exercise book: asked for, in two stages, inside its boxes."""

from dataclasses import replace
from functools import reduce

import pygame as K
import pytest

from analysis.marking.questions import QUESTIONS_OF
from analysis.marking.work import Verdict
from physics.constants import ZERO_CELSIUS_K
from physics.reading import CAREFUL
from sim.bench.model.after import PAGES
from sim.bench.model.pages.question_pages import parted, side_by_side
from sim.bench.screen.lettering import MEASURE
from sim.bench.ui.blocks import focus_order
from sim.marking import named_temperature, work_of
from sim.practical import apply
from sim.procedure import Procedure
from sim.student import perform
from tests.bench.books import FULL, ORDER, PERFORMED, SETUP, enter, open_page, press, said, sitting
from tests.bench.hands import bench, key
from tests.sim.steps import replay


def line(celsius, height_cm, reheated):
    first = PERFORMED.end.rough[0]
    drop = replace(first.drop, reheated=reheated)
    kelvin = ZERO_CELSIUS_K + celsius
    return replace(first, temperature_k=kelvin, height_m=height_cm / 100.0, drop=drop)


def test_feedback_nudges_first_and_shows_the_step_the_second_time():
    at = sitting(FULL)
    open_page(at, "Conclusion")
    enter(at, "Conclusion.gradient", "17 cm/°C")
    press(at, "Conclusion.feedback")
    remark = next(r for r in at.desk.remarks["Conclusion"] if r.verdict is Verdict.WRONG)
    assert remark.nudge != remark.worked
    assert any(remark.nudge in words for words in said(at))
    assert not any(remark.worked in words for words in said(at))
    assert at.desk.state.book.tries == {"Conclusion": 1}
    key(at, K.K_RETURN)
    assert any(remark.worked in words for words in said(at))
    assert at.desk.state.book.tries == {"Conclusion": 2}
    assert work_of(at.desk.state).tries == {"Conclusion": 2}
    again = replay(SETUP, PERFORMED.actions)
    assert reduce(apply, at.keeper.actions, again).book.tries == {"Conclusion": 2}


@pytest.mark.parametrize("page", QUESTIONS_OF)
def test_a_blank_page_names_each_question_that_waits_and_says_nothing_twice(page):
    at = bench()
    open_page(at, page)
    press(at, f"{page}.feedback")
    lines = [words for words in said(at) if words.startswith(Verdict.MISSING.sign)]
    assert lines
    assert len(lines) == len(set(lines))
    marked = {remark.of.question for remark in at.desk.remarks[page]} - {""}
    assert all(any(f"({name})" in words for words in lines) for name in marked)


def test_what_stood_beside_a_right_answer_is_answered_too():
    at = sitting(FULL)
    open_page(at, "Conclusion")
    enter(at, "Conclusion.relationship", "It goes up because the air inside has more pressure.")
    press(at, "Conclusion.feedback")
    told = next(words for words in said(at) if "does press harder" in words)
    assert told.startswith(f"{Verdict.RIGHT.sign} ")


UNMARKED = ("Rough readings", "Hand in")


@pytest.mark.parametrize("page", [page for page in ORDER if page not in UNMARKED])
def test_feedback_can_be_asked_for_on_every_page_and_comes_into_sight(page):
    at = sitting(FULL)
    open_page(at, page)
    press(at, f"{page}.feedback")
    remarks = at.desk.remarks[page]
    assert remarks
    assert all(remark.page == page for remark in remarks)
    assert at.desk.state.book.tries == {page: 1}
    seen = at.seen()
    button = seen.sheet.frame(f"{page}.feedback").box
    first = next(p for p in seen.sheet.placed if p.box.y > button.bottom)
    assert first.box.y < at.scroll_px + seen.layout.page.height - 100


def test_nothing_is_marked_before_it_is_asked_for():
    at = sitting(FULL)
    for page in ORDER:
        open_page(at, page)
    assert not at.desk.remarks
    assert not at.desk.state.book.tries


@pytest.mark.parametrize("scale", [1.0, 1.5])
@pytest.mark.parametrize("page", ORDER)
def test_every_line_of_a_full_book_with_feedback_stays_inside(page, scale):
    at = sitting(FULL)
    for _ in range(2 if scale == 1.5 else 0):
        key(at, K.K_EQUALS, K.KMOD_CTRL)
    assert at.desk.text_scale == scale
    open_page(at, page)
    if page not in UNMARKED:
        enter(at, next(iter(focus_order(PAGES[page].blocks(at.desk)))), "nonsense")
        press(at, f"{page}.feedback")
        key(at, K.K_RETURN)
    sheet = at.seen().sheet
    for placed in sheet.placed:
        inner = [(frame.box, line) for frame in placed.frames for line in frame.lines]
        for box, line in (*((placed.box, line) for line in placed.lines), *inner):
            width = MEASURE.width_px(line.text.rstrip(), line.size_px, line.bold)
            assert box.x <= line.x, line.text
            assert line.x + width <= box.right, line.text
            assert box.y <= line.y, line.text
            assert line.y + line.size_px <= box.bottom, line.text
        assert placed.box.right <= sheet.width_px


def test_the_named_temperature_is_the_marking_s_own():
    assert named_temperature(PERFORMED.end) == "40 °C"
    at = sitting()
    for page in ("Conclusion", "Evaluation", "Energy"):
        open_page(at, page)
        assert any("40\u00a0°C" in words for words in said(at))
    fresh = bench()
    open_page(fresh, "Energy")
    assert any("as soon as" in words for words in said(fresh))


def test_the_two_ways_are_told_apart_also_within_one_temperature():
    lines = (
        *(line(40, 31 + n, n == 0) for n in range(3)),
        *(line(40, 35 + n, True) for n in range(2)),
        *(line(50, 41 + n, n == 0) for n in range(3)),
        line(60, 50, True),
    )
    left, back = parted(lines)
    assert [round(h * 100) for h in left[ZERO_CELSIUS_K + 40]] == [31, 32, 33]
    assert [round(h * 100) for h in back[ZERO_CELSIUS_K + 40]] == [35, 36]
    assert set(left) == {ZERO_CELSIUS_K + 40, ZERO_CELSIUS_K + 50}
    assert set(back) == {ZERO_CELSIUS_K + 40}
    assert parted(()) == ({}, {})


def test_repeats_noted_a_division_apart_are_still_repeats_of_one_set():
    lines = (line(40.2, 31, True), line(39.6, 32, False), line(39.2, 33, False), line(50, 41, True))
    assert [[round(h * 100) for h in heights] for heights in parted(lines)[0].values()] == [
        [31, 32, 33]
    ]


def test_both_sets_stand_side_by_side_once_there_are_both():
    at = sitting()
    open_page(at, "Evaluation")
    assert side_by_side(at.desk.state.rough) == ()
    # What to do for it would answer a question, so it is said with the worked steps.
    assert not any("take repeats both ways" in words for words in said(at))
    other = perform(SETUP, Procedure(observer=CAREFUL, reheat=True)).end.rough
    both = replace(PERFORMED.end, rough=(*PERFORMED.end.rough, *other))
    at = sitting(both)
    open_page(at, "Evaluation")
    sentences = side_by_side(both.rough)
    assert len(sentences) == 4
    assert "agree better" in sentences[0]
    assert "spread" in sentences[1]
    assert all(sentence in said(at) for sentence in sentences)
