"""What a class wrote, question by question: the same answer once, with all who gave it.

Two answers are the same where case, spelling, endings and idle words are all that tells them apart,
where they build on the same earlier answers and are held against the same readings or line of the
student's own, and where the program says the same of both. Numbers, cells and graphs stand here
only where they were left, each by itself.

Left answers stand among a sample of the credits, near ones together; likeness orders, and decides
nothing. The sample: of all credited answers in words (a student's answer to one question counts as
one) `AUDITED` are drawn, each as likely as any other, by a hash of what and whose they are, so that
the same class gives the same sample. Where none of 30 is found wrong, at most 10 % of all credits
are, with 95 % confidence: 0.9 to the power of 30 is 0.04 (the "rule of three" of statistics).
"""

from __future__ import annotations

import hashlib
from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, get_args

import numpy as np
from rapidfuzz import fuzz, process

from analysis.marking.questions import ANSWERED
from analysis.marking.work import AnswerGiven, Remark, Verdict
from analysis.readings.columns import OutColumn, text_column
from sim.classroom.corrections import (
    ANSWER,
    BUILDS_ON,
    CRITERION,
    OWN_WORK,
    REASON,
    STUDENT,
    VERDICT,
    WORD_OF,
    student_list,
    student_runs,
    word_table,
)
from sim.classroom.names import MOST_NAMES

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from pathlib import Path

    from analysis.marking.work import Feedback
    from sim.classroom.corrections import SameAnswers

AUDITED = 30
"""Credits that the teacher is asked to look at, or all where a class has fewer."""
MOST_COMPARED = 400
"""Answers to one question that are held against each other; more are put in alphabetical order."""
IN_WORDS = ("words", "sentences", "choice")
"""Forms of answers of which the credited stand here too; a number is marked exactly."""

Standing = Literal["left to you", "credited, to be audited", "credited", "not yet"]
LEFT, AUDIT, CREDITED, NOT_YET = get_args(Standing)
TO_JUDGE = (LEFT, AUDIT)
"""What the teacher is asked to judge."""


_SIGN = {
    **{word: verdict.sign for verdict, word in WORD_OF.items()},
    LEFT: Verdict.TEACHER.sign,
    AUDIT: Verdict.RIGHT.sign,
    CREDITED: Verdict.RIGHT.sign,
}


@dataclass(frozen=True)
class AnswerGroup:
    """One answer to one question, and everybody who gave it.

    Attributes:
        place: page of the book, and the question's name on it.
        question: the question as a student reads it.
        criterion: name of the criterion that marks it.
        asks: what that asks for.
        answer: the answer in full, as most of them wrote it; "" for a graph.
        builds_on: earlier answers that it cannot be judged without, as one text.
        own_work: what of the student's own readings or line it is held against; "" for nothing.
        students: their numbers.
        standing: what the program says of it.
        guess: what the program would say of an answer that it leaves; "" for none.
        judged: what the teacher said, if it is the same of all: "right", "half", "not yet" or "".
        said: equal for answers that nothing but the own work beside them tells apart.

    """

    place: str
    question: str
    criterion: str
    asks: str
    answer: str
    builds_on: str
    students: tuple[int, ...]
    standing: str
    guess: str = ""
    judged: str = ""
    own_work: str = ""
    said: tuple[object, ...] = ()

    @property
    def sign(self) -> str:
        """The sign of what is the case now: by the teacher's word, or else the program's."""
        return _SIGN[self.judged or self.standing]


@dataclass(frozen=True)
class _Given:
    """One student's answer as it was marked, and what the teacher made of it."""

    student: int
    remark: Remark
    answer: AnswerGiven
    judged: str
    said: tuple[object, ...]

    @property
    def key(self) -> tuple[object, ...]:
        """Equal for those that are judged as one."""
        return (*self.said, self.answer.own_work)

    @property
    def drawn_by(self) -> bytes:
        """What decides whether it is in the sample: as good as a random number."""
        said = f"{self.remark.criterion}\0{self.student}\0{self.answer.text}"
        return hashlib.sha256(said.encode()).digest()


def class_answers(
    marked: Iterable[tuple[int, Feedback, Feedback]], same: SameAnswers
) -> tuple[AnswerGroup, ...]:
    """All that was written, in the order of the book; what is to be judged comes first.

    `marked` has each student's number, the feedback as it was marked, and as the teacher left it.
    """
    given = [
        _given(student, remark, now, same)
        for student, before, after in marked
        for remark, now in zip(before.remarks, after.remarks, strict=True)
        if _stands_here(remark)
    ]
    credits = [one for one in given if one.remark.verdict.earns]
    drawn = {one.key for one in sorted(credits, key=lambda one: one.drawn_by)[:AUDITED]}
    groups: dict[str, dict[tuple[object, ...], list[_Given]]] = defaultdict(dict)
    for one in given:
        groups[one.remark.criterion].setdefault(one.key, []).append(one)
    return tuple(group for found in groups.values() for group in _ordered(found, drawn, same))


def _stands_here(remark: Remark) -> bool:
    return remark.verdict is Verdict.TEACHER or (
        remark.verdict is not Verdict.MISSING and _in_words(remark)
    )


def _in_words(remark: Remark) -> bool:
    """Whether it is about an answer in words, which can be judged by what it says alone."""
    asked = ANSWERED.get((remark.page, remark.of.question))
    return remark.answer is not None and asked is not None and asked.answer.form in IN_WORDS


def _given(student: int, remark: Remark, now: Remark, same: SameAnswers) -> _Given:
    answer = remark.given
    verdict = Verdict.RIGHT if remark.verdict.earns else remark.verdict
    said: tuple[object, ...] = (
        remark.criterion,
        verdict,
        remark.guess,
        same.wording(answer.text),
        same.wording(answer.base),
    )
    if not _in_words(remark):
        said = (*said, student)
    # Who agrees with the program's verdict has judged it too, which its words tell.
    judged = "" if now == remark else WORD_OF.get(now.verdict, "")
    return _Given(student, remark, answer, judged, said)


def _ordered(
    found: dict[tuple[object, ...], list[_Given]],
    drawn: set[tuple[object, ...]],
    same: SameAnswers,
) -> list[AnswerGroup]:
    """The groups of one criterion: first those to be judged, near ones together."""
    groups = [_group(members, audited=key in drawn) for key, members in found.items()]
    asked = [one for one in groups if one.standing in TO_JUDGE]
    asked.sort(key=lambda one: one.own_work)  # of the same words, those beside like work together
    rest = [one for one in groups if one.standing not in TO_JUDGE]
    rest.sort(key=lambda one: (one.standing == NOT_YET, -len(one.students)))
    wordings = [" ".join(same.wording(one.answer)) for one in asked]
    return [*(asked[at] for at in near_together(wordings)), *rest]


def _group(members: Sequence[_Given], *, audited: bool) -> AnswerGroup:
    first = members[0]
    written = Counter(one.answer.text for one in members)
    judged = {one.judged for one in members}
    why_left = "" if _in_words(first.remark) else f" {first.remark.nudge}"
    return AnswerGroup(
        place=", ".join(filter(None, (first.remark.page, first.remark.of.question))),
        question=first.answer.question,
        criterion=first.remark.criterion,
        asks=first.remark.asks + why_left,
        answer=written.most_common(1)[0][0],
        builds_on=first.answer.base,
        students=tuple(one.student for one in members),
        standing=_standing(first.remark.verdict, audited=audited),
        guess=first.remark.guess or "",
        judged=judged.pop() if len(judged) == 1 else "",
        own_work=first.answer.own_work,
        said=first.said,
    )


def _standing(verdict: Verdict, *, audited: bool) -> Standing:
    if verdict is Verdict.TEACHER:
        return "left to you"
    if not verdict.earns:
        return "not yet"
    return "credited, to be audited" if audited else "credited"


def near_together(texts: Sequence[str]) -> list[int]:
    """An order of texts in which each is followed by the likest of those that are left."""
    if not 2 < len(texts) <= MOST_COMPARED:
        return sorted(range(len(texts)), key=lambda at: texts[at])
    likeness = process.cdist(texts, texts, scorer=fuzz.token_sort_ratio, dtype=np.uint8)
    likeness = likeness.astype(np.int64)
    order = [min(range(len(texts)), key=lambda at: texts[at])]
    likeness[:, order[0]] = -1
    while len(order) < len(texts):
        order.append(int(likeness[order[-1]].argmax()))
        likeness[:, order[-1]] = -1
    return order


WORKBOOK, SHEET = "class.xlsx", "to judge"
WIDEST = 30
"""Letters of a column: then the columns up to the verdict stand side by side in 1366 pixels."""
SHEET_ABOUT = (
    "Every answer in words, and every number that could not be read, with what it builds on, and "
    "what the pupil's own readings or line say; the same answer beside the same work stands once.",
    "Write 'right', 'half' or 'not yet' under verdict, then collect again: it is read from here, "
    "and kept in corrections.csv.",
    f"'credited, to be audited': a sample of {AUDITED} of the credits. If you find none wrong, at "
    "most 10 % of all credits are, with 95 % confidence.",
)
_PLACE, _QUESTION, _ASKS, _PROGRAM, _GUESS, _JUDGED = (
    "place",
    "question",
    "asks",
    "program",
    "program's guess",
    "judged so far",
)


def sheet_columns(groups: Sequence[AnswerGroup]) -> tuple[OutColumn, ...]:
    """The columns of the sheet on which a teacher judges; `read_answers` reads them back."""
    blank = [""] * len(groups)
    return (
        text_column(_PLACE, (one.place for one in groups)),
        text_column(_QUESTION, (one.question for one in groups)),
        text_column(ANSWER, (one.answer for one in groups)),
        text_column(BUILDS_ON, (one.builds_on for one in groups)),
        text_column(OWN_WORK, (one.own_work for one in groups)),
        text_column(VERDICT, blank),
        text_column(_JUDGED, (one.judged for one in groups)),
        text_column(_PROGRAM, (one.standing for one in groups)),
        text_column(_GUESS, (one.guess for one in groups)),
        text_column(REASON, blank),
        text_column(STUDENT, (student_list(one.students) for one in groups)),
        text_column(CRITERION, (one.criterion for one in groups)),
        text_column(_ASKS, (one.asks for one in groups)),
    )


def read_answers(workbook: Path) -> tuple[AnswerGroup, ...]:
    """The answers on the sheet of a class workbook. Raises Refused where it has none."""
    return tuple(
        AnswerGroup(
            place=texts.get(_PLACE, ""),
            question=texts.get(_QUESTION, ""),
            criterion=texts[CRITERION],
            asks=texts.get(_ASKS, ""),
            answer=texts.get(ANSWER, ""),
            builds_on=texts.get(BUILDS_ON, ""),
            students=tuple(
                number
                for first, last in student_runs(texts[STUDENT]) or ()
                for number in range(first, min(last, MOST_NAMES) + 1)
            ),
            standing=texts.get(_PROGRAM, ""),
            guess=texts.get(_GUESS, ""),
            judged=texts.get(_JUDGED, ""),
            own_work=texts.get(OWN_WORK, ""),
        )
        for _, texts in word_table(workbook).rows
        if texts.get(CRITERION) and student_runs(texts.get(STUDENT, ""))
    )
