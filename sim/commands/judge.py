"""`judge`: what the program left to the teacher, judged in a window, one key for each answer."""

from __future__ import annotations

import argparse

from analysis.command_line import say
from analysis.quantity.units import counted
from analysis.refusal import Refused
from sim.bench.model.judging import ToKeep, judging_of
from sim.bench.screen.judging_window import judge_in
from sim.bench.screen.window import window
from sim.classroom.answers import SHEET, WORKBOOK, read_answers
from sim.classroom.corrections import (
    FILE_NAME,
    Corrections,
    NoCorrections,
    keep_corrections,
    read_corrections,
)

INSTEAD = f"the sheet '{SHEET}' of {WORKBOOK} does the same without one"


def run(options: argparse.Namespace) -> int:
    """Open the window on what is to be judged; every verdict is kept before the next is asked."""
    workbook, file = options.folder / WORKBOOK, options.folder / FILE_NAME
    if not workbook.is_file():
        raise Refused(f"{options.folder} holds no {WORKBOOK}: name a folder that collect wrote.")
    with window(instead=INSTEAD) as surface:
        try:
            answers = read_answers(workbook)
        except NoCorrections as error:
            raise Refused(f"{workbook} has no sheet {SHEET!r}: collect the class again.") from error
        names = [""] * max((max(one.students) for one in answers), default=0)
        kept = read_corrections(file, names) if file.exists() else Corrections()
        judging = judging_of(answers, kept, int(options.text_percent) / 100)

        def keep(change: ToKeep) -> None:
            keep_corrections(file, change.made, change.withdrawn)

        left = judge_in(surface, judging, keep) if judging else None
    waiting = len(left.still_open) if left else 0
    say(
        f"{counted(waiting, 'answer')} still to be judged."
        if waiting
        else "Nothing is left to be judged.",
        f"Your verdicts are in {file}; collect the class again and they are taken in.",
    )
    return 0
