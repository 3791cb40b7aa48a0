"""Free-text answers marked by the criteria; what they cannot decide goes to the teacher.

A mark is given only when a wording that earns it stands there, nothing contradicts it, no negation
turns it and no sign of doubt stands beside it. It is withheld only when a wording says something
else. The rest is for the teacher. The rules that ask for more than wordings are in rules.py.
"""

from __future__ import annotations

from functools import lru_cache

from rapidfuzz import fuzz

from analysis.marking.criteria import Criteria, Row, load
from analysis.marking.language import Answer, read, stems
from analysis.marking.phrases import Found, find
from analysis.marking.questions import ANSWERED
from analysis.marking.remark import Remark, Verdict
from analysis.marking.rules import How, Judged, Marking, Outcome, outcome
from analysis.marking.work import Work

_SAME_TEXT = 90.0
"""Percent of likeness from which an answer is the question over again. Ours, no source."""

_FEW_WORDS, _MOST, _NEARLY_ALL = 4, 0.6, 0.8
"""An answer of at least so many stems, all of them the question's, says the question over again
from such a share of it: most of it where nothing else was found, nearly all of it in any case."""


def mark_written(work: Work, criteria: Criteria | None = None) -> tuple[Remark, ...]:
    """Mark every written answer: one remark for each row, in the order of the criteria file.

    RIGHT and CARRIED carry the student's own words that earned the mark as evidence; WRONG those
    that speak against it, where there are any. `criteria` are the program's own where None.
    """
    criteria = criteria or load()
    marking = Marking(work, criteria)
    return tuple(_remark(row, marking) for row in criteria.rows)


def _remark(row: Row, marking: Marking) -> Remark:
    text = marking.work.answers.get((row.page, row.question), "")
    judged = _judged(row, text, marking)
    marking.judged[row.page, row.question] = judged
    helped = judged.verdict in (Verdict.WRONG, Verdict.MISSING)
    return Remark(
        page=row.page,
        criterion=row.name,
        asks=row.asks,
        verdict=judged.verdict,
        where=row.question,
        nudge=_nudge(row, judged, marking.criteria),
        worked=row.worked if helped else "",
        evidence=judged.evidence,
        marks=row.marks,
    )


def _nudge(row: Row, judged: Judged, criteria: Criteria) -> str:
    if judged.verdict is Verdict.RIGHT:
        return ""
    if judged.verdict in (Verdict.TEACHER, Verdict.CARRIED):
        return criteria.nudges.get(judged.nudge or "teacher", "")
    return criteria.nudges.get(judged.nudge, "") or row.nudge


def _judged(row: Row, text: str, marking: Marking) -> Judged:
    if not text.strip():
        return Judged(Verdict.MISSING)
    answer = read(text, marking.criteria.vocabulary)
    if find(marking.criteria.dont_know, answer).how is Found.SAID or not answer.tokens:
        return Judged(Verdict.WRONG, nudge="dont_know")
    if _likeness(row, text) >= _SAME_TEXT or _copied(row, answer, _NEARLY_ALL):
        return Judged(Verdict.WRONG, nudge="copied")
    said = outcome(row, answer, marking)
    verdict, nudge, evidence = _verdict(row, answer, said, marking.criteria)
    return Judged(verdict, evidence, nudge, said.chosen)


def _verdict(
    row: Row, answer: Answer, said: Outcome, criteria: Criteria
) -> tuple[Verdict, str, tuple[str, ...]]:
    """Weigh what was said against what contradicts it and what makes it doubtful."""
    against = find(row.lists.get("contradicts", ()), answer)
    contradicted = against.how is Found.SAID
    if _doubtful(row, answer, criteria) or said.how is How.UNSURE:
        return Verdict.TEACHER, "", said.evidence
    if said.how in (How.SAID, How.CARRIED):
        if contradicted:
            return Verdict.TEACHER, "", said.evidence + against.evidence
        right = Verdict.RIGHT if said.how is How.SAID else Verdict.CARRIED
        return right, said.nudge, said.evidence
    if said.how is How.OTHER or contradicted:
        return Verdict.WRONG, said.nudge, said.evidence + against.evidence
    return _left(row, answer)


def _left(row: Row, answer: Answer) -> tuple[Verdict, str, tuple[str, ...]]:
    """What becomes of an answer in which nothing for or against was found."""
    little = find(row.lists.get("too_little", ()), answer)
    if little.how is Found.SAID:
        return Verdict.WRONG, "", little.evidence
    copied = _copied(row, answer, _MOST)
    return (Verdict.WRONG, "copied", ()) if copied else (Verdict.TEACHER, "", ())


def _doubtful(row: Row, answer: Answer, criteria: Criteria) -> bool:
    doubt = find(criteria.doubt, answer).how is Found.SAID
    kept = find(row.lists.get("teacher", ()), answer).how is not Found.NOT
    return answer.tangled or answer.asking or doubt or kept


def _likeness(row: Row, text: str) -> float:
    question = _question(row)
    return float(fuzz.ratio(text.lower().strip(" ?.!"), question.lower().strip(" ?.!")))


def _question(row: Row) -> str:
    asked = ANSWERED.get((row.page, row.question))
    return asked.words if asked else ""


def _copied(row: Row, answer: Answer, share: float) -> bool:
    """Whether the answer only says words of the question over again."""
    asked = _asked(_question(row))
    said = {token.stem for token in answer.tokens}
    return len(said) >= _FEW_WORDS and said <= asked and len(said) >= share * len(asked)


@lru_cache(maxsize=256)
def _asked(question: str) -> frozenset[str]:
    return frozenset(stems(question))
