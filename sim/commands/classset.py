"""`classset`: a practical of their own for every student of a class, and the teacher's key."""

from __future__ import annotations

import argparse
from pathlib import Path

from analysis.command_line import say
from analysis.files import staged
from analysis.refusal import Refused
from sim.classroom.class_key import Handout, Kind, new_key
from sim.classroom.give_out import (
    KEY,
    MOST_REPEATS,
    MOST_TEMPERATURES,
    TEACHER,
    fits_on_paper,
    give_out,
    give_out_readings,
)
from sim.classroom.names import read_names
from sim.commands.options import ball_of, procedure_of
from sim.state import Procedure

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
