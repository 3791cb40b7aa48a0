"""`classset`: a practical of their own for every student of a class, and the teacher's key.

The files are records and sheets for students, key and answers for the teacher. The answer key says
what each student's printed readings come to, one row a student. The same functions work it out that
judge any readings, for all students in one call.

Printed sheets are set by `sim.classroom.printed_sheets`, side by side.
"""

from __future__ import annotations

import argparse
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from analysis.command_line import say
from analysis.files import staged
from analysis.paper.pdf import missing_letters
from analysis.quantity.headings import (
    DROP_HEIGHT,
    REBOUND_HEIGHT,
    STUDENT,
    TEMPERATURE,
    heading_text,
)
from analysis.quantity.units import (
    celsius,
    centimetres,
    fixed,
    resolution_m,
    temperature_text,
)
from analysis.quantity.written import decimals_needed
from analysis.readings.columns import OutColumn, csv_bytes, text_column
from analysis.readings.spreadsheets import TableSheet, xlsx_bytes
from analysis.refusal import Refused
from analysis.report.figures import ANOMALIES, FigureEntry, Places, Worked, listed
from analysis.report.summary import Precision
from analysis.statistics.energy import energies
from analysis.statistics.spread import spread
from analysis.statistics.trend import trend
from sim.classroom.class_key import (
    ClassKey,
    Handout,
    Kind,
    class_heights_m,
    empty_record,
    key_bytes,
    new_key,
    record_name,
    shown_number,
    stem_of,
)
from sim.classroom.names import read_names
from sim.classroom.printed_sheets import (
    MOST_REPEATS,
    MOST_TEMPERATURES,
    Printed,
    fits_on_paper,
    questions_pdf,
    sheets_pdf,
)
from sim.classroom.side_by_side import SharedWork
from sim.commands.options import ball_of, procedure_of
from sim.procedure import Procedure
from sim.progress import bar
from sim.teaching.warming import flattening_sentence

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from analysis.files import Stage


MOST_RECORDS = 5_000
"""Students of a set with records. A larger one can be readings only."""
MOST_READINGS = 10_000_000


def run(options: argparse.Namespace) -> int:
    """Make the set, whole or not at all, and say what it holds."""
    _refuse_second_key(options.out / KEY)
    names = read_names(options.names)
    procedure = procedure_of(options, reheat=options.reheat)
    sheets = not (options.no_sheets or options.readings_only)
    _refuse_too_much(len(names.names), procedure, options)
    if sheets:
        _refuse_full_sheets(procedure)
    kind: Kind = "readings" if options.readings_only else "records"
    key = new_key(Handout(kind, ball_of(options), procedure), names.names, options.seed)
    with staged(options.out, force=options.force) as stage:
        made = (
            give_out_readings(stage, key)
            if options.readings_only
            else give_out(stage, key, sheets=sheets)
        )
    say(*names.notices, *made)
    say(f"Written: {options.out}. Keep '{TEACHER}' to yourself: collect needs its key.json.")
    return 0


def _refuse_second_key(key: Path) -> None:
    """Without its key a set that was given out cannot be collected, so none is written over."""
    if key.exists():
        raise Refused(
            f"{key} belongs to a set that may have been given out: choose another folder with "
            "--out."
        )


def _refuse_too_much(students: int, plan: Procedure, options: argparse.Namespace) -> None:
    readings = students * len(plan.temperatures_k) * plan.repeats
    if readings > MOST_READINGS:
        raise Refused(
            f"The set would hold {readings:,} readings and {MOST_READINGS:,} are possible: "
            "split the list of names, or plan fewer drops."
        )
    if students > MOST_RECORDS and not options.readings_only:
        raise Refused(
            f"{options.names.name} holds {students:,} names and a set with records has "
            f"{MOST_RECORDS:,} at most: split the list, or take --readings-only."
        )


def _refuse_full_sheets(procedure: Procedure) -> None:
    if not fits_on_paper(procedure):
        raise Refused(
            f"A printed sheet has room for {MOST_TEMPERATURES} temperatures and "
            f"{MOST_REPEATS} repeats: plan fewer, or take --no-sheets."
        )


OF_READINGS = (
    listed("mean", "mean", Places(1, "readings")),
    listed("half_range", "half-range"),
    ANOMALIES,
)
OF_THE_LINE = tuple(
    listed(f"trend.{name}")
    for name in ("gradient", "shallowest_gradient", "steepest_gradient", "intercept")
)
BEFORE = listed("energy.energy_before")
OF_ENERGY = tuple(map(listed, ("energy_after", "energy_transferred", "energy_kept")))
"""The figures of the key: at each temperature, of the line, and of energy before and after."""
ABOUT = (
    "These are the answers to the printed readings. Rounding differs between schools, and a line "
    "drawn by eye differs from the least-squares line: take a gradient between the shallowest and "
    "the steepest line through all bars as right.",
    "A student at the bench has readings of their own; 'collect' marks that work against them.",
    "Why a warm ball bounces higher is not asked. If it comes up: warm rubber gives back more of "
    "the energy that squashed it. The air inside presses more too, by about a seventh from 20 °C "
    "to 60 °C, and gives back what it takes; by our estimate that is 1 to 3 of some 26 cm that "
    "a ball from one metre gains. So 'the pressure inside' is true, and the smaller part.",
)


def answer_columns(key: ClassKey, heights_m: NDArray[np.float64]) -> tuple[OutColumn, ...]:
    """The columns of the key for heights of shape (students, temperatures, repeats)."""
    procedure = key.handout.procedure
    places = procedure.observer.decimal_places_cm
    worked, precision = _worked(key, heights_m), Precision(places, places + 1)
    numbers = [float(number) for number in range(1, len(key.names) + 1)]
    rows = [
        (row, f" at {temperature_text(temperature_k)}")
        for row, temperature_k in enumerate(procedure.temperatures_k)
    ]

    def column(entry: FigureEntry, row: int = 0, at: str = "") -> OutColumn:
        found, decimals = entry.found(worked), entry.places.decimals(precision)
        values = found[:, row] if at else np.broadcast_to(found, len(numbers))
        return OutColumn(entry.heading(at), _rounded(values, decimals), decimals)

    return (
        OutColumn("practical", numbers),
        text_column("name", key.names),
        *(column(entry, *row) for row in rows for entry in OF_READINGS),
        *map(column, (*OF_THE_LINE, BEFORE)),
        *(column(entry, *row) for row in rows for entry in OF_ENERGY),
    )


def _worked(key: ClassKey, heights_m: NDArray[np.float64]) -> Worked:
    """What follows from all students' readings, with the ball that they were given."""
    plan = key.handout.procedure
    spreads = spread(heights_m, resolution_m(heights_m, plan.observer.decimal_places_cm))
    means_m = np.minimum(spreads.mean_m, plan.drop_height_m)
    return Worked(
        spreads,
        trend(np.array(plan.temperatures_k), spreads),
        energies(key.handout.ball.mass_kg, plan.drop_height_m, means_m),
    )


def _rounded(values: NDArray[np.float64], places: int) -> list[float]:
    """Half away from zero, as `analysis.quantity.units.fixed` rounds, for a whole column."""
    tens = 10.0**places
    nudged = np.abs(values) * tens * (1.0 + 1e-12)
    rounded: list[float] = (np.sign(values) * np.floor(nudged + 0.5) / tens).tolist()
    return rounded


STUDENTS, PRINTING, TEACHER = "for students", "for printing", "teacher only"
KEY = f"{TEACHER}/key.json"
ANSWERS, READINGS = f"{TEACHER}/answer key", f"{TEACHER}/readings of all.csv"
SHEETS, QUESTIONS = f"{PRINTING}/sheets of all.pdf", f"{PRINTING}/questions.pdf"


def give_out(stage: Stage, key: ClassKey, *, sheets: bool) -> tuple[str, ...]:
    """Make the files of a class set with a record for each student, and say what they are.

    Raises RecordTrouble, NotPossible or Refused, and then nothing is kept.
    """
    with bar(len(key.names), "readings") as done:
        heights_m = class_heights_m(key, done.update)
    for number in range(1, len(key.names) + 1):
        record = empty_record(key, number)
        stage.put(f"{STUDENTS}/{record_name(key, number)}", record)
    said = [f"{len(key.names)} practical records, each to be opened with --record FILE."]
    if sheets:
        said += _print(stage, key, heights_m)
    columns = answer_columns(key, heights_m)
    flattened = flattening_sentence(key.handout.ball, key.handout.procedure)
    about = (*ABOUT, flattened) if flattened else ABOUT
    answers = xlsx_bytes([TableSheet("answers", columns, about)])
    stage.put(f"{ANSWERS}.xlsx", answers, private=True)
    stage.put(KEY, key_bytes(key), private=True)
    return tuple(said)


def give_out_readings(stage: Stage, key: ClassKey) -> tuple[str, ...]:
    """Make the files of a class set of readings only, and say what they are."""
    with bar(4, "readings of all") as done:
        heights_m = class_heights_m(key)
        done.update()
        stage.put(READINGS, csv_bytes(_readings(key, heights_m)), private=True)
        done.update()
        columns = answer_columns(key, heights_m)
        done.update()
        stage.put(f"{ANSWERS}.csv", csv_bytes(columns), private=True)
        done.update()
    stage.put(KEY, key_bytes(key), private=True)
    return (f"Readings for {len(key.names):,} students.",)


def _print(stage: Stage, key: ClassKey, heights_m: NDArray[np.float64]) -> list[str]:
    students = tuple(
        Printed(shown_number(key, number), name, heights_m[number - 1])
        for number, name in enumerate(key.names, start=1)
    )
    sheets = {SHEETS: students}  # the longest work first, or the others wait for it in the end
    sheets |= {f"{STUDENTS}/{stem_of(key, int(one.number))}.pdf": (one,) for one in students}
    lost = _put_sheets(stage, key.handout, sheets)
    said = [f"{len(students)} printed sheets with readings, and the questions for all."]
    lacking = [student.number for student in students if missing_letters(student.name)]
    if lacking:
        said.append(
            f"The printed font lacks letters of the names of practical {', '.join(lacking)}: "
            "write these names on the sheets by hand."
        )
    said += (
        f"{name} could not be made: print it from the other file that holds the same sheet."
        for name in lost
    )
    return said


def _put_sheets(
    stage: Stage, handout: Handout, sheets: Mapping[str, tuple[Printed, ...]]
) -> list[str]:
    """Make the questions, and each file with its students' sheets; give the names of those lost."""
    names, lost = list(sheets), []
    with bar(len(names) + 1, "sheets") as done:
        stage.put(QUESTIONS, questions_pdf())
        done.update()

        def take(place: int, content: bytes | None) -> None:
            if content is None:
                lost.append(names[place])
            else:
                stage.put(names[place], content)
            done.update()

        work = partial(sheets_pdf, handout=handout)
        SharedWork[tuple[Printed, ...], bytes | None](work, _nothing, take).do([*sheets.values()])
    return lost


def _nothing(_students: tuple[Printed, ...]) -> None:
    """What stands for sheets over which the program that made them stopped, twice."""


def _readings(key: ClassKey, heights_m: NDArray[np.float64]) -> tuple[OutColumn, ...]:
    """The wide layout of a readings file, one row a student and temperature."""
    procedure = key.handout.procedure
    rows = len(procedure.temperatures_k)
    students = [
        f"{shown_number(key, number)} {name}"
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
                np.round(centimetres(heights_m[:, :, repeat]).ravel(), 6).tolist(),
                procedure.observer.decimal_places_cm,
            )
            for repeat in range(procedure.repeats)
        ),
        OutColumn(
            heading_text(DROP_HEIGHT, "cm"), [drop_cm] * len(students), decimals_needed(drop_cm)
        ),
    )
