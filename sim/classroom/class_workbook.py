"""The class workbook for the teacher: marks, what needs a look, pooled readings, and the files."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from analysis.cells import guarded, tidied
from analysis.formats import OutColumn
from analysis.headings import REBOUND_HEIGHT, REPEAT, TEMPERATURE, heading_text
from analysis.marking.feedback import Verdict
from sim.classroom.book_of_tables import TableSheet, workbook_bytes
from sim.classroom.class_summary import class_summary

if TYPE_CHECKING:
    from collections.abc import Iterable

    from analysis.marking.feedback import Feedback
    from sim.classroom.class_work import ClassWork

MARKS_ABOUT = (
    "Marks for each criterion; a blank is for the teacher to judge, or was not handed in. "
    "Corrections go into corrections.csv and stay when the class is collected again.",
)
TO_SEE_ABOUT = (
    "What the program cannot decide, and what it found. A possible copy is a reason to look and "
    "to ask, not an accusation: students who shared a bench look the same.",
)


def class_workbook(work: ClassWork) -> bytes:
    """The workbook as the bytes of an xlsx file."""
    sheets = (
        TableSheet("marks", MARKS_ABOUT, _marks(work), upright=True),
        TableSheet("for the teacher", TO_SEE_ABOUT, _to_see(work)),
        TableSheet("readings", (), _readings(work)),
        TableSheet("criteria", (), _criteria(work)),
        TableSheet("files", (), _files(work)),
    )
    return workbook_bytes(sheets)


def _marks(work: ClassWork) -> tuple[OutColumn, ...]:
    of = {student.student: student for student in work.students}
    numbers = range(1, len(work.names) + 1)
    feedback = [of[number].feedback if number in of else None for number in numbers]
    criteria = dict.fromkeys(r.criterion for one in feedback if one for r in one.remarks)
    return (
        OutColumn("practical", [float(number) for number in numbers]),
        _texts("name", work.names),
        OutColumn("marks", [math.nan if one is None else one.earned for one in feedback]),
        OutColumn("out of", [math.nan if one is None else one.out_of for one in feedback]),
        OutColumn(
            "for the teacher to judge",
            [math.nan if one is None else float(len(one.for_the_teacher)) for one in feedback],
        ),
        *(OutColumn(name, [_earned(one, name) for one in feedback]) for name in criteria),
    )


def _earned(feedback: Feedback | None, criterion: str) -> float:
    for remark in feedback.remarks if feedback else ():
        if remark.criterion == criterion and remark.verdict is not Verdict.TEACHER:
            return float(remark.earned)
    return math.nan


def _to_see(work: ClassWork) -> tuple[OutColumn, ...]:
    rows = work.to_see
    return (
        OutColumn("practical", [one.student or math.nan for one in rows]),
        _texts("name", (work.names[one.student - 1] if one.student else "" for one in rows)),
        _texts("what", (one.what for one in rows)),
        _texts("criterion", (one.criterion for one in rows)),
        _texts("why", (one.why for one in rows)),
        _texts("the student's words", (one.words for one in rows)),
    )


def _readings(work: ClassWork) -> tuple[OutColumn, ...]:
    students, temperatures, repeats, heights = [], [], [], []
    places = 0
    for student in work.students:
        taken: dict[float, int] = {}
        for one in student.examined.evidence.readings:
            taken[one.temperature_c] = taken.get(one.temperature_c, 0) + 1
            students.append(float(student.student))
            temperatures.append(one.temperature_c)
            repeats.append(float(taken[one.temperature_c]))
            heights.append(one.height_cm)
            places = max(places, one.places)
    return (
        OutColumn("student", students),
        OutColumn(heading_text(TEMPERATURE, "°C"), temperatures),
        OutColumn(REPEAT, repeats),
        OutColumn(heading_text(REBOUND_HEIGHT, "cm"), heights, places),
    )


def _criteria(work: ClassWork) -> tuple[OutColumn, ...]:
    rows = class_summary(work).criteria
    return (
        _texts("page", (one.page for one in rows)),
        _texts("criterion", (one.criterion for one in rows)),
        _texts("asks", (one.asks for one in rows)),
        OutColumn("marks", [float(one.marks) for one in rows]),
        *(
            OutColumn(verdict.value, [float(one.counts.get(verdict, 0)) for one in rows])
            for verdict in Verdict
        ),
    )


def _files(work: ClassWork) -> tuple[OutColumn, ...]:
    rows = sorted(work.files)
    return (
        _texts("file", (name for name, _ in rows)),
        _texts("what became of it", (what for _, what in rows)),
    )


def _texts(title: str, texts: Iterable[str]) -> OutColumn:
    """Texts from outside on one line, none of which a spreadsheet takes for a formula."""
    return OutColumn(title, [guarded(tidied(text)) for text in texts])
