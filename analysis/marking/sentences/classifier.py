"""Whether an answer reads like right ones: logistic regression on its words and their pairs.

The lists of the criteria see that the words that earn a mark stand there. This sees how they stand
together: it has learned from answers that were judged one by one what words, and what pairs of
words near one another, right and wrong answers to a question are made of (logistic regression,
Cox 1958, on the presence of each). It holds a mark back that the lists would give, decides where
they are unsure, and gives one that they know nothing of where it is surer still. What they find
wrong it never credits. Its weights stand in classifier.json beside this module and are made by
`python -m tests.analysis.marking.training`.
"""

from __future__ import annotations

from collections.abc import Collection, Generator, Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations, pairwise
from math import fsum
from pathlib import Path
from typing import Any

import msgspec

from analysis.marking.sentences.language import Answer, Vocabulary, stems, wording
from analysis.marking.sentences.read_once import ReadOnce

OWN_FILE = Path(__file__).with_name("classifier.json")
_REACH = 3
"""Words are a pair up to so many places apart."""
_MOST_UNKNOWN = 4
ANYWHERE = "anywhere"
"""The weights of what is learned from the answers to all questions together."""
BESIDE = "| "
"""Parts a word of what an answer builds on from a word of the answer."""
CREDIT, RESCUE, ALONE = 1.5, 2.5, 3.5
"""Log odds from which an answer reads right: one that the lists credit, one that they are unsure
of, and one in which they know nothing. Chosen on answers held out in turn, author by author."""


@dataclass(frozen=True)
class Classifier:
    """The weights of an answer's features, question by question, and of what is found anywhere."""

    biases: Mapping[str, float]
    weights: Mapping[str, Mapping[str, float]]
    right: Mapping[str, frozenset[str]]
    """By kind of question the answers that were found right, as `bare_words` has them."""
    bases: Mapping[str, frozenset[str]]
    """By kind of question the words of the answers that its answers were built on."""

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of question whose answers it has learned from, such as "reason"."""
        return tuple(kind for kind in self.weights if kind != ANYWHERE)

    def can_judge(self, kind: str, base: str) -> bool:
        """Whether it has met anything of what an answer builds on."""
        return not base or not self.bases[kind].isdisjoint(stems(base))

    def has_seen(self, kind: str, answer: Answer, vocabulary: Vocabulary) -> bool:
        """Whether these very words were found right once."""
        return bare_words(answer, vocabulary) in self.right.get(kind, frozenset())

    def log_odds(self, kind: str, answer: Answer, vocabulary: Vocabulary, base: str) -> float:
        """Natural logarithm of the odds that an examiner would give the mark.

        `base` is the answer that this one builds on, "" for none. Raises KeyError for a kind of
        question that it does not know.
        """
        own, shared = self.weights[kind], self.weights[ANYWHERE]
        found = set(features(answer, vocabulary, base))
        found |= unknown(found, own)
        # The order of a set is another in every process, and a plain sum would round by it.
        return fsum([self.biases[kind], *(row.get(f, 0.0) for f in found for row in (own, shared))])


def bare_words(answer: Answer, vocabulary: Vocabulary) -> str:
    """An answer without what changes nothing, as one text; any number is a "#"."""
    return " ".join(_written(answer, vocabulary))


def _written(answer: Answer, vocabulary: Vocabulary) -> list[str]:
    words = wording(answer.text, vocabulary)
    return ["#" if word[0].isdigit() else word for word in words]


def features(answer: Answer, vocabulary: Vocabulary, base: str) -> Iterator[str]:
    """What stands in an answer: its words, the pairs of them, and each beside what it builds on.

    Negated words bear a "!". Pairs are told by how far apart they are: ">" next to one another,
    ">>" further, "&" anywhere in one clause and in any order. Once the little words count ("into
    water"), and once they do not.
    """
    written = ["<", *_written(answer, vocabulary)]
    counted = [f"!{one.stem}" if one.negated else one.stem for one in answer.tokens]
    yield from written
    yield from _pairs([*written, "."])
    yield from (f"'{one}" for one in counted)
    yield from (f"'{one}" for one in _pairs(counted))
    for token, stem in zip(answer.tokens, counted, strict=True):
        if token.opener:
            yield f"{token.opener}: {stem}"
        if token.compared:
            yield f"than: {stem}"
    placed = sorted(
        (stem, token.clause) for token, stem in zip(answer.tokens, counted, strict=True)
    )
    together = combinations(placed, 2)
    yield from (f"{one}&{other}" for (one, at), (other, its) in together if at == its)
    for one in stems(base):
        yield from (f"{one}{BESIDE}{word}" for word in {*counted, *written})


def _pairs(words: list[str]) -> Iterator[str]:
    yield from (f"{one}>{other}" for one, other in pairwise(words))
    for apart in range(2, _REACH + 1):
        yield from (f"{one}>>{other}" for one, other in zip(words, words[apart:], strict=False))


def unknown(found: Collection[str], known: Collection[str]) -> set[str]:
    """How many words of an answer, and how many of its pairs, were in no answer learned from."""
    words = sum(one not in known for one in found if one.isalpha())
    pairs = [one for one in found if is_pair(one)]
    share = sum(one not in known for one in pairs) / max(len(pairs), 1)
    return {f"unknown words {n}" for n in range(1, min(words, _MOST_UNKNOWN) + 1)} | {
        f"unknown pairs {tenth}" for tenth in range(1, int(10 * share) + 1)
    }


def is_pair(feature: str) -> bool:
    """Whether it is two words next to one another as they were written."""
    return ">" in feature and ">>" not in feature and not feature.startswith("'")


def _reading() -> Generator[None, None, Classifier]:
    parts = msgspec.json.decode(OWN_FILE.read_bytes(), type=dict[str, dict[str, msgspec.Raw]])
    content: dict[str, dict[str, Any]] = {}
    for part, rows in parts.items():
        content[part] = {}
        for kind, row in rows.items():
            yield
            content[part][kind] = msgspec.json.decode(row)
    yield
    return classifier_of(content)


own_classifier = ReadOnce(_reading)
"""The program's own weights."""


def classifier_of(content: Mapping[str, Any]) -> Classifier:
    """The classifier as its file holds it."""
    right = {kind: frozenset(texts) for kind, texts in content["right"].items()}
    bases = {
        kind: frozenset(name.partition(BESIDE)[0] for name in row if BESIDE in name)
        for kind, row in content["weights"].items()
    }
    return Classifier(content["biases"], content["weights"], right, bases)
