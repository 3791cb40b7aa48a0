"""The files of a class set: records and sheets for students, key and answers for the teacher."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from analysis.cells import decimals_needed
from analysis.formats import OutColumn, Output, csv_bytes
from analysis.headings import DROP_HEIGHT, REBOUND_HEIGHT, STUDENT, TEMPERATURE, heading_text
from analysis.quantity import celsius, centimetres, fixed
from sim.classroom.answer_key import ABOUT, answer_columns
from sim.classroom.book_of_tables import TableSheet, workbook_bytes
from sim.classroom.class_key import ClassKey, key_bytes, procedure_of_key
from sim.classroom.progress import bar
from sim.classroom.safe_names import digits_for
from sim.classroom.sets import class_heights_m, empty_record, record_name, stem_of
from sim.record import program_version

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from sim.classroom.placing import Stage

STUDENTS, PRINTING, TEACHER = "for students", "for printing", "teacher only"
KEY = f"{TEACHER}/key.json"
ANSWERS, READINGS = f"{TEACHER}/answer key", f"{TEACHER}/readings of all.csv"
SHEETS, QUESTIONS = f"{PRINTING}/sheets of all.pdf", f"{PRINTING}/questions.pdf"


@dataclass(frozen=True)
class Made:
    """What was made: how many of what, in sentences, and what the teacher has to see to."""

    sentences: tuple[str, ...]


def give_out(stage: Stage, key: ClassKey, *, sheets: bool) -> Made:
    """Make the files of a class set with a record for each student.

    Raises RecordTrouble, NotPossible or Refused, and then nothing is kept.
    """
    program = program_version()
    with bar(len(key.names), "readings") as done:
        heights_m = class_heights_m(key, done.update)
    for number in range(1, len(key.names) + 1):
        record = empty_record(key, number, program)
        stage.put(f"{STUDENTS}/{record_name(key, number)}", record)
    said = [f"{len(key.names)} practical records, each to be opened with --record FILE."]
    if sheets:
        said += _print(stage, key, heights_m)
    columns = answer_columns(key, heights_m)
    answers = workbook_bytes((TableSheet("answers", ABOUT, columns),))
    stage.put(f"{ANSWERS}.xlsx", answers)
    stage.put(KEY, key_bytes(key))
    return Made(tuple(said))


def give_out_readings(stage: Stage, key: ClassKey) -> Made:
    """Make the files of a class set that is readings only: readings, answers and key."""
    with bar(4, "readings of all") as done:
        heights_m = class_heights_m(key)
        done.update()
        stage.put(READINGS, csv_bytes(Output(_readings(key, heights_m), 1.0)))
        done.update()
        columns = answer_columns(key, heights_m)
        done.update()
        stage.put(f"{ANSWERS}.csv", csv_bytes(Output(tuple(map(_in_texts, columns)), 1.0)))
        done.update()
    stage.put(KEY, key_bytes(key))
    return Made((f"Readings for {len(key.names):,} students.",))


def _print(stage: Stage, key: ClassKey, heights_m: NDArray[np.float64]) -> list[str]:
    from sim.classroom.sheets import Printed, questions_pdf, sheets_pdf, unprintable

    digits = digits_for(len(key.names))
    procedure = procedure_of_key(key)
    students = tuple(
        Printed(f"{number:0{digits}}", name, heights_m[number - 1])
        for number, name in enumerate(key.names, start=1)
    )
    with bar(len(students) + 1, "sheets") as done:
        for number, student in enumerate(students, start=1):
            content = sheets_pdf((student,), procedure)
            stage.put(f"{STUDENTS}/{stem_of(key, number)}.pdf", content)
            done.update()
        stage.put(SHEETS, sheets_pdf(students, procedure))
        done.update()
    stage.put(QUESTIONS, questions_pdf())
    said = [f"{len(students)} printed sheets with readings, and the questions for all."]
    lacking = [student.number for student in students if unprintable(student.name)]
    if lacking:
        said.append(
            f"The printed font lacks letters of the names of practical {', '.join(lacking)}: "
            "write these names on the sheets by hand."
        )
    return said


def _readings(key: ClassKey, heights_m: NDArray[np.float64]) -> tuple[OutColumn, ...]:
    """The wide layout of a readings file, one row a student and temperature."""
    procedure = procedure_of_key(key)
    digits, rows = digits_for(len(key.names)), len(procedure.temperatures_k)
    students = [
        f"{number:0{digits}} {name}"
        for number, name in enumerate(key.names, start=1)
        for _ in range(rows)
    ]
    temperatures = [float(fixed(float(each), 6)) for each in celsius(procedure.temperatures_k)]
    drop_cm = float(fixed(float(centimetres(procedure.drop_height_m)), 6))
    places = max(map(decimals_needed, temperatures))
    return (
        OutColumn(heading_text(STUDENT), students),
        OutColumn(heading_text(TEMPERATURE, "°C"), temperatures * len(key.names), places),
        *(
            OutColumn(
                heading_text(REBOUND_HEIGHT, "cm", repeat + 1),
                _texts(heights_m[:, :, repeat], procedure.observer.decimal_places_cm),
            )
            for repeat in range(procedure.repeats)
        ),
        OutColumn(
            heading_text(DROP_HEIGHT, "cm"), [drop_cm] * len(students), decimals_needed(drop_cm)
        ),
    )


def _texts(heights_m: NDArray[np.float64], places: int) -> list[str]:
    """Heights as text in centimetres."""
    values_cm = np.round(centimetres(heights_m).ravel(), 6)
    return _written_once(values_cm, lambda value: fixed(value, places))


def _in_texts(column: OutColumn) -> OutColumn:
    """A column of numbers as the texts that a csv file shows."""
    if any(isinstance(cell, str) for cell in column.cells[:1]):
        return column
    values = np.array(column.cells, dtype=np.float64)
    shown = _written_once(values, lambda value: f"{value:.{column.places}f}")
    return OutColumn(column.heading, shown, column.places)


def _written_once(values: NDArray[np.float64], text_of: Callable[[float], str]) -> list[str]:
    """Texts of numbers, blank for NaN. Few are different in a large class: each is written once."""
    found, which = np.unique(values, return_inverse=True)
    texts = ["" if np.isnan(value) else text_of(float(value)) for value in found]
    shown: list[str] = np.array(texts, dtype=object)[which].tolist()
    return shown
