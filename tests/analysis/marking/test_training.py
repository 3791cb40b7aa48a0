"""The weights that are shipped are those that the samples give."""

import importlib

import pytest

from analysis.marking.sentences.classifier import own_classifier
from analysis.marking.sentences.criteria import load
from analysis.marking.sentences.language import read

PLAIN = [
    ("relationship", "", "the hotter the ball the higher it bounces"),
    ("relationship", "", "the hotter the ball the lower it bounces"),
    ("reason", "the drop height", "a higher drop gives a higher bounce"),
    ("improvement", "parallax", "get your eye level with the ball"),
    ("resolution", "", "the eye cannot see to a millimetre"),
    ("control", "hot water", "take the ball out with your fingers"),
]


def odds(classifier, kind, base, text):
    vocabulary = load().vocabulary
    return classifier.log_odds(kind, read(text, vocabulary), vocabulary, base)


@pytest.mark.parametrize(("kind", "base", "text"), PLAIN)
def test_plain_answers_read_as_they_are(kind, base, text):
    wrong = "lower" in text or "fingers" in text
    assert (odds(own_classifier(), kind, base, text) < 0.0) is wrong


@pytest.mark.slow
def test_training_anew_gives_the_weights_that_are_shipped():
    pytest.importorskip("sklearn", reason="scikit-learn is not installed")
    training = importlib.import_module("tests.analysis.marking.training")
    anew = training.classifier(tuple(training.judged_answers()))
    shipped = own_classifier()
    assert anew.right == shipped.right
    for one in PLAIN:
        assert odds(anew, *one) == pytest.approx(odds(shipped, *one), abs=0.02)
