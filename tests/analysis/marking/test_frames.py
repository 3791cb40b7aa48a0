"""Sentences to finish: right or wrong by the words that were chosen, never left to the teacher."""

from itertools import product

import pytest

from analysis.marking.mark import mark
from analysis.marking.questions import ANSWERED, ENERGY, EVALUATION, METHOD
from analysis.marking.work import Verdict, Work

FRAMED = [asked for asked in ANSWERED.values() if asked.frame]
FIRST = [asked for asked in FRAMED if not asked.name.endswith(" 2")]
BASES = {
    "drop height": "the drop height",
    "the surface": "the surface it lands on",
    "time in the water": "how long the ball is in the water",
    "time out of the water": "the time between taking it out of the water and dropping it",
    "the ball cools": "The ball cools down between the drops.",
    "the ball is not at the water's temperature": "The ball had not warmed through.",
    "parallax": "My eye was not level with the ball.",
    "judging the top by eye": "It is hard to see the highest point because it moves so fast.",
    "the ruler stands wrong": "The ruler was not vertical.",
    "the drop height varies": "I did not drop it from exactly the same height each time.",
}
"""By the name of the criteria a free answer that says it, for the sentence to build on."""


def judged(asked, text, base=""):
    answers = {(asked.page, name): base for name in asked.builds_on}
    work = Work(answers={**answers, (asked.page, asked.name): text}, rough=())
    return next(one for one in mark(work).remarks if one.criterion == asked.criterion)


def base_of(asked, about):
    """What the answer builds on; an inaccuracy builds on the first one only not to be the same."""
    return BASES[next(iter(about))] if about and not asked.name.startswith("inaccuracy") else ""


def test_causal_questions_have_a_sentence_to_finish():
    assert {(one.page, one.name) for one in FRAMED} == {
        *((METHOD, f"reason {n}") for n in (1, 2)),
        (EVALUATION, "resolution"),
        *((EVALUATION, f"{name} {n}") for name in ("inaccuracy", "improvement") for n in (1, 2)),
        (ENERGY, "where it went"),
    }


@pytest.mark.parametrize("asked", FIRST, ids=lambda asked: asked.name)
def test_each_true_sentence_earns_the_mark_beside_what_it_is_about(asked):
    for chosen, about in asked.frame.right.items():
        sentence = asked.frame.sentence(chosen)
        for name in about or ("",):
            found = judged(asked, sentence, base_of(asked, {name} - {""}))
            assert found.verdict is Verdict.RIGHT, (sentence, name)
            assert found.evidence == (sentence,)


@pytest.mark.parametrize("asked", FIRST, ids=lambda asked: asked.name)
def test_every_other_choice_of_words_is_told_whatever_it_builds_on(asked):
    wrong = set(product(*(piece.choices for piece in asked.frame.pieces))) - set(asked.frame.right)
    bases = ["", *BASES.values()]
    for at, chosen in enumerate(sorted(wrong)):
        found = judged(asked, asked.frame.sentence(chosen), bases[at % len(bases)])
        assert found.verdict is Verdict.WRONG, chosen
        assert found.nudge


@pytest.mark.parametrize("asked", FIRST, ids=lambda asked: asked.name)
def test_no_gap_gives_its_words_away(asked):
    ways = 1
    for gap, piece in enumerate(asked.frame.pieces):
        assert len(piece.choices) >= 3
        # Whichever words stand in one gap, others of the sentence can make it untrue.
        true = {chosen[gap] for chosen in asked.frame.right}
        assert true <= set(piece.choices)
        assert len(true) < len(piece.choices) or len(asked.frame.right) > len(true)
        ways *= len(piece.choices)
    assert len(asked.frame.right) / ways < 0.11  # one in nine at most by luck


@pytest.mark.parametrize(
    "spelled", [str.lower, str.upper, lambda text: f"  {text[:-1]} \n", lambda text: text + "."]
)
def test_a_sentence_typed_off_is_known_again(spelled):
    asked = ANSWERED[METHOD, "reason 1"]
    chosen = ("drop height", "greater", "more", "higher")
    sentence = asked.frame.sentence(chosen)
    assert judged(asked, spelled(sentence), "drop height").verdict is Verdict.RIGHT
    untrue = asked.frame.sentence(("drop height", "greater", "more", "lower"))
    assert judged(asked, spelled(untrue), "drop height").verdict is Verdict.WRONG


def test_a_true_sentence_about_something_else_is_told():
    asked = ANSWERED[METHOD, "reason 1"]
    softer = asked.frame.sentence(("floor", "softer", "less", "lower"))
    found = judged(asked, softer, "the drop height")
    assert found.verdict is Verdict.WRONG
    assert "something else than your answer just before it" in found.nudge
    assert judged(asked, softer, "").verdict is Verdict.WRONG
    assert judged(asked, softer, "the flooring we had").verdict in (Verdict.RIGHT, Verdict.TEACHER)


def test_an_open_gap_is_told():
    asked = ANSWERED[ENERGY, "where it went"]
    for chosen in (("",) * 4, ("transferred to", "thermal", "", "was about to fall")):
        found = judged(asked, asked.frame.sentence(chosen))
        assert found.verdict is Verdict.WRONG
        assert "gap" in found.nudge


def test_the_same_inaccuracy_twice_earns_one_mark():
    asked = ANSWERED[EVALUATION, "inaccuracy 2"]
    cooled = asked.frame.sentence(("ball", "cooled before it was dropped", "too low"))
    assert judged(asked, cooled, BASES["the ball cools"]).verdict is Verdict.WRONG
    assert judged(asked, cooled, BASES["parallax"]).verdict is Verdict.RIGHT


def test_an_improvement_by_sentence_fits_an_inaccuracy_by_sentence():
    fault, mended = (ANSWERED[EVALUATION, f"{name} 1"] for name in ("inaccuracy", "improvement"))
    for chosen, about in fault.frame.right.items():
        for ways, cures in mended.frame.right.items():
            found = judged(mended, mended.frame.sentence(ways), fault.frame.sentence(chosen))
            assert (found.verdict is Verdict.RIGHT) is bool(about & cures)
            assert found.verdict in (Verdict.RIGHT, Verdict.WRONG)


def test_a_sentence_that_was_changed_by_hand_is_free_text_again():
    asked = ANSWERED[METHOD, "reason 1"]
    sentence = asked.frame.sentence(("drop height", "greater", "more", "higher"))
    assert asked.frame.chosen(sentence + " That is why.") is None
    assert judged(asked, "A higher drop gives it more energy, so it bounces higher.", "drop height")
