"""What a page says beside its questions earns nothing when it is copied into an answer."""

import re

import pygame as K
import pytest

from analysis.marking.mark import mark
from analysis.marking.questions import ANSWERED, EVALUATION, HAZARDS
from analysis.marking.work import Verdict, Work
from analysis.paper.cautions import IN_ONE_PARAGRAPH
from analysis.paper.document import Listing, Paragraph, RuledLines
from analysis.workbook import workbook
from sim import actions as act
from sim.bench.model.desk import ROUGH
from sim.bench.model.hints import hint
from sim.bench.model.pages.question_pages import LEFT_ONLY, SUGGESTED
from sim.practical import apply
from tests.bench.books import PERFORMED, open_page, said, sitting
from tests.bench.hands import bench, key, keys, wait

IN_WORDS = [
    asked
    for asked in ANSWERED.values()
    if asked.answer.form in ("words", "sentences") and not asked.optional
]
WRITTEN = {
    (asked.page, asked.name): asked.right for asked in IN_WORDS if isinstance(asked.right, str)
}
"""Right answers: what a copied one builds on stands on the same page, and is answered rightly."""


def pieces(texts):
    """Each text, its sentences, and the parts of these, of two words or more."""
    for text in texts:
        sentences = re.split(r"(?<=[.;:!?])\s+", text)
        parts = [part for sentence in sentences for part in re.split(r"[,;:]\s+", sentence)]
        for piece in dict.fromkeys((text, *sentences, *parts)):
            if len(piece.split()) > 1:
                yield piece.strip(" .;:")


def earned(page, texts):
    """Which questions of a page a copied piece earns, with the piece."""
    beside = {place: right for place, right in WRITTEN.items() if place[0] == page}
    for asked in (one for one in IN_WORDS if one.page == page):
        for piece in dict.fromkeys(pieces(texts)):
            work = Work(answers={**beside, (page, asked.name): piece}, rough=())
            remarks = {one.criterion: one.verdict for one in mark(work).of_page(page)}
            if remarks[asked.criterion] in (Verdict.RIGHT, Verdict.CARRIED):
                yield asked.name, piece


@pytest.mark.parametrize("page", dict.fromkeys(asked.page for asked in IN_WORDS))
def test_no_words_of_a_page_of_the_bench_earn_a_mark_on_it(page):
    at = sitting()
    open_page(at, page)
    assert list(earned(page, said(at))) == []


def printed(page):
    for section in workbook().sections:
        if section.title.startswith(page):
            for block in section.blocks:
                if isinstance(block, Paragraph):
                    yield block.text
                elif isinstance(block, RuledLines):
                    yield from (block.question, block.hint)
                elif isinstance(block, Listing):
                    yield from block.items


@pytest.mark.parametrize("page", dict.fromkeys(asked.page for asked in IN_WORDS))
def test_no_words_of_a_sheet_of_the_workbook_earn_a_mark_on_it(page):
    assert list(earned(page, printed(page))) == []


def test_the_cautions_stand_beside_the_readings_and_not_beside_the_hazards():
    at = sitting()
    open_page(at, HAZARDS)
    assert IN_ONE_PARAGRAPH not in said(at)
    open_page(at, ROUGH)
    assert IN_ONE_PARAGRAPH in said(at)
    assert list(earned(HAZARDS, [IN_ONE_PARAGRAPH])) != []  # so that it may not stand there


@pytest.mark.parametrize("page", [HAZARDS, EVALUATION])
def test_no_hint_at_the_foot_earns_a_mark_on_the_page_beside_it(page):
    at = bench()
    told = set()
    for codes in ((), (K.K_h, K.K_c), (K.K_b,), (K.K_r,), (K.K_t,), (K.K_r,), (K.K_SPACE,)):
        keys(at, *codes)
        wait(at, 2.0)
        open_page(at, page)
        told.add(hint(at.desk))
        key(at, K.K_ESCAPE)
    assert len(told) > 1  # how long to soak may be said anywhere
    assert list(earned(page, sorted(told))) == []


def test_improvements_are_suggested_when_the_worked_steps_are_shown():
    state = PERFORMED.end
    for tries in range(3):
        at = sitting(state)
        open_page(at, EVALUATION)
        for words in (SUGGESTED.keys, LEFT_ONLY):
            assert (words in said(at)) is (tries == 2)
        state = apply(state, act.AskForFeedback(EVALUATION))
