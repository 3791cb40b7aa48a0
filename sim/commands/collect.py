"""`collect`: the practicals of a class checked, marked and summed up."""

from __future__ import annotations

import argparse
from pathlib import Path

from analysis.command_line import say, say_written
from analysis.files import check_free, staged
from analysis.marking.sentences.criteria import load
from analysis.refusal import Refused
from sim.classroom.class_key import read_key
from sim.classroom.class_work import (
    COPY,
    FILE_NAME,
    JUDGE,
    NOT_IN,
    ClassWork,
    Corrections,
    read_corrections,
)
from sim.classroom.examine import Examiner
from sim.classroom.handed_in import handed_in
from sim.classroom.results import collected, put_results

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
    work = collected(examiner, files, _corrections(options, key.names))
    with staged(options.out, force=options.force, keep=keep) as stage:
        put_results(stage, key, work)
    _tell(work, options.out)
    return 0


def _corrections(options: argparse.Namespace, names: tuple[str, ...]) -> Corrections:
    path = options.corrections or options.out / FILE_NAME
    if options.corrections is None and not path.exists():
        return Corrections()
    return read_corrections(path, names)


def _tell(work: ClassWork, out: Path) -> None:
    say(f"{len(work.students)} of {len(work.names)} practicals marked.")
    missing = [str(one.student) for one in work.to_see if one.what == NOT_IN]
    if missing:
        say(f"Nothing to mark: practical {', '.join(missing)}.")
    told = [f"Practical {pair.first} and {pair.second}: {pair.why}" for pair in work.copies]
    told += [one.why for one in work.to_see if one.what not in (COPY, JUDGE, NOT_IN)]
    say(*told[:MOST_TOLD])
    if len(told) > MOST_TOLD:
        say(f"{len(told) - MOST_TOLD} more are in the workbook, sheet 'for the teacher'.")
    to_judge = sum(one.what == JUDGE for one in work.to_see)
    say(f"{to_judge} answers are left for the teacher to judge.")
    say_written(out)
