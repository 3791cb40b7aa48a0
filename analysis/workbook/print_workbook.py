"""`python -m analysis paper`: the blank student's workbook as HTML and PDF, for printing."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from analysis.files import written
from analysis.paper.cautions import IN_ONE_SENTENCE
from analysis.paper.html import page_html
from analysis.paper.pdf import pdf_bytes
from analysis.workbook.workbook import workbook

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

FOLDER = Path("workbook")
TEMPERATURES, REPEATS = (2, 10), (1, 10)
"""Fewest and most that the pages have room for."""


def run(arguments: Sequence[str]) -> int:
    """Write the workbook and give the exit code; a refusal is one sentence."""
    options = _parser().parse_args(arguments)
    files = _written(options)
    print(  # noqa: T201  a command line prints
        "Written: " + ", ".join(map(str, files)) + "\n"
        'Print at 100 % ("actual size"), or the squares are not 2 mm.'
    )
    return 0


def _written(options: argparse.Namespace) -> tuple[Path, ...]:
    book = workbook(options.temperatures, options.repeats, name_line=options.name_line)
    contents = {
        "workbook.html": page_html(book).encode("utf-8"),
        "workbook.pdf": pdf_bytes(book),
    }
    return written(options.out, contents, force=options.force)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m analysis paper",
        description="Write a blank student's workbook for printing on A4: hazards, method, rough "
        "readings, results table, graph paper with 2 mm squares, questions, words.",
        epilog=IN_ONE_SENTENCE,
    )
    parser.add_argument(
        "--out", type=Path, default=FOLDER, metavar="DIR", help=f"folder (default: {FOLDER} here)"
    )
    parser.add_argument(
        "--temperatures",
        type=_number_from(*TEMPERATURES),
        default=5,
        metavar="N",
        help="how many temperatures to leave room for (default: 5)",
    )
    parser.add_argument(
        "--repeats",
        type=_number_from(*REPEATS),
        default=5,
        metavar="N",
        help="how many drops at each temperature (default: 5)",
    )
    parser.add_argument(
        "--name-line", action="store_true", help="ask for the name at the top of every page"
    )
    parser.add_argument("--force", action="store_true", help="overwrite files of an earlier run")
    return parser


def _number_from(least: int, most: int) -> Callable[[str], int]:
    def number(text: str) -> int:
        if text not in map(str, range(least, most + 1)):
            raise argparse.ArgumentTypeError(f"{text!r} is no whole number from {least} to {most}")
        return int(text)

    return number
