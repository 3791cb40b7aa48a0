"""A practical record in, one file beside it: the commands `readings` and `mark`.

`readings` writes the readings file of a practical again, from its record alone; `mark` writes
feedback on its exercise book, as one HTML page.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from analysis.command_line import say, say_written
from analysis.files import write_whole
from analysis.marking.mark import feedback_document, mark
from analysis.paper.html import page_html
from analysis.quantity.units import plain
from analysis.refusal import Refused, harmless
from sim.marking import work_of
from sim.record.readings_file import readings_path, write_readings
from sim.record.replay import Record, read_record


def run(options: argparse.Namespace) -> int:
    """Read the record, tell what was amiss, and write what the command makes of it."""
    record = read_record(options.record)
    for notice in record.notices:
        print(harmless(notice), file=sys.stderr)
    if options.command == "mark":
        _write_feedback(record, options)
    else:
        _write_readings(record, options)
    return 0


def _write_feedback(record: Record, options: argparse.Namespace) -> None:
    out = _file_beside(options, feedback_path)
    work = work_of(record.end)
    feedback = mark(work)
    page = page_html(feedback_document(feedback, work, record.label or options.record.name))
    write_whole(out, page.encode(), force=options.force)
    waiting = len(feedback.for_the_teacher)
    earned = plain(feedback.earned, 1)
    say(f"{earned} of {feedback.out_of} marks; {waiting} for the teacher to judge")
    say_written(out)


def _write_readings(record: Record, options: argparse.Namespace) -> None:
    out = _file_beside(options, readings_path)
    write_readings(record.end, out, force=options.force)
    say(str(out))


def _file_beside(options: argparse.Namespace, usual: Callable[[Path], Path]) -> Path:
    """Where the results go: where `--out` says, or the usual place beside a record that was read.

    Raises Refused where that is the record itself.
    """
    out: Path = options.out or usual(options.record)
    if out.resolve() == options.record.resolve():
        raise Refused(f"{out} is the record itself", mend="give the results another name")
    return out


def feedback_path(record: Path) -> Path:
    """The feedback beside a record: `x.rebound.jsonl` has `x.rebound.feedback.html`."""
    return record.with_suffix(".feedback.html")
