"""A class's work, student by student: which file counts, what was decided, what to see to."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from analysis.marking.work import Feedback, Remark, Verdict
from sim.classroom.answers import AnswerGroup, class_answers
from sim.classroom.corrections import Corrections, SameAnswers, corrected, unused
from sim.classroom.evidence import Alike, alike
from sim.classroom.own_drops import own_drops

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from analysis.marking.sentences.language import Vocabulary
    from sim.classroom.corrections import Correction
    from sim.classroom.examine import Examined


COPY = "possible copy"
FILE = "file"
JUDGE = "to be judged"
CHECK = "to be checked"
NOT_IN = "nothing marked"


@dataclass(frozen=True)
class ToSee:
    """Something for the teacher: of whom (0: of nobody in particular), what, and why."""

    student: int
    what: str
    why: str
    criterion: str = ""
    words: str = ""


@dataclass(frozen=True)
class StudentWork:
    """The file of a student that counts, marked and corrected."""

    student: int
    examined: Examined
    feedback: Feedback


@dataclass(frozen=True)
class ClassWork:
    """All that was handed in. `files` tells of each file what became of it."""

    names: tuple[str, ...]
    students: tuple[StudentWork, ...]
    to_see: tuple[ToSee, ...]
    copies: tuple[Alike, ...]
    files: tuple[tuple[str, str], ...]
    answers: tuple[AnswerGroup, ...]


def class_work(
    names: tuple[str, ...],
    files: Sequence[Examined],
    corrections: Corrections,
    vocabulary: Vocabulary,
) -> ClassWork:
    """Give each student the file that counts, judge copies, and apply the corrections.

    `vocabulary` is that of the criteria: it tells which answers are the same.
    """
    same, by_student = SameAnswers(vocabulary), corrections.by_student()
    sorting = _Sorting()
    for one in files:
        sorting.take(one)
    chosen = sorting.chosen()
    students = tuple(
        StudentWork(number, one, corrected(one.feedback, by_student.get(number, ()), same))
        for number, one in sorted(chosen.items())
    )
    evidence = {number: one.evidence for number, one in chosen.items()}
    own = own_drops(evidence)
    pairs = _all_pairs([*sorting.foreign, *alike(evidence, own.followed)])
    to_see = [
        *_of_copies(pairs),
        *sorting.to_see,
        *_of_work(students, own.notes),
        *(ToSee(n, NOT_IN, "") for n in range(1, len(names) + 1) if n not in chosen),
        *(ToSee(0, "correction", notice) for notice in corrections.notices),
        *_of_corrections(chosen, by_student, same),
    ]
    marked = ((one.student, one.examined.feedback, one.feedback) for one in students)
    answers = class_answers(marked, same)
    return ClassWork(names, students, tuple(to_see), pairs, tuple(sorting.files), answers)


class _Sorting:
    """Files on their way to their students."""

    def __init__(self) -> None:
        self._candidates: dict[int, list[Examined]] = defaultdict(list)
        self.to_see: list[ToSee] = []
        self.foreign: list[Alike] = []
        self.files: list[tuple[str, str]] = []

    def take(self, one: Examined) -> None:
        """Put one file where it belongs."""
        if one.refused:
            self._leave(one, next(iter(one.claims), 0), one.refused)
        elif one.owner is not None and (not one.claims or one.owner in one.claims):
            self._candidates[one.owner].append(one)
        elif one.owner is not None:
            self._take_foreign(one, one.owner)
        elif len(one.claims) == 1:
            note = (
                "This is not the practical that was handed out: its seed is nobody's in this "
                "class. A new practical may have been begun on the bench by mistake."
            )
            (number,) = one.claims
            self._candidates[number].append(replace(one, notes=(note, *one.notes)))
        else:
            self._leave(
                one,
                0,
                f"{one.file}: neither its seed nor its name says whose practical it is; begin the "
                "name with the practical's number.",
            )

    def chosen(self) -> dict[int, Examined]:
        """The file of each student that counts: the one handed out, with the most done in it."""
        chosen = {}
        for number, candidates in self._candidates.items():
            best = max(candidates, key=lambda one: (one.own, one.acts))
            chosen[number] = best
            self.files.append((best.file, f"practical {number}, marked"))
            for other in candidates:
                if other is not best:
                    self._leave(other, number, _also_there(other, best))
        return chosen

    def _take_foreign(self, one: Examined, owner: int) -> None:
        for claim in sorted(one.claims):
            self.foreign.append(
                Alike(
                    min(owner, claim),
                    max(owner, claim),
                    f"{one.file} is handed in as practical {claim} and is practical {owner} by its "
                    "seed.",
                )
            )
        claimed = " or ".join(str(claim) for claim in sorted(one.claims))
        self._leave(
            one,
            min(one.claims),
            f"{one.file} is named or labelled as practical {claimed}, but by its seed it is "
            f"practical {owner}: it is not marked.",
        )

    def _leave(self, one: Examined, student: int, why: str) -> None:
        self.files.append((one.file, why))
        self.to_see.append(ToSee(student, FILE, why))


def _also_there(other: Examined, best: Examined) -> str:
    more, to_do = "", ""
    if other.evidence == best.evidence and other.acts == best.acts:
        more = ", with the same work in it"
    elif other.own and not other.evidence.prints <= best.evidence.prints:
        # Of an earlier copy of the same work every run of exact acts stands in the later one.
        more = ", with other work in it"
        to_do = (
            " If two students took one place by mistake, mark the other's file with 'python -m "
            "sim mark'."
        )
    return f"{other.file} was handed in{more}; {best.file} is marked.{to_do}"


def _all_pairs(pairs: Iterable[Alike]) -> tuple[Alike, ...]:
    """Each pair once, with all that is said of it."""
    found: dict[tuple[int, int], list[str]] = defaultdict(list)
    for pair in pairs:
        found[pair.first, pair.second].append(pair.why)
    return tuple(Alike(*pair, " ".join(whys)) for pair, whys in sorted(found.items()))


def _of_copies(pairs: tuple[Alike, ...]) -> list[ToSee]:
    said = []
    for pair in pairs:
        for one, other in ((pair.first, pair.second), (pair.second, pair.first)):
            why = f"Compare with practical {other}: {pair.why} This accuses nobody."
            said.append(ToSee(one, COPY, why))
    return said


def _of_work(
    students: tuple[StudentWork, ...], notes: Mapping[int, tuple[str, ...]]
) -> list[ToSee]:
    said = []
    for one in students:
        told = (*one.examined.notes, *notes.get(one.student, ()))
        said += [ToSee(one.student, CHECK, note) for note in told]
        said += [
            ToSee(one.student, JUDGE, _asked(r), r.criterion, r.given.text)
            for r in one.feedback.remarks
            if r.verdict is Verdict.TEACHER
        ]
    return said


def _asked(remark: Remark) -> str:
    """What was asked, what the answer builds on, and what the program would say of it."""
    if remark.answer is None:
        return remark.nudge or remark.asks
    base = f"It builds on {remark.answer.base}." if remark.answer.builds_on else ""
    guess = f"The program's guess: {remark.guess}." if remark.guess else ""
    return " ".join(filter(None, (remark.answer.question, base, guess)))


def _of_corrections(
    chosen: dict[int, Examined],
    by_student: dict[int, tuple[Correction, ...]],
    same: SameAnswers,
) -> list[ToSee]:
    said = []
    for number, rows in sorted(by_student.items()):
        if number not in chosen:
            why = f"Row {rows[0].row} of the corrections: practical {number} was not marked."
            said.append(ToSee(number, "correction", why))
            continue
        feedback = chosen[number].feedback
        said += [ToSee(number, "correction", why) for why in unused(feedback, rows, same)]
    return said
