"""`mark`: feedback on the exercise book of a practical record, as one HTML page."""

from __future__ import annotations

import argparse
from pathlib import Path

from analysis.command_line import say, say_written
from analysis.files import write_whole
from analysis.marking.mark import feedback_document, mark
from analysis.paper.html import page_html
from sim.commands.from_record import file_beside, record_named
from sim.marking import work_of


def run(options: argparse.Namespace) -> int:
    """Read the record, tell what was amiss, mark its book and write the feedback."""
    record = record_named(options)
    out = file_beside(options, feedback_path)
    work = work_of(record.end)
    feedback = mark(work)
    page = page_html(feedback_document(feedback, work, record.label or options.record.name))
    write_whole(out, page.encode(), force=options.force)
    waiting = len(feedback.for_the_teacher)
    say(f"{feedback.earned} of {feedback.out_of} marks; {waiting} for the teacher to judge")
    say_written(out)
    return 0


def feedback_path(record: Path) -> Path:
    """The feedback beside a record: `x.rebound.jsonl` has `x.rebound.feedback.html`."""
    return record.with_suffix(".feedback.html")
