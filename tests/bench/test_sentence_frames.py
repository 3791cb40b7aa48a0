"""A sentence is finished by keys alone and kept as plain words; free text stays."""

from itertools import pairwise

import pygame as K
import pytest

from analysis.marking.questions import ANSWERED, METHOD, QUESTIONS_OF
from sim import actions as act
from sim.bench.model.after import PAGES
from sim.bench.model.pages.sentence_frames import OFFER
from sim.bench.screen.app import page_set
from sim.bench.screen.layout import Layout
from sim.bench.ui.blocks import ButtonBox
from tests.bench.books import enter, focus, open_page, press, sitting
from tests.bench.hands import key, text

REASON = "Method.reason 1"
SENTENCE = (
    "If the drop height were greater, the ball would leave the floor with more energy and "
    "rebound higher."
)


def labels(at):
    blocks = PAGES[at.desk.page].blocks(at.desk)
    return [block.label for block in blocks if isinstance(block, ButtonBox)]


def written(at, question="reason 1"):
    return [
        one.text
        for one in at.keeper.actions
        if isinstance(one, act.WriteAnswer) and one.question == question
    ]


def turned_to(at, name, gap, words):
    """Press a gap by the return key until it shows these words."""
    focus(at, f"{name}.gap {gap + 1}")
    page, _, question = name.partition(".")
    frame = ANSWERED[page, question].frame
    for _ in range(12):
        if (frame.chosen(at.desk.fields[name].text) or ("",) * 9)[gap] == words:
            return
        key(at, K.K_RETURN)
    raise AssertionError(f"no such words: {words}")


def finished(at, name=REASON, chosen=("drop height", "greater", "more", "higher")):
    press(at, f"{name}.sentence")
    for gap, words in enumerate(chosen):
        turned_to(at, name, gap, words)


def test_a_sentence_is_finished_by_keys_and_kept_as_plain_words():
    at = sitting()
    open_page(at, METHOD)
    enter(at, "Method.control variable 1", "the drop height")
    finished(at)
    key(at, K.K_TAB)
    assert written(at) == [SENTENCE]
    assert at.desk.state.book.answers[METHOD, "reason 1"] == SENTENCE
    press(at, "Method.feedback")
    remarks = {one.criterion: one for one in at.desk.remarks[METHOD]}
    assert remarks["method.reason 1"].verdict.earns


def test_a_wrong_choice_is_told_and_can_be_turned_on():
    at = sitting()
    open_page(at, METHOD)
    enter(at, "Method.control variable 1", "the drop height")
    finished(at, chosen=("drop height", "greater", "less", "higher"))
    press(at, "Method.feedback")
    said = {one.criterion: one for one in at.desk.remarks[METHOD]}["method.reason 1"]
    assert "not true" in said.nudge
    turned_to(at, REASON, 2, "more")
    key(at, K.K_TAB)
    assert written(at)[-1] == SENTENCE


def test_a_sentence_with_a_gap_is_not_kept():
    at = sitting()
    open_page(at, METHOD)
    press(at, f"{REASON}.sentence")
    turned_to(at, REASON, 0, "drop height")
    key(at, K.K_TAB)
    key(at, K.K_ESCAPE)
    assert written(at) == []
    assert at.desk.fields[REASON].text.startswith("If the drop height were …")


def test_own_words_have_no_buttons_and_an_empty_field_offers_the_sentence_again():
    at = sitting()
    open_page(at, METHOD)
    assert labels(at).count(OFFER) == 2
    enter(at, REASON, "a higher drop gives more energy")
    assert labels(at).count(OFFER) == 1
    assert not [label for label in labels(at) if label.startswith("If the")]
    key(at, K.K_a, K.KMOD_CTRL)
    key(at, K.K_DELETE)
    assert labels(at).count(OFFER) == 2


def test_a_sentence_may_be_written_on_by_hand():
    at = sitting()
    open_page(at, METHOD)
    finished(at)
    focus(at, REASON)
    text(at, " So it must not change.")
    assert not [label for label in labels(at) if label.startswith("If the")]
    key(at, K.K_TAB)
    assert written(at)[-1] == f"{SENTENCE} So it must not change."


@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("page", ["Method", "Evaluation", "Energy"])
def test_every_gap_keeps_to_the_page_with_its_longest_words(page, scale):
    at = sitting()
    open_page(at, page)
    for asked in (one for one in QUESTIONS_OF[page] if one.frame):
        finished(
            at,
            f"{page}.{asked.name}",
            [max(piece.choices, key=len) for piece in asked.frame.pieces],
        )
    page_as_set = page_set(Layout(text_scale=scale), PAGES[page].blocks(at.desk), "")
    boxes = [one.box for one in page_as_set.placed if isinstance(one.source, ButtonBox)]
    assert all(box.x >= 0 and box.right <= page_as_set.width_px for box in boxes)
    for one, other in pairwise(boxes):
        assert one.right <= other.x or one.bottom <= other.y
