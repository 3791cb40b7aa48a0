"""A class collected: every file examined, marked and summed up, and the files that come of it.

The class page: one self-contained HTML file without a name in it, fit for a projector.

The class workbook for the teacher: marks, what needs a look, pooled readings, and the files.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from jinja2 import Environment, Template
from markupsafe import Markup

from analysis.marking.mark import PAGES
from analysis.marking.page import TRIES_FOR_THE_STEP, feedback_html
from analysis.marking.remark import Verdict
from analysis.marking.work import Work
from analysis.paper.document import typeset
from analysis.quantity.headings import REBOUND_HEIGHT, REPEAT, TEMPERATURE, heading_text
from analysis.quantity.text import plain
from analysis.quantity.written import guarded, tidied
from analysis.readings.formats import OutColumn, TableSheet, workbook_bytes
from sim.classroom.class_key import stem_of
from sim.classroom.class_summary import class_summary, pooled, pooled_svg
from sim.classroom.class_work import EMPTY, FILE_NAME, ClassWork, Overrides, class_work
from sim.classroom.examine import Context, all_examined, bar
from sim.classroom.handed_in import Found, Roster
from sim.classroom.names import digits_for

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from analysis.files import Stage
    from analysis.marking.remark import Feedback
    from sim.classroom.class_key import ClassKey
    from sim.classroom.class_summary import ClassSummary, CriterionCounts

BAR = 200
"""Width of a bar in the units of its drawing."""
_FILLS = {
    Verdict.RIGHT: "#222",
    Verdict.CARRIED: "url(#carried)",
    Verdict.WRONG: "#fff",
    Verdict.MISSING: "url(#missing)",
    Verdict.TEACHER: "#bbb",
}


@dataclass(frozen=True)
class Piece:
    """A piece of a criterion's bar."""

    left: float
    width: float
    fill: str


@dataclass(frozen=True)
class Row:
    """One criterion's line: what it asks, the counts in the order of the verdicts, the bar."""

    asks: str
    counts: tuple[int, ...]
    pieces: tuple[Piece, ...]


def class_page(work: ClassWork) -> str:
    """The page as HTML: style and graph inside, no script, nothing fetched."""
    summary = class_summary(work)
    pages: dict[str, list[Row]] = {}
    for counted in summary.criteria:
        pages.setdefault(counted.page, []).append(_row(counted))
    pool = pooled(work.students)
    return _template().render(
        summary=summary,
        marks_sentence=_marks_sentence(summary),
        pages=pages,
        verdicts=[(verdict.value, _FILLS[verdict]) for verdict in Verdict],
        graph=Markup(pooled_svg(pool)),  # matplotlib escapes the text in it
        readings=len(pool.readings),
        bar=BAR,
    )


def _row(counted: CriterionCounts) -> Row:
    counts = tuple(counted.counts.get(verdict, 0) for verdict in Verdict)
    pieces, left = [], 0.0
    for verdict, count in zip(Verdict, counts, strict=True):
        width = BAR * count / counted.judged
        if count:
            pieces.append(Piece(round(left, 2), round(width, 2), _FILLS[verdict]))
        left += width
    return Row(counted.asks, counts, tuple(pieces))


def _marks_sentence(summary: ClassSummary) -> str:
    quarters = summary.quarters
    if quarters is None:
        return ""
    lowest, low, middle, high, highest = quarters
    return (
        f"Marks run from {lowest} to {highest} of {summary.out_of}; half of the class has between "
        f"{plain(low, 1)} and {plain(high, 1)}, the middle is {plain(middle, 1)}. What the teacher "
        "has still to judge is not counted."
    )


@cache
def _template() -> Template:
    source = Path(__file__).with_name("class_page.html.jinja").read_text(encoding="utf-8")
    environment = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    environment.filters["typeset"] = typeset
    return environment.from_string(source)


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
