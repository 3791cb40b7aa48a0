"""`python -m analysis mark FILE`: a filled-in results table in, feedback out.

Exit code 0: all fine; 1: the file was refused, with one sentence; 2: wrong usage.
"""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from analysis.files import write_whole

if TYPE_CHECKING:
    from collections.abc import Sequence

    from analysis.marking.remark import Feedback


def run(arguments: Sequence[str]) -> int:
    """Mark one file, write the feedback as HTML, and give the exit code."""
    options = _parser().parse_args(arguments)
    out: Path = options.out or Path(f"{options.file.stem}-feedback.html")
    feedback = _mark(options.file, out, options)
    print("\n".join(_lines(feedback, out)))  # noqa: T201  a command line prints
    return 0


def _lines(feedback: Feedback, out: Path) -> list[str]:
    lines = []
    for page in dict.fromkeys(remark.page for remark in feedback.remarks):
        remarks = feedback.of_page(page)
        earned = sum(remark.earned for remark in remarks)
        lines.append(f"{page}: {earned} of {sum(remark.marks for remark in remarks)}")
    if feedback.for_the_teacher:
        lines.append(f"For the teacher to judge: {len(feedback.for_the_teacher)}")
    return [*lines, f"Written: {out}"]


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m analysis mark",
        description="Mark a filled-in results table, and answers if the file holds any.",
    )
    parser.add_argument("file", type=Path, metavar="FILE", help="csv, xlsx or ods")
    parser.add_argument(
        "--out",
        type=Path,
        metavar="FILE.html",
        help="where the feedback goes (default: NAME-feedback.html here)",
    )
    parser.add_argument(
        "--second-try", action="store_true", help="show the worked steps as well as the nudges"
    )
    parser.add_argument("--force", action="store_true", help="overwrite an earlier feedback")
    return parser


def _mark(path: Path, out: Path, options: argparse.Namespace) -> Feedback:
    # --help and a wrong word need not wait for these.
    from analysis.marking.feedback_page import feedback_html
    from analysis.marking.filled import read_work
    from analysis.marking.mark import PAGES, mark

    work = read_work(path)
    work = replace(work, tries=dict.fromkeys(PAGES, 2 if options.second_try else 1))
    feedback = mark(work)
    html = feedback_html(feedback, work, path.name)
    write_whole(out, html.encode("utf-8"), force=options.force)
    return feedback
