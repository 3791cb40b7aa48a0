"""`classset`: a practical of their own for every student of a class, and the teacher's key."""

from __future__ import annotations

import argparse
from pathlib import Path

from analysis.files import staged
from analysis.refusal import Refused
from physics.reading import HURRIED
from sim.classroom.class_key import Handout, Kind, new_key
from sim.classroom.give_out import KEY, TEACHER, give_out, give_out_readings
from sim.classroom.names import read_names
from sim.commands.options import add_procedure_options, ball_of, procedure_of, seed

MOST_RECORDS = 5_000
"""Students of a set with records. A larger one can be readings only."""


def add_options(parser: argparse.ArgumentParser) -> None:
    """What the command takes on the command line."""
    parser.description = (
        "A practical of their own for every student: an empty record for the bench, "
        "a printed sheet with readings for those without a machine, and for the teacher the key "
        "and the answers. Keep the folder 'teacher only' to yourself."
    )
    parser.add_argument(
        "names", type=Path, metavar="NAMES", help="csv, xlsx or ods file with the names"
    )
    parser.add_argument(
        "--out", type=Path, default=Path("class set"), metavar="DIR", help="folder (class set)"
    )
    parser.add_argument("--force", action="store_true", help="write into a folder that holds files")
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--no-sheets", action="store_true", help="records only, nothing printed")
    what.add_argument(
        "--readings-only",
        action="store_true",
        help="no records: all readings in one file, for the teacher to give out",
    )
    add_procedure_options(parser, HURRIED.name)
    parser.add_argument(
        "--reheat", action="store_true", help="put the ball back into the water before each drop"
    )
    parser.add_argument(
        "--seed",
        type=seed,
        help="for trying things out: makes the set the same each time, and no secret at all",
    )
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Make the set, whole or not at all, and say what it holds."""
    _refuse_second_key(options.out / KEY)
    names = read_names(options.names)
    procedure = procedure_of(options, reheat=options.reheat)
    sheets = not (options.no_sheets or options.readings_only)
    _refuse_too_much(len(names.names), options, sheets=sheets)
    kind: Kind = "readings" if options.readings_only else "records"
    key = new_key(Handout(kind, ball_of(options), procedure), names.names, options.seed)
    with staged(options.out, force=options.force) as stage:
        made = (
            give_out_readings(stage, key)
            if options.readings_only
            else give_out(stage, key, sheets=sheets)
        )
    for sentence in (*names.notices, *made.sentences):
        print(sentence)
    print(f"Written: {options.out}. Keep '{TEACHER}' to yourself: collect needs its key.json.")
    return 0


def _refuse_second_key(key: Path) -> None:
    """Without its key a set that was given out cannot be collected, so none is written over."""
    if key.exists():
        raise Refused(
            f"{key} belongs to a set that may have been given out: choose another folder with "
            "--out."
        )


def _refuse_too_much(students: int, options: argparse.Namespace, *, sheets: bool) -> None:
    if students > MOST_RECORDS and not options.readings_only:
        raise Refused(
            f"{options.names.name} holds {students:,} names and a set with records has "
            f"{MOST_RECORDS:,} at most: split the list, or take --readings-only."
        )
    if sheets:
        # fpdf, which a set without paper does not need
        from sim.classroom.printed_sheets import MOST_REPEATS, MOST_TEMPERATURES, fits_on_paper

        if not fits_on_paper(procedure_of(options, reheat=options.reheat)):
            raise Refused(
                f"A printed sheet has room for {MOST_TEMPERATURES} temperatures and "
                f"{MOST_REPEATS} repeats: plan fewer, or take --no-sheets."
            )
