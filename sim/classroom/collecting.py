"""A class collected: every file examined, marked and summed up, and the files that come of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING

from analysis.marking.mark import PAGES
from analysis.marking.page import TRIES_FOR_THE_STEP, feedback_html
from analysis.marking.work import Work
from sim.classroom.class_page import class_page
from sim.classroom.class_work import ClassWork, class_work
from sim.classroom.class_workbook import class_workbook
from sim.classroom.examining import Context
from sim.classroom.handed_in import Found
from sim.classroom.overrides import EMPTY, FILE_NAME, Overrides
from sim.classroom.owners import Roster
from sim.classroom.progress import bar
from sim.classroom.safe_names import digits_for
from sim.classroom.sets import stem_of
from sim.classroom.side_by_side import all_examined

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from sim.classroom.class_key import ClassKey
    from sim.classroom.placing import Stage

WORKBOOK, PAGE, FEEDBACK = "class.xlsx", "class.html", "feedback"
_STEPS = MappingProxyType(dict.fromkeys(PAGES, TRIES_FOR_THE_STEP))
"""What is handed in is finished, so its feedback shows the worked steps."""


@dataclass(frozen=True)
class Collecting:
    """What a class is marked by."""

    key: ClassKey
    overrides: Overrides = field(default_factory=Overrides)
    criteria: Path | None = None


def collected(collecting: Collecting, files: Sequence[Found]) -> ClassWork:
    """Examine and mark the files of a class."""
    context = Context(Roster(collecting.key), collecting.criteria)
    with bar(len(files), "marking") as done:
        results = all_examined(context, files, done.update)
    return class_work(collecting.key.names, results, collecting.overrides)


def put_results(stage: Stage, key: ClassKey, work: ClassWork) -> None:
    """Make the class workbook, the class page, each student's feedback and the corrections file."""
    digits = digits_for(len(key.names))
    with bar(len(work.students) + 2, "feedback") as done:
        for student in work.students:
            number = student.student
            title = f"practical {number:0{digits}}, {key.names[number - 1]}"
            page = feedback_html(student.feedback, Work(tries=_STEPS), title)
            stage.put(f"{FEEDBACK}/{stem_of(key, number)}.html", page.encode())
            done.update()
        stage.put(WORKBOOK, class_workbook(work))
        done.update()
        stage.put(PAGE, class_page(work).encode())
        done.update()
    stage.put(FILE_NAME, EMPTY.encode("utf-8-sig"))
