"""Makes the weights of the classifier of answers: python -m tests.analysis.marking.training.

They are learned from every answer of samples*.toml but those kept unread, by scikit-learn's
logistic regression. With `--held-out` nothing is written: each author's answers are scored in turn
by weights that were learned without them, and what the thresholds would credit is printed.
"""

import json
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

import numpy as np
from scipy import sparse
from sklearn.feature_extraction import DictVectorizer
from sklearn.linear_model import LogisticRegression

from analysis.marking.sentences import weighing
from analysis.marking.sentences.classifier import (
    ANYWHERE,
    OWN_FILE,
    bare_words,
    classifier_of,
    features,
    is_pair,
    unknown,
)
from analysis.marking.sentences.criteria import load
from analysis.marking.sentences.language import read
from analysis.marking.sentences.weighing import built_on
from tests.analysis.marking.answers import samples, work
from tests.analysis.marking.authors import (
    HERE,
    UNREAD,
    UNREAD_AIMED,
    authors_samples,
    authors_work,
    fates,
    table,
)
from tests.bench.books import open_page, said, sitting
from tests.bench.test_nothing_to_copy import IN_WORDS, WRITTEN, pieces, printed

ROWS = {row.question: row for row in load().rows}
GROUPED = ("samples.toml", "samples_aside.toml", "samples_second.toml")
LOOSENESS = 4.0
"""Inverse of the regression's penalty; 1 and 8 did as well on answers held out."""
OFTEN = 3
"""Fewer answers than this tell nothing of a word or pair."""
HALF = 0.1
"""Weight of an answer that is half right, which is no right one, beside a wrong one's."""
OWN_WORDS = 0.05
"""There are thousands of these pieces."""
LEAST = 0.1
"""Weights smaller than this are left out."""
BIAS, BREAK = "bias", "\t"


@dataclass(frozen=True)
class LabelledAnswer:
    """An answer with its author's verdict, and what stands in it."""

    author: str
    kind: str
    verdict: str
    found: frozenset[str]
    words: str


def judged_answers():
    """Every labelled answer to a question that the classifier is asked about."""
    for path in sorted(HERE.glob("samples*.toml")):
        if path not in (*UNREAD, *UNREAD_AIMED):
            grouped = path.name in GROUPED
            for one in samples(path.name) if grouped else authors_samples(path):
                answers = (work if grouped else authors_work)(one).answers
                yield from _judged(path.stem, one.question, one.text, one.label, answers)
    yield from program_words()


def _judged(author, question, text, verdict, answers):
    row, vocabulary = ROWS[question], load().vocabulary
    if row.reads_like:
        answer = read(text, vocabulary)
        found = frozenset(features(answer, vocabulary, built_on(row, answers)))
        yield LabelledAnswer(author, row.reads_like, verdict, found, bare_words(answer, vocabulary))


def program_words():
    """What the program itself says beside its questions: an answer to none of them."""
    for page in dict.fromkeys(asked.page for asked in IN_WORDS):
        at = sitting()
        open_page(at, page)
        nudges = [row.nudge for row in ROWS.values() if row.criterion.page == page]
        told = dict.fromkeys(pieces([*said(at), *printed(page), *nudges]))
        for asked in (one for one in IN_WORDS if one.page == page):
            for text in told:
                yield from _judged("the program", asked.name, text, "wrong", WRITTEN)


def counts(answers):
    """In how many answers to each kind of question every feature stands."""
    found = {}
    for one in answers:
        found.setdefault(one.kind, Counter()).update(one.found)
    return found


def vector(one, known, own=0):
    """The features by their kind; `own` = 1 where the answer is itself among those counted."""
    seen = known.get(one.kind, Counter())
    met = {feature for feature in one.found if seen[feature] > own}
    every = one.found | unknown(one.found, met)
    names = {f"{kind}{BREAK}{feature}" for kind in (one.kind, ANYWHERE) for feature in every}
    return dict.fromkeys([*names, f"{one.kind}{BREAK}{BIAS}"], 1.0)


def weight_of(one):
    """How much an answer counts."""
    if one.author == "the program":
        return OWN_WORDS
    return HALF if one.verdict == "half" else 1.0


def rarity(rows):
    """What a feature's weight is counted by: more for a rarer one, nothing for one hardly met.

    The square of the inverse document frequency (Spärck Jones 1972), natural logarithm, over 25.
    """
    met = np.asarray(rows.sum(axis=0)).ravel()
    return np.where(met >= OFTEN, np.log((rows.shape[0] + 1) / (met + 1)) ** 2 / 25, 0.0)


def learned(answers):
    """The classifier's content: {"biases": {kind: ...}, "weights": {kind: {feature: ...}}}."""
    known = counts(answers)
    vectorizer = DictVectorizer()
    rows = vectorizer.fit_transform([vector(one, known, own=1) for one in answers])
    scale = rarity(rows)
    fitted = LogisticRegression(C=LOOSENESS, max_iter=1000, class_weight="balanced")
    right = [one.verdict == "right" for one in answers]
    counting = [weight_of(one) for one in answers]
    fitted.fit(rows @ sparse.diags(scale), right, sample_weight=counting)
    weights = {kind: {} for kind in (ANYWHERE, *known)}
    found = fitted.coef_[0] * scale
    for name, weight in zip(vectorizer.get_feature_names_out(), found, strict=True):
        kind, feature = name.split(BREAK)
        weights[kind][feature] = round(float(weight), 2)
    biases = {kind: weights[kind].pop(BIAS) + float(fitted.intercept_[0]) for kind in known}
    texts = {(one.kind, one.words) for one in answers if one.verdict == "right"}
    right = {kind: {words for its, words in texts if its == kind} for kind in known}
    return {"biases": biases, "weights": weights, "right": right}


def tells_known(name):
    """Whether it must be known that a feature was in an answer, however little it weighs."""
    return name.isalpha() or is_pair(name)


def written(content):
    """The weights that count, in an order that does not change."""
    kept = {
        kind: {
            name: weight
            for name, weight in sorted(row.items())
            if abs(weight) >= LEAST or (kind != ANYWHERE and tells_known(name))
        }
        for kind, row in content["weights"].items()
    }
    right = {kind: sorted(texts) for kind, texts in content["right"].items()}
    whole = {"biases": content["biases"], "weights": kept, "right": right}
    return json.dumps(whole, indent=0, ensure_ascii=False)


def classifier(answers):
    """A classifier that has learned from these answers, as it will be read from its file."""
    return classifier_of(json.loads(written(learned(answers))))


def held_out():
    """Print what becomes of each author's answers under weights that were learned without them."""
    every = tuple(judged_answers())
    apart = {"the program", *(Path(one).stem for one in GROUPED)}
    for author in sorted({one.author for one in every} - apart):
        without = classifier([one for one in every if one.author != author])
        with patch.object(weighing, "own_classifier", lambda without=without: without):
            print(author, table(fates(authors_samples(HERE / f"{author}.toml"))), sep="\n")


if __name__ == "__main__":
    if "--held-out" in sys.argv:
        held_out()
    else:
        OWN_FILE.write_text(written(learned(tuple(judged_answers()))) + "\n", encoding="utf-8")
