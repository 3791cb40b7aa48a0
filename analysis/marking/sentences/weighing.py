"""What was found in an answer weighed: for it, against it, and whether it reads like a right one.

The lists see words; a heap of them, the question copied out, a sign of doubt and a cause that is
turned round are seen here. Where a row of the criteria asks for it (`reads_like`), an answer must
also read like those that an examiner found right.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from rapidfuzz import fuzz

from analysis.marking.questions import ANSWERED
from analysis.marking.sentences.claims import is_reversed
from analysis.marking.sentences.classifier import ALONE, CREDIT, RESCUE, own_classifier
from analysis.marking.sentences.criteria import Criteria, CriterionRow
from analysis.marking.sentences.language import Answer, read, stems
from analysis.marking.sentences.own_numbers import in_centimetres
from analysis.marking.sentences.phrases import How, HowSaid, Outcome, find
from analysis.marking.work import Guess, QuestionKey, Verdict

_SAME_TEXT = 90.0
"""Percent of likeness from which an answer is the question over again. Ours, no source."""
_FEW_WORDS, _HALF, _MOST, _NEARLY_ALL = 4, 0.5, 0.6, 0.8
"""An answer of at least so many stems, all of them the question's, says the question over again
from such a share of it: most of it where nothing else was found, nearly all of it in any case, and
half of it where a whole sentence is wanted."""
SHORT, _PLAIN = 8, 16
"""Up to so many words an answer that says too little says no more than that; up to so many, one
that contradicts what is right says nothing right beside it."""
_HARDLY = -1.5
"""Log odds of being right below which an answer most likely says nothing right."""
_HEAP = 5
"""So many words or more in a sentence, and no little word among them, are a heap of key words."""


_FOUND = (How.SAID, How.CARRIED, How.UNSURE)


@dataclass(frozen=True)
class Judged:
    """A question's verdict, kept for the questions that build on it."""

    verdict: Verdict
    evidence: tuple[str, ...] = ()
    nudge: str = ""
    note: str = ""
    """What is said of a thing that stood beside the answer, whatever the verdict."""
    chosen: frozenset[str] = frozenset()
    guess: Guess | None = None


def built_on(row: CriterionRow, answers: Mapping[QuestionKey, str]) -> str:
    """The answer of the same page that the row's answer builds on; "" for none."""
    return answers.get((row.criterion.page, row.fits), "")


def is_question_again(row: CriterionRow, answer: Answer) -> bool:
    """Whether the answer is hardly more than its question."""
    share = _HALF if row.rule == "says" else _NEARLY_ALL
    return _likeness(row, answer.text) >= _SAME_TEXT or _copied(row, answer, share)


def weighed(
    row: CriterionRow, answer: Answer, said: Outcome, criteria: Criteria, base: str
) -> Judged:
    """Weigh what was said against what contradicts it, what makes it doubtful, and how it reads.

    `base` is the answer that this one builds on.
    """
    against = find(row.lists.get("contradicts", ()), answer)
    contradicted = against.how is HowSaid.SAID
    mocks = _mocks(answer, criteria)
    doubtful = mocks or _doubtful(row, answer, said, criteria)
    odds = _log_odds(row, answer, criteria, base)
    if not mocks and _passes(said, odds, unsure=doubtful or contradicted):
        carried = said.how is How.CARRIED
        evidence = said.evidence or (answer.text.strip(),)
        return Judged(Verdict.CARRIED if carried else Verdict.RIGHT, evidence, said.nudge)
    if said.how in _FOUND or doubtful:
        evidence = said.evidence + (against.evidence if said.how in _FOUND else ())
        return Judged(Verdict.TEACHER, evidence, guess=_guess(said, odds, contradicted))
    plain = len(answer.tokens) <= _PLAIN
    # Words alone do not send back what reads so much like right answers; a fact of the work does.
    by_words = said.how is How.UNSAID or said.nudge == "does_not_fit"
    misread = by_words and odds is not None and odds >= ALONE
    if (said.how is How.OTHER or (contradicted and plain)) and not misread:
        return Judged(Verdict.WRONG, said.evidence + against.evidence, said.nudge)
    return _left(row, answer, _guess(said, odds, contradicted))


def _log_odds(row: CriterionRow, answer: Answer, criteria: Criteria, base: str) -> float | None:
    """How much the answer reads like right ones; None where the lists decide alone."""
    classifier, vocabulary = own_classifier(), criteria.vocabulary
    if not row.reads_like or not classifier.can_judge(row.reads_like, base):
        return None
    odds = classifier.log_odds(row.reads_like, answer, vocabulary, base)
    named = in_centimetres(answer.text)
    alike = answer if named == answer.text else read(named, vocabulary)
    # Beside another answer the same words may be wrong, so they are credited where the lists agree.
    return max(odds, CREDIT) if classifier.has_seen(row.reads_like, alike, vocabulary) else odds


def _passes(said: Outcome, odds: float | None, *, unsure: bool) -> bool:
    """Whether the answer earns the mark: by what the lists found, and by how it reads."""
    if said.how is How.OTHER or said.for_teacher:
        return False
    if odds is None:
        return said.how in (How.SAID, How.CARRIED) and not unsure
    if said.how is How.UNSAID:
        return odds >= ALONE and not unsure
    return odds >= (RESCUE if unsure else CREDIT)


def _doubtful(row: CriterionRow, answer: Answer, said: Outcome, criteria: Criteria) -> bool:
    kept = find(row.lists.get("teacher", ()), answer).how is HowSaid.SAID
    unsound = said.how is not How.OTHER and _unsound(row, answer, criteria)
    unsure = said.how is How.UNSURE or answer.tangled
    return kept or unsound or unsure


def _mocks(answer: Answer, criteria: Criteria) -> bool:
    """Whether it asks back, or bears a sign that it is not meant."""
    return answer.asking or find(criteria.doubt, answer).how is HowSaid.SAID


def _left(row: CriterionRow, answer: Answer, guess: Guess) -> Judged:
    """What becomes of an answer in which nothing for or against was found."""
    little = find(row.lists.get("too_little", ()), answer)
    if little.how is HowSaid.SAID and len(answer.tokens) <= SHORT:
        return Judged(Verdict.WRONG, little.evidence)
    if _copied(row, answer, _MOST):
        return Judged(Verdict.WRONG, nudge="copied")
    return Judged(Verdict.TEACHER, guess=guess)


def _guess(said: Outcome, odds: float | None, contradicted: bool) -> Guess:
    """What an answer most likely is that nothing decides."""
    if said.how not in _FOUND:
        return "not yet" if odds is None or odds < CREDIT else "half"
    if contradicted or (odds is not None and odds < _HARDLY):
        return "half"
    return "right"


def _unsound(row: CriterionRow, answer: Answer, criteria: Criteria) -> bool:
    """Whether the answer heaps words, or turns cause and effect the wrong way round."""
    asked = ANSWERED.get((row.criterion.page, row.question))
    in_sentences = asked is not None and asked.answer.form == "sentences"
    if in_sentences and answer.bare and len(answer.tokens) >= _HEAP:
        return True
    return row.rule != "same way" and is_reversed(answer, criteria.claims)


def _likeness(row: CriterionRow, text: str) -> float:
    question = _question(row)
    return float(fuzz.ratio(text.lower().strip(" ?.!"), question.lower().strip(" ?.!")))


def _question(row: CriterionRow) -> str:
    asked = ANSWERED.get((row.criterion.page, row.question))
    return asked.words if asked else ""


def _copied(row: CriterionRow, answer: Answer, share: float) -> bool:
    """Whether the answer only says words of the question over again."""
    asked = _asked(_question(row))
    said = {token.stem for token in answer.tokens}
    return len(said) >= _FEW_WORDS and said <= asked and len(said) >= share * len(asked)


@lru_cache(maxsize=256)
def _asked(question: str) -> frozenset[str]:
    return frozenset(stems(question))
