"""`python -m analysis mark FILE`: a filled-in results table in, feedback out."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path

from analysis.command_line import say, say_written
from analysis.files import write_whole
from analysis.marking.filled import read_work
from analysis.marking.mark import PAGES, feedback_document, mark
from analysis.marking.work import Feedback
from analysis.paper.html import page_html
from analysis.quantity.units import plain
from analysis.refusal import harmless


def run(options: argparse.Namespace) -> int:
    """Mark one file, write the feedback as HTML, and say the marks of each page."""
    path: Path = options.file
    out = options.out or Path(f"{harmless(path.stem, '_')}-feedback.html")
    work = replace(read_work(path), tries=dict.fromkeys(PAGES, 2 if options.second_try else 1))
    feedback = mark(work)
    page = page_html(feedback_document(feedback, work, harmless(path.name)))
    write_whole(out, page.encode(), force=options.force)
    say(*_lines(feedback))
    say_written(out)
    return 0


def _lines(feedback: Feedback) -> list[str]:
    lines = []
    for page in dict.fromkeys(remark.page for remark in feedback.remarks):
        remarks = feedback.of_page(page)
        earned = sum(remark.earned for remark in remarks)
        lines.append(f"{page}: {plain(earned, 1)} of {sum(remark.marks for remark in remarks)}")
    if feedback.for_the_teacher:
        lines.append(f"For the teacher to judge: {len(feedback.for_the_teacher)}")
    return lines
