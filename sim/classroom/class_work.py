"""A class's work, student by student: which file counts, the teacher's corrections, what to see to.

Corrections stand in a csv or xlsx file that keeps its say over every later marking. Columns:
student (number or name), criterion, verdict ("right" or "not yet") or marks, reason. A row that
cannot be used is named with what is wrong; the others count.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from analysis.marking.work import Feedback, Remark, Verdict
from analysis.quantity.units import normalised
from analysis.quantity.written import name
from analysis.readings.sheets import sheets
from analysis.refusal import Refused, quoted
from sim.classroom.evidence import Alike, alike
from sim.classroom.own_drops import own_drops

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from pathlib import Path

    from analysis.quantity.written import Cell
    from sim.classroom.examine import Examined

COLUMNS = ("student", "criterion", "verdict", "marks", "reason")
EMPTY = ",".join(COLUMNS) + "\r\n"
"""A file to write corrections into."""
FILE_NAME = "corrections.csv"
BY_TEACHER = "Judged by your teacher"
_VERDICTS = {
    "right": Verdict.RIGHT,
    "yes": Verdict.RIGHT,
    "not yet": Verdict.WRONG,
    "wrong": Verdict.WRONG,
    "no": Verdict.WRONG,
    "missing": Verdict.MISSING,
}


@dataclass(frozen=True)
class Correction:
    """One correction. `verdict` is None where marks were given; `row` is that of the file."""

    row: int
    student: int
    criterion: str
    verdict: Verdict | None
    marks: int | None
    reason: str


@dataclass(frozen=True)
class Corrections:
    """The corrections of a class, and what was wrong with other rows."""

    rows: tuple[Correction, ...] = ()
    notices: tuple[str, ...] = ()

    def of(self, student: int) -> tuple[Correction, ...]:
        """The corrections for one student; of two for one criterion the later row counts."""
        return tuple(one for one in self.rows if one.student == student)


def read_corrections(path: Path, names: Sequence[str]) -> Corrections:
    """The corrections in a file, for a class of these names. Raises Refused if it has no table."""
    for sheet in sheets(path):
        heads = [normalised(str(cell)) for cell in (sheet.rows[0] if sheet.rows else [])]
        if "student" in heads and "criterion" in heads:
            return _corrections(path.name, heads, sheet.rows[1:], names)
    raise Refused(
        f"{path.name} has no headings 'student' and 'criterion' in its first row: write "
        f"{', '.join(COLUMNS)} there."
    )


def corrected(feedback: Feedback, corrections: Sequence[Correction]) -> Feedback:
    """Feedback with a teacher's corrections in place of the remarks that they name."""
    by_criterion = {one.criterion: one for one in corrections}
    return Feedback(
        tuple(
            _corrected(remark, by_criterion[remark.criterion])
            if remark.criterion in by_criterion
            else remark
            for remark in feedback.remarks
        )
    )


def unused(feedback: Feedback, corrections: Sequence[Correction]) -> tuple[str, ...]:
    """What cannot be done with corrections for one student's feedback, one sentence each."""
    worth = {remark.criterion: remark.marks for remark in feedback.remarks}
    said = []
    for one in corrections:
        if one.criterion not in worth:
            said.append(f"Row {one.row} of the corrections: no criterion {quoted(one.criterion)}.")
        elif one.marks not in (None, 0, worth[one.criterion]):
            said.append(
                f"Row {one.row} of the corrections: {one.criterion} is worth "
                f"{worth[one.criterion]}, all or none, so {one.marks} cannot be given."
            )
    return tuple(said)


def _corrected(remark: Remark, correction: Correction) -> Remark:
    verdict = correction.verdict
    if verdict is None:
        if correction.marks not in (0, remark.marks):
            return remark
        verdict = Verdict.RIGHT if correction.marks else Verdict.WRONG
    reason = f"{BY_TEACHER}: {correction.reason}" if correction.reason else f"{BY_TEACHER}."
    return replace(remark, verdict=verdict, nudge=reason, worked="")


def _corrections(
    source: str, heads: list[str], rows: list[list[Cell]], names: Sequence[str]
) -> Corrections:
    found: list[Correction] = []
    notices: list[str] = []
    for number, cells in enumerate(rows, start=2):
        texts = {head: name(cell) for head, cell in zip(heads, cells, strict=False)}
        if not any(texts.values()):
            continue
        try:
            found.append(_correction(number, texts, names))
        except Refused as why:
            notices.append(f"Row {number} of {source} is left out: {why.what}.")
    return Corrections(tuple(found), tuple(notices))


def _correction(row: int, texts: dict[str, str], names: Sequence[str]) -> Correction:
    verdict = _VERDICTS.get(normalised(texts.get("verdict", "")))
    marks = texts.get("marks", "")
    if verdict is None and not (marks.isascii() and marks.isdigit()):
        raise Refused("write 'right' or 'not yet' under verdict, or a whole number under marks")
    if verdict is None and len(marks) > 4:
        raise Refused("so many marks no criterion has")
    return Correction(
        row,
        _student(texts.get("student", ""), names),
        texts.get("criterion", ""),
        verdict,
        None if verdict is not None else int(marks),
        texts.get("reason", ""),
    )


def _student(text: str, names: Sequence[str]) -> int:
    if text.isascii() and text.isdigit() and len(text) < 10:
        if 1 <= int(text) <= len(names):
            return int(text)
        raise Refused(f"there is no practical number {text}")
    having = [number for number, one in enumerate(names, start=1) if one == text]
    if len(having) == 1:
        return having[0]
    many = "more than one student has" if having else "no student has"
    raise Refused(f"{many} the name {quoted(text)}; write the number of the practical")


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


def class_work(
    names: tuple[str, ...], files: Sequence[Examined], corrections: Corrections
) -> ClassWork:
    """Give each student the file that counts, judge copies, and apply the corrections."""
    sorting = _Sorting()
    for one in files:
        sorting.take(one)
    chosen = sorting.chosen()
    students = tuple(
        StudentWork(number, one, corrected(one.feedback, corrections.of(number)))
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
        *_of_corrections(chosen, corrections),
    ]
    return ClassWork(names, students, tuple(to_see), pairs, tuple(sorting.files))


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
    same = other.evidence == best.evidence and other.acts == best.acts
    more = ", with the same work in it" if same else ""
    return f"{other.file} was handed in{more}; {best.file} is marked."


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
            ToSee(one.student, JUDGE, r.nudge or r.asks, r.criterion, " | ".join(r.evidence))
            for r in one.feedback.remarks
            if r.verdict is Verdict.TEACHER
        ]
    return said


def _of_corrections(chosen: dict[int, Examined], corrections: Corrections) -> list[ToSee]:
    said = []
    for number in sorted({one.student for one in corrections.rows}):
        rows = corrections.of(number)
        if number not in chosen:
            why = f"Row {rows[0].row} of the corrections: practical {number} was not marked."
            said.append(ToSee(number, "correction", why))
            continue
        feedback = chosen[number].feedback
        said += [ToSee(number, "correction", why) for why in unused(feedback, rows)]
    return said
