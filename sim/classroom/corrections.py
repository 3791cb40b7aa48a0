"""The teacher's word on what pupils wrote: kept in a csv file, and taken in at every collecting.

Columns: student (number or name; several as "3, 7-9"), criterion, verdict ("right", "half" or "not
yet") or marks, reason; and the answer that was judged, with what it builds on and what of the
student's own work it was held against. Where these stand the row holds for that answer beside that
work alone: who hands in another one, or other readings, is judged anew. A row that cannot be
used is named with what is wrong; the others count. The sheet of answers in the class workbook has
the same columns and is read by the same reader.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from itertools import islice
from typing import TYPE_CHECKING

from analysis.files import write_whole
from analysis.marking.sentences.language import Vocabulary, wording
from analysis.marking.work import Feedback, Remark, Verdict
from analysis.quantity.units import normalised, plain
from analysis.quantity.written import name
from analysis.readings.columns import csv_bytes, text_column
from analysis.readings.sheets import sheets
from analysis.refusal import Refused, quoted

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Sequence
    from pathlib import Path

    from analysis.readings.sheets import Sheet

STUDENT, CRITERION, VERDICT, REASON = "student", "criterion", "verdict", "reason"
ANSWER, BUILDS_ON, OWN_WORK = "answer", "builds on", "own work"
COLUMNS = (STUDENT, CRITERION, VERDICT, "marks", REASON, ANSWER, BUILDS_ON, OWN_WORK)
FILE_NAME = "corrections.csv"
BY_TEACHER = "Judged by your teacher"
MOST_HEADING_ROWS = 10
"""How far down the headings are looked for: lines about a sheet may stand above them."""
_VERDICTS = {
    "right": Verdict.RIGHT,
    "yes": Verdict.RIGHT,
    "half": Verdict.HALF,
    "half right": Verdict.HALF,
    normalised("½"): Verdict.HALF,
    "not yet": Verdict.WRONG,
    "wrong": Verdict.WRONG,
    "no": Verdict.WRONG,
    "missing": Verdict.MISSING,
}
WORD_OF = {Verdict.RIGHT: "right", Verdict.HALF: "half", Verdict.WRONG: "not yet"}
"""How a verdict is written."""
_MARKS = re.compile(r"[0-9]{1,4}(?:[.,][0-9]{1,2})?")
_NUMBERS = re.compile(r"\s*([0-9]{1,9})(?:\s*[-–]\s*([0-9]{1,9}))?\s*")


class NoCorrections(Refused):
    """A file is a table, but none of corrections."""


@dataclass(frozen=True)
class Correction:
    """One correction. `verdict` is None where marks were given; `row` is that of the file."""

    row: int
    student: int
    criterion: str
    verdict: Verdict | None
    marks: float | None = None
    reason: str = ""
    answer: str = ""
    builds_on: str = ""
    own_work: str = ""


@dataclass(frozen=True)
class Corrections:
    """The corrections of a class, and what was wrong with other rows."""

    rows: tuple[Correction, ...] = ()
    notices: tuple[str, ...] = ()

    def by_student(self) -> dict[int, tuple[Correction, ...]]:
        """The corrections for each student; of two for one criterion the later row counts."""
        found: dict[int, list[Correction]] = {}
        for one in self.rows:
            found.setdefault(one.student, []).append(one)
        return {student: tuple(rows) for student, rows in found.items()}

    def then(self, later: Corrections) -> Corrections:
        """These, and others that were made after them."""
        return Corrections((*self.rows, *later.rows), (*self.notices, *later.notices))


@dataclass(frozen=True)
class SameAnswers:
    """Which texts are the same answer to whoever judges them."""

    vocabulary: Vocabulary
    _seen: dict[str, tuple[str, ...]] = field(default_factory=dict, compare=False, repr=False)

    def wording(self, text: str) -> tuple[str, ...]:
        """What of a text counts."""
        if text not in self._seen:
            self._seen[text] = wording(text, self.vocabulary)
        return self._seen[text]

    def changed(self, correction: Correction, remark: Remark) -> str:
        """What is another now than when a correction of a remark was made; "" for nothing."""
        given = remark.given
        texts = ((given.text, correction.answer), (given.base, correction.builds_on))
        if correction.answer and any(self.wording(now) != self.wording(was) for now, was in texts):
            return "the answer"
        # Files of earlier programs do not say what work an answer was judged beside.
        if correction.own_work not in ("", given.own_work):
            return "the own work beside the answer"
        return ""


def corrected(feedback: Feedback, corrections: Sequence[Correction], same: SameAnswers) -> Feedback:
    """Feedback with a teacher's corrections in place of the remarks that they name."""
    by_criterion = {one.criterion: one for one in corrections}
    return Feedback(
        tuple(
            _corrected(remark, found)
            if (found := by_criterion.get(remark.criterion)) and not same.changed(found, remark)
            else remark
            for remark in feedback.remarks
        )
    )


def unused(
    feedback: Feedback, corrections: Sequence[Correction], same: SameAnswers
) -> tuple[str, ...]:
    """What cannot be done with corrections for one student's feedback, one sentence each."""
    remarks = {remark.criterion: remark for remark in feedback.remarks}
    said = []
    for one in corrections:
        remark = remarks.get(one.criterion)
        if remark is None:
            said.append(f"Row {one.row} of the corrections: no criterion {quoted(one.criterion)}.")
        elif one.marks is not None and _of_marks(one.marks, remark.marks) is None:
            said.append(
                f"Row {one.row} of the corrections: {one.criterion} is worth {remark.marks}, all, "
                f"half or none, so {plain(one.marks, 2)} cannot be given."
            )
        elif changed := same.changed(one, remark):
            said.append(
                f"Row {one.row} of the corrections: {changed} to {one.criterion} is another now "
                "than when it was judged, so it is to be judged again."
            )
    return tuple(said)


def _of_marks(marks: float, out_of: int) -> Verdict | None:
    """The verdict that gives so many marks; None where there is none."""
    worth = {verdict: out_of * verdict.share for verdict in WORD_OF}
    return next((verdict for verdict, value in worth.items() if value == marks), None)


def _corrected(remark: Remark, correction: Correction) -> Remark:
    verdict = correction.verdict
    if verdict is None:
        verdict = _of_marks(correction.marks or 0.0, remark.marks)
    if verdict is None:
        return remark
    reason = f"{BY_TEACHER}: {correction.reason}" if correction.reason else f"{BY_TEACHER}."
    worked = "" if verdict.earns else remark.worked
    return replace(remark, verdict=verdict, nudge=reason, worked=worked, guess=None)


def read_corrections(path: Path, names: Sequence[str]) -> Corrections:
    """The corrections in a file, for a class of these names. Raises Refused if there is none."""
    table = word_table(path)
    found: list[Correction] = []
    notices: list[str] = []
    for number, texts in table.rows:
        if not any(texts.get(said) for said in (VERDICT, "marks", REASON)):
            continue  # nothing was decided
        try:
            found += _of_row(number, texts, names)
        except Refused as why:
            notices.append(f"Row {number} of {path.name} is left out: {why.what}.")
    return Corrections(tuple(found), tuple(notices))


@dataclass(frozen=True)
class WordTable:
    """Headings, and the rows under them by heading, each with its number in the file."""

    headings: tuple[str, ...] = COLUMNS
    rows: tuple[tuple[int, dict[str, str]], ...] = ()


def word_table(path: Path) -> WordTable:
    """The table of a file that has students and criteria in it. Raises Refused."""
    for sheet in sheets(path):
        found = _table_in(sheet)
        if found is not None:
            return found
    raise NoCorrections(
        f"{path.name} has no headings {STUDENT!r} and {CRITERION!r}: write {', '.join(COLUMNS)} "
        "in its first row."
    )


def _table_in(sheet: Sheet) -> WordTable | None:
    for top, cells in enumerate(islice(sheet.rows, MOST_HEADING_ROWS), start=1):
        heads = tuple(normalised(str(cell)) for cell in cells)
        if STUDENT in heads and CRITERION in heads:
            texts = (dict(zip(heads, map(name, row), strict=False)) for row in sheet.rows[top:])
            rows = ((n, row) for n, row in enumerate(texts, start=top + 1) if any(row.values()))
            return WordTable(heads, tuple(rows))
    return None


def _of_row(row: int, texts: dict[str, str], names: Sequence[str]) -> Iterator[Correction]:
    verdict = _VERDICTS.get(normalised(texts.get(VERDICT, "")))
    marks = texts.get("marks", "")
    if verdict is None and not _MARKS.fullmatch(marks):
        raise Refused("write 'right', 'half' or 'not yet' under verdict, or a number under marks")
    for student in _students(texts.get(STUDENT, ""), names):
        yield Correction(
            row,
            student,
            texts.get(CRITERION, ""),
            verdict,
            None if verdict is not None else float(marks.replace(",", ".")),
            texts.get(REASON, ""),
            texts.get(ANSWER, ""),
            texts.get(BUILDS_ON, ""),
            texts.get(OWN_WORK, ""),
        )


def _students(text: str, names: Sequence[str]) -> tuple[int, ...]:
    runs = student_runs(text)
    if runs is None:
        return (_named(text, names),)
    beyond = [end for run in runs for end in run if not 1 <= end <= len(names)]
    if beyond:
        raise Refused(f"there is no practical number {beyond[0]}")
    return tuple(number for first, last in runs for number in range(first, last + 1))


def _named(text: str, names: Sequence[str]) -> int:
    having = [number for number, one in enumerate(names, start=1) if one == text]
    if len(having) == 1:
        return having[0]
    many = "more than one student has" if having else "no student has"
    raise Refused(f"{many} the name {quoted(text)}; write the number of the practical")


def student_runs(text: str) -> tuple[tuple[int, int], ...] | None:
    """First and last number of each run that a cell such as "3, 7-9" lists; None for another."""
    runs = [_NUMBERS.fullmatch(part) for part in text.split(",")]
    if not all(runs):
        return None
    return tuple((int(run[1]), int(run[2] or run[1])) for run in runs if run)


def student_list(students: Iterable[int]) -> str:
    """Numbers as they stand in one cell: "3, 7-9"."""
    runs: list[list[int]] = []
    for one in sorted(students):
        if runs and one == runs[-1][-1] + 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    return ", ".join(f"{run[0]}-{run[-1]}" if len(run) > 1 else f"{run[0]}" for run in runs)


def empty_file() -> bytes:
    """A file to write corrections into."""
    return _file_bytes(COLUMNS, [])


def keep_corrections(
    path: Path, made: Sequence[Correction], withdrawn: Collection[tuple[int, str]] = ()
) -> None:
    """Put corrections into the file, whole or not at all; what it holds besides stays.

    Each takes the place of an earlier one for the same student and criterion; those withdrawn, by
    student and criterion, go. Raises Refused where the file cannot be read or written.
    """
    table = word_table(path) if path.exists() else WordTable()
    replaced = {(f"{one.student}", one.criterion) for one in made}
    replaced |= {(f"{student}", criterion) for student, criterion in withdrawn}
    rows = [
        row
        for _, row in table.rows
        if (row.get(STUDENT, ""), row.get(CRITERION, "")) not in replaced
    ]
    headings = tuple(dict.fromkeys((*table.headings, *COLUMNS)))
    content = _file_bytes(headings, [*rows, *map(_cells, made)])
    write_whole(path, content, force=True, private=True)


def _cells(one: Correction) -> dict[str, str]:
    return {
        STUDENT: f"{one.student}",
        CRITERION: one.criterion,
        VERDICT: WORD_OF.get(one.verdict, one.verdict.value) if one.verdict else "",
        "marks": "" if one.marks is None else plain(one.marks, 2),
        REASON: one.reason,
        ANSWER: one.answer,
        BUILDS_ON: one.builds_on,
        OWN_WORK: one.own_work,
    }


def _file_bytes(headings: Sequence[str], rows: Sequence[dict[str, str]]) -> bytes:
    return csv_bytes(
        [text_column(heading, (row.get(heading, "") for row in rows)) for heading in headings]
    )
