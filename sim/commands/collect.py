"""`collect`: the practicals of a class checked, marked and summed up, and all that comes of it.

These are the class page, which names nobody and so may be shown on a projector; the class
workbook for the teacher, with marks, what needs a look, pooled readings and the files; each
student's feedback; and a file for the teacher's corrections.
"""

from __future__ import annotations

import argparse
import math
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from analysis.command_line import say, say_written
from analysis.files import check_free, staged
from analysis.marking.mark import PAGES, feedback_document
from analysis.marking.sentences.criteria import load
from analysis.marking.work import TRIES_FOR_THE_STEP, Feedback, Verdict, Work
from analysis.paper.document import (
    Block,
    Document,
    Fill,
    Judgement,
    Judgements,
    Legend,
    Paragraph,
    Picture,
    Quote,
    Section,
    Subheading,
    Table,
)
from analysis.paper.html import page_html
from analysis.quantity.headings import REBOUND_HEIGHT, REPEAT, TEMPERATURE, heading_text
from analysis.quantity.units import plain
from analysis.readings.columns import OutColumn, text_column
from analysis.readings.spreadsheets import TableSheet, xlsx_bytes
from analysis.refusal import Refused, harmless
from sim.classroom.answers import SHEET, SHEET_ABOUT, WIDEST, WORKBOOK, sheet_columns
from sim.classroom.class_key import (
    ClassKey,
    HandedFile,
    handed_in,
    read_key,
    shown_number,
    stem_of,
)
from sim.classroom.class_summary import HiddenNames, class_summary, pooled, pooled_graph
from sim.classroom.class_work import COPY, JUDGE, NOT_IN, ClassWork, class_work
from sim.classroom.corrections import (
    FILE_NAME,
    Corrections,
    NoCorrections,
    empty_file,
    keep_corrections,
    read_corrections,
)
from sim.classroom.examine import Examiner, all_examined
from sim.progress import bar

if TYPE_CHECKING:
    from collections.abc import Sequence

    from analysis.files import Stage
    from sim.classroom.answers import AnswerGroup
    from sim.classroom.class_summary import ClassReadings, ClassSummary, CriterionCounts


MOST_TOLD = 20
"""Sentences on the screen; all of them are in the workbook."""


def run(options: argparse.Namespace) -> int:
    """Collect a class, and say what the teacher has to look at."""
    keep = frozenset({FILE_NAME})
    check_free(options.out, force=options.force, keep=keep)
    if options.out.resolve() == options.folder.resolve():
        raise Refused(f"{options.out} holds what was handed in: choose another folder with --out.")
    key = read_key(options.key)
    examiner = Examiner(key, None if options.criteria is None else load(options.criteria))
    files = handed_in(options.folder, options.out)
    judged = _judged_in_workbook(options.out, key.names)
    work = collected(examiner, files, _corrections(options, key.names).then(judged))
    with staged(options.out, force=options.force, keep=keep) as stage:
        put_results(stage, key, work)
        if judged.rows:  # before the workbook that they stand in is written anew
            keep_corrections(options.out / FILE_NAME, judged.rows)
    _tell(work, options.out)
    return 0


def _corrections(options: argparse.Namespace, names: tuple[str, ...]) -> Corrections:
    """Those of earlier collectings, and then those of the file that is named."""
    kept, found = options.out / FILE_NAME, Corrections()
    if kept.exists():
        found = read_corrections(kept, names)
    named = options.corrections
    return found if named is None else found.then(read_corrections(named, names))


def _judged_in_workbook(out: Path, names: tuple[str, ...]) -> Corrections:
    """What the teacher wrote beside the answers in the workbook of an earlier collecting."""
    if not (out / WORKBOOK).exists():
        return Corrections()
    try:
        return read_corrections(out / WORKBOOK, names)
    except NoCorrections:  # made by an older program
        return Corrections()


def _tell(work: ClassWork, out: Path) -> None:
    say(f"{len(work.students)} of {len(work.names)} practicals marked.")
    missing = [str(one.student) for one in work.to_see if one.what == NOT_IN]
    if missing:
        say(f"Nothing to mark: practical {', '.join(missing)}.")
    told = [
        f"Practical {_whose(work, pair.first)} and {_whose(work, pair.second)}: {pair.why} "
        "Worth a talk."
        for pair in work.copies
    ]
    told += [
        f"Practical {_whose(work, one.student)}: {one.why}" if one.student else one.why
        for one in work.to_see
        if one.what not in (COPY, JUDGE, NOT_IN)
    ]
    say(*told[:MOST_TOLD])
    if len(told) > MOST_TOLD:
        say(f"{len(told) - MOST_TOLD} more are in the workbook, sheet 'for the teacher'.")
    to_judge = sum(one.what == JUDGE for one in work.to_see)
    say(f"{to_judge} answers are left for the teacher to judge.")
    say_written(out)


def _whose(work: ClassWork, number: int) -> str:
    return f"{number} ({harmless(work.names[number - 1])})"


FILLS = {
    Verdict.RIGHT: Fill.SOLID,
    Verdict.CARRIED: Fill.HATCHED,
    Verdict.HALF: Fill.CROSSED,
    Verdict.WRONG: Fill.OPEN,
    Verdict.MISSING: Fill.DOTTED,
    Verdict.TEACHER: Fill.GREY,
}


def class_page(work: ClassWork) -> str:
    """The page as HTML, for a projector."""
    summary = class_summary(work)
    return page_html(
        Document(
            "The class at a glance: rebound height and temperature",
            (
                Section("", _in_short(summary)),
                Section("What many have still to mend", _faults(summary)),
                Section("The readings of the whole class", (_pooled(pooled(work.students)),)),
                Section("Criterion by criterion", _criterion_tables(summary)),
                Section("What was written", _written(work)),
            ),
        )
    )


def _in_short(summary: ClassSummary) -> tuple[Block, ...]:
    handed_in = f"{summary.handed_in} of {summary.size} practicals were handed in and marked."
    marks = _marks_sentence(summary)
    return (Paragraph(handed_in, leading=True), *([Paragraph(marks)] if marks else []))


def _faults(summary: ClassSummary) -> tuple[Block, ...]:
    if not summary.faults:
        return (Paragraph("No criterion was missed."),)
    blocks: list[Block] = []
    for number, fault in enumerate(summary.faults, start=1):
        missed = f"{fault.page}: not yet met by {fault.students} of {summary.handed_in}."
        more = " Written was, for example:" if fault.examples else ""
        blocks += [Subheading(f"{number}. {fault.asks}"), Paragraph(missed + more)]
        blocks += map(Quote, fault.examples)
        blocks += [Paragraph(f"The feedback says: {fault.said}")] if fault.said else []
    return tuple(blocks)


def _pooled(pool: ClassReadings) -> Block:
    if not len(pool.means):
        return Paragraph("There are no readings yet.")
    return Picture(
        f"{len(pool.readings)} readings. Students' points at one temperature are laid side by "
        "side, so that none hides another.",
        f"Graph of {len(pool.readings)} rebound heights against temperature, with each student's "
        "means and one line of best fit",
        pooled_graph(pool),
    )


def _criterion_tables(summary: ClassSummary) -> tuple[Block, ...]:
    """One table a page of the book, each criterion with its counts and a bar of their shares."""
    pages: dict[str, list[CriterionCounts]] = {}
    for counted in summary.criteria:
        pages.setdefault(counted.page, []).append(counted)
    fills = {
        verdict: fill
        for verdict, fill in FILLS.items()
        if verdict is not Verdict.HALF or any(verdict in one.counts for one in summary.criteria)
    }
    legend = Legend(tuple((fill, verdict.value) for verdict, fill in fills.items()))
    return (legend, *(_criterion_table(page, rows, fills) for page, rows in pages.items()))


def _criterion_table(page: str, rows: list[CriterionCounts], fills: dict[Verdict, Fill]) -> Table:
    counts = [[row.counts.get(verdict, 0) for verdict in fills] for row in rows]
    return Table(
        caption=page,
        headings=("criterion", *(verdict.value for verdict in fills), "share"),
        rows=tuple(
            (row.asks, *(str(n or "") for n in of_row))
            for row, of_row in zip(rows, counts, strict=True)
        ),
        bars=tuple(
            tuple(
                (n / row.judged, fill) for fill, n in zip(fills.values(), of_row, strict=True) if n
            )
            for row, of_row in zip(rows, counts, strict=True)
        ),
    )


WRITTEN_ABOUT = (
    "Every answer that is left to the teacher (?) and every one that earns marks, question by "
    "question; the same answer stands once. Names are left out."
)
MOST_SHOWN = 300
"""Answers to one question on the page; a larger class has all of them in the workbook."""


def _written(work: ClassWork) -> tuple[Block, ...]:
    """What was left or credited, in full, beside its question."""
    hidden = HiddenNames.among(work.names)
    by_question: dict[str, list[AnswerGroup]] = {}
    for one in work.answers:
        if one.sign != Verdict.WRONG.sign:
            asked = f"{one.place}: {one.question}"
            by_question.setdefault(asked, []).append(one)
    blocks: list[Block] = [Paragraph(WRITTEN_ABOUT)]
    for asked, found in by_question.items():
        groups = sorted(_by_words(found), key=lambda one: one.sign != Verdict.TEACHER.sign)
        blocks.append(Subheading(asked))
        blocks.append(
            Judgements(tuple(_as_written(one, hidden) for one in groups[:MOST_SHOWN]), slim=True)
        )
        if len(groups) > MOST_SHOWN:
            more = f"{len(groups) - MOST_SHOWN} more are in the workbook, sheet '{SHEET}'."
            blocks.append(Paragraph(more, small=True))
    return tuple(blocks)


def _by_words(groups: Sequence[AnswerGroup]) -> list[AnswerGroup]:
    """The same words once, whatever own work stands beside them: that is for the teacher alone."""
    found: dict[tuple[object, ...], AnswerGroup] = {}
    for one in groups:
        said = (one.said, one.sign, one.judged)
        first = found.get(said)
        found[said] = replace(first, students=first.students + one.students) if first else one
    return list(found.values())


def _as_written(one: AnswerGroup, hidden: HiddenNames) -> Judgement:
    said = [f"builds on {hidden.of(one.builds_on)}"] if one.builds_on else []
    said += [f"written by {len(one.students)}"] if len(one.students) > 1 else []
    said += [f"the program's guess: {one.guess}"] if one.guess and not one.judged else []
    said += ["judged by the teacher"] if one.judged else []
    below = (Paragraph("; ".join(said), small=True),) if said else ()
    return Judgement(one.sign, hidden.of(one.answer) or one.asks, below)


def _marks_sentence(summary: ClassSummary) -> str:
    quarters = summary.quarters
    if quarters is None:
        return ""
    lowest, low, middle, high, highest = (plain(one, 1) for one in quarters)
    return (
        f"Marks run from {lowest} to {highest} of {summary.out_of}; half of the class has between "
        f"{low} and {high}, the middle is {middle}. What the teacher has still to judge is not "
        "counted."
    )


MARKS_ABOUT = (
    "Marks for each criterion; a blank is for the teacher to judge, or was not handed in. "
    "Corrections go into corrections.csv, or beside the answers on the sheet 'to judge', and stay "
    "when the class is collected again.",
)
TO_SEE_ABOUT = (
    "What the program cannot decide, and what it found. A possible copy is a reason to look and "
    "to ask, not an accusation: students who shared a bench look the same.",
)


def class_workbook(work: ClassWork) -> bytes:
    """The workbook as the bytes of an xlsx file."""
    sheets = (
        TableSheet("marks", _marks(work), MARKS_ABOUT, upright=True),
        TableSheet(SHEET, sheet_columns(work.answers), SHEET_ABOUT, widest=WIDEST),
        TableSheet("for the teacher", _to_see(work), TO_SEE_ABOUT),
        TableSheet("readings", _readings(work)),
        TableSheet("criteria", _criteria(work)),
        TableSheet("files", _files(work)),
    )
    return xlsx_bytes(sheets)


def _marks(work: ClassWork) -> tuple[OutColumn, ...]:
    of = {student.student: student for student in work.students}
    numbers = range(1, len(work.names) + 1)
    feedback = [of[number].feedback if number in of else None for number in numbers]
    earned = [_earned(one) for one in feedback]
    marks = [math.nan if one is None else one.earned for one in feedback]
    criteria = dict.fromkeys(r.criterion for one in feedback if one for r in one.remarks)
    return (
        OutColumn("practical", [float(number) for number in numbers]),
        text_column("name", work.names),
        OutColumn("marks", marks, _places(marks)),
        OutColumn("out of", [math.nan if one is None else one.out_of for one in feedback]),
        OutColumn(
            "for the teacher to judge",
            [math.nan if one is None else float(len(one.for_the_teacher)) for one in feedback],
        ),
        *(
            OutColumn(name, column, _places(column))
            for name in criteria
            for column in ([one.get(name, math.nan) for one in earned],)
        ),
    )


def _places(marks: Sequence[float]) -> int:
    """Decimal places of a column of marks: one where there are half marks."""
    return int(any(one % 1 == 0.5 for one in marks))


def _earned(feedback: Feedback | None) -> dict[str, float]:
    """The marks of each criterion that is judged."""
    remarks = feedback.remarks if feedback else ()
    return {r.criterion: float(r.earned) for r in remarks if r.verdict is not Verdict.TEACHER}


def _to_see(work: ClassWork) -> tuple[OutColumn, ...]:
    rows = work.to_see
    return (
        OutColumn("practical", [one.student or math.nan for one in rows]),
        text_column("name", (work.names[one.student - 1] if one.student else "" for one in rows)),
        text_column("what", (one.what for one in rows)),
        text_column("criterion", (one.criterion for one in rows)),
        text_column("why", (one.why for one in rows)),
        text_column("the student's words", (one.words for one in rows)),
    )


def _readings(work: ClassWork) -> tuple[OutColumn, ...]:
    rows = [
        (student.student, repeat, one)
        for student in work.students
        for one, repeat in zip(
            student.examined.evidence.readings, student.examined.evidence.repeats, strict=True
        )
    ]
    places = max((one.decimal_places for _, _, one in rows), default=0)
    return (
        OutColumn("student", [float(number) for number, _, _ in rows]),
        OutColumn(heading_text(TEMPERATURE, "°C"), [one.temperature_c for _, _, one in rows]),
        OutColumn(REPEAT, [float(repeat) for _, repeat, _ in rows]),
        OutColumn(
            heading_text(REBOUND_HEIGHT, "cm"), [one.height_cm for _, _, one in rows], places
        ),
    )


def _criteria(work: ClassWork) -> tuple[OutColumn, ...]:
    rows = class_summary(work).criteria
    return (
        text_column("page", (one.page for one in rows)),
        text_column("criterion", (one.criterion for one in rows)),
        text_column("asks", (one.asks for one in rows)),
        OutColumn("marks", [float(one.marks) for one in rows]),
        *(
            OutColumn(verdict.value, [float(one.counts.get(verdict, 0)) for one in rows])
            for verdict in Verdict
        ),
    )


def _files(work: ClassWork) -> tuple[OutColumn, ...]:
    rows = sorted(work.files)
    return (
        text_column("file", (name for name, _ in rows)),
        text_column("what became of it", (what for _, what in rows)),
    )


PAGE, FEEDBACK = "class.html", "feedback"
_STEPS = MappingProxyType(dict.fromkeys(PAGES, TRIES_FOR_THE_STEP))
"""What is handed in is finished, so its feedback shows the worked steps."""


def collected(
    examiner: Examiner, files: Sequence[HandedFile], corrections: Corrections | None = None
) -> ClassWork:
    """Examine and mark the files of a class; `corrections` are the teacher's."""
    with bar(len(files), "marking") as done:
        results = all_examined(examiner, files, done.update)
    criteria = examiner.criteria or load()
    with bar(1, "comparing") as done:
        work = class_work(
            examiner.key.names, results, corrections or Corrections(), criteria.vocabulary
        )
        done.update()
    return work


def put_results(stage: Stage, key: ClassKey, work: ClassWork) -> None:
    """Make the class workbook, the class page, each student's feedback and the corrections file."""
    with bar(len(work.students) + 2, "feedback") as done:
        # The two longest first, so that the bar is not full long before the end.
        stage.put(WORKBOOK, class_workbook(work), private=True)
        done.update()
        stage.put(PAGE, class_page(work).encode())
        done.update()
        for student in work.students:
            number = student.student
            title = f"practical {shown_number(key, number)}, {key.names[number - 1]}"
            page = page_html(feedback_document(student.feedback, Work(tries=_STEPS), title))
            stage.put(f"{FEEDBACK}/{stem_of(key, number)}.html", page.encode())
            done.update()
    stage.put(FILE_NAME, empty_file(), private=True)
