"""The teacher's corrections: a csv or xlsx file that keeps its say over every later marking.

Columns: student (number or name), criterion, verdict ("right" or "not yet") or marks, reason.
A row that cannot be used is named with what is wrong; the others count.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from analysis.cells import name
from analysis.faults import quoted
from analysis.marking.feedback import Feedback, Remark, Verdict
from analysis.refusal import Refused
from analysis.sheets import sheets
from analysis.units import plain

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from analysis.cells import Cell

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
class Override:
    """One correction. `verdict` is None where marks were given; `row` is that of the file."""

    row: int
    student: int
    criterion: str
    verdict: Verdict | None
    marks: int | None
    reason: str


@dataclass(frozen=True)
class Overrides:
    """The corrections of a class, and what was wrong with other rows."""

    rows: tuple[Override, ...] = ()
    notices: tuple[str, ...] = ()

    def of(self, student: int) -> tuple[Override, ...]:
        """The corrections for one student; of two for one criterion the later row counts."""
        return tuple(one for one in self.rows if one.student == student)


class _Unusable(ValueError):
    """A row that cannot be used; the message says why."""


def read_overrides(path: Path, names: Sequence[str]) -> Overrides:
    """The corrections in a file, for a class of these names. Raises Refused if it has no table."""
    for sheet in sheets(path):
        heads = [plain(str(cell)) for cell in (sheet.rows[0] if sheet.rows else [])]
        if "student" in heads and "criterion" in heads:
            return _read(path.name, heads, sheet.rows[1:], names)
    raise Refused(
        f"{path.name} has no headings 'student' and 'criterion' in its first row: write "
        f"{', '.join(COLUMNS)} there."
    )


def corrected(feedback: Feedback, overrides: Sequence[Override]) -> Feedback:
    """Feedback with a teacher's corrections in place of the remarks that they name."""
    by_criterion = {one.criterion: one for one in overrides}
    return Feedback(
        tuple(
            _corrected(remark, by_criterion[remark.criterion])
            if remark.criterion in by_criterion
            else remark
            for remark in feedback.remarks
        )
    )


def unused(feedback: Feedback, overrides: Sequence[Override]) -> tuple[str, ...]:
    """What cannot be done with corrections for one student's feedback, one sentence each."""
    worth = {remark.criterion: remark.marks for remark in feedback.remarks}
    said = []
    for one in overrides:
        if one.criterion not in worth:
            said.append(f"Row {one.row} of the corrections: no criterion {quoted(one.criterion)}.")
        elif one.marks not in (None, 0, worth[one.criterion]):
            said.append(
                f"Row {one.row} of the corrections: {one.criterion} is worth "
                f"{worth[one.criterion]}, all or none, so {one.marks} cannot be given."
            )
    return tuple(said)


def _corrected(remark: Remark, override: Override) -> Remark:
    verdict = override.verdict
    if verdict is None:
        if override.marks not in (0, remark.marks):
            return remark
        verdict = Verdict.RIGHT if override.marks else Verdict.WRONG
    reason = f"{BY_TEACHER}: {override.reason}" if override.reason else f"{BY_TEACHER}."
    return replace(remark, verdict=verdict, nudge=reason, worked="")


def _read(source: str, heads: list[str], rows: list[list[Cell]], names: Sequence[str]) -> Overrides:
    found: list[Override] = []
    notices: list[str] = []
    for number, cells in enumerate(rows, start=2):
        texts = {head: name(cell) for head, cell in zip(heads, cells, strict=False)}
        if not any(texts.values()):
            continue
        try:
            found.append(_override(number, texts, names))
        except _Unusable as why:
            notices.append(f"Row {number} of {source} is left out: {why}.")
    return Overrides(tuple(found), tuple(notices))


def _override(row: int, texts: dict[str, str], names: Sequence[str]) -> Override:
    verdict = _VERDICTS.get(plain(texts.get("verdict", "")))
    marks = texts.get("marks", "")
    if verdict is None and not (marks.isascii() and marks.isdigit()):
        raise _Unusable("write 'right' or 'not yet' under verdict, or a whole number under marks")
    if verdict is None and len(marks) > 4:
        raise _Unusable("so many marks no criterion has")
    return Override(
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
        raise _Unusable(f"there is no practical number {text}")
    having = [number for number, one in enumerate(names, start=1) if one == text]
    if len(having) == 1:
        return having[0]
    many = "more than one student has" if having else "no student has"
    raise _Unusable(f"{many} the name {quoted(text)}; write the number of the practical")
