"""The registry: each question has words, room, a criterion, and a right answer that earns it."""

from dataclasses import replace

import pytest

from analysis.marking.mark import mark
from analysis.marking.questions import ANSWERED, GRAPH, HAZARDS, QUESTIONS_OF
from analysis.marking.study import Study
from analysis.marking.work import Verdict, Work
from tests.analysis.marking.right_work import Style, right_work
from tests.bookwork import right_answer

EVERY = [question for page in QUESTIONS_OF for question in QUESTIONS_OF[page]]
ASKED = [question for question in ANSWERED.values() if not question.optional]


WIDE = {20: (19, 29, 24), 30: (24, 35, 30), 40: (30, 42, 36), 50: (36, 48, 42), 60: (43, 54, 48)}
"""Readings of which nobody can say that they are repeatable, heights in cm by °C."""


def answered(heights_cm=None, style=None):
    """Right work whose answers are those of the registry."""
    work = right_work(heights_cm, style)
    study = Study(work)
    answers = {place: right_answer(asked, study) for place, asked in ANSWERED.items()}
    return replace(work, answers=answers)


def test_every_question_has_its_own_name_words_and_room():
    assert len({(one.page, one.name) for one in EVERY}) == len(EVERY) > 40
    for one in EVERY:
        assert one.words
        assert one.room.screen >= 1
        assert one.room.paper >= 1 or one.page in (HAZARDS, GRAPH)
        assert (one.answer.form in ("quantity", "number")) >= bool(one.answer.quantity)


def test_every_criterion_is_one_that_is_marked():
    marked = {remark.criterion for remark in mark(Work(rough=())).remarks}
    assert {one.criterion for one in EVERY if not one.optional} <= marked
    assert {one.name for one in EVERY if one.optional} == {"hazard 3", "risk 3", "control 3"}


@pytest.mark.parametrize(("heights_cm", "style"), [(None, None), (WIDE, Style(mean_places=0))])
def test_the_right_answers_earn_every_mark(heights_cm, style):
    feedback = mark(answered(heights_cm, style))
    assert [one.criterion for one in feedback.remarks if one.verdict is not Verdict.RIGHT] == []


@pytest.mark.parametrize("asked", ASKED, ids=lambda asked: f"{asked.page}: {asked.name}")
def test_an_answer_left_blank_loses_the_criterion_of_its_question(asked):
    work = answered()
    blank = {**work.answers, (asked.page, asked.name): " "}
    lost = {
        one.criterion
        for one in mark(replace(work, answers=blank)).remarks
        if one.verdict is Verdict.MISSING
    }
    assert asked.criterion in lost
