"""`mark`: feedback on the exercise book of a practical record, as one HTML page."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from analysis.files import write_whole
from analysis.marking.feedback_page import feedback_html
from analysis.marking.mark import mark
from analysis.refusal import Refused
from sim.marking import work_of
from sim.record.replay import Record, read_record

ENDING = ".feedback.html"


def add_options(parser: argparse.ArgumentParser) -> None:
    """What the command takes on the command line."""
    parser.description = __doc__
    parser.add_argument("record", type=Path, metavar="RECORD", help="a file *.rebound.jsonl")
    parser.add_argument(
        "--out", type=Path, metavar="FILE", help=f"HTML file to write (RECORD with {ENDING})"
    )
    parser.add_argument(
        "--force", action="store_true", help="write over a file that is there already"
    )
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read the record, tell what was amiss, mark its book and write the feedback."""
    record = read_record(options.record)
    out = options.out or feedback_path(options.record)
    if out.resolve() == options.record.resolve():
        raise Refused(f"{out} is the record itself", mend="give the feedback another name")
    work = work_of(record.end)
    feedback = mark(work)
    page = feedback_html(feedback, work, _title(record, options.record))
    write_whole(out, page.encode(), force=options.force)
    for notice in record.notices:
        sys.stderr.write(f"{notice}\n")
    waiting = len(feedback.for_the_teacher)
    print(f"{feedback.earned} of {feedback.out_of} marks; {waiting} for the teacher to judge")
    print(f"Written: {out}")
    return 0


def feedback_path(record: Path) -> Path:
    """The feedback beside a record: `x.rebound.jsonl` has `x.rebound.feedback.html`."""
    return record.with_suffix(ENDING)


def _title(record: Record, path: Path) -> str:
    """Whose work it is: the record's label, or the file's name."""
    return record.label or path.name
