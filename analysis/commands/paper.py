"""`python -m analysis paper`: the blank student's workbook as HTML and PDF, for printing."""

from __future__ import annotations

import argparse

from analysis.command_line import say, say_written
from analysis.files import written
from analysis.paper.html import page_html
from analysis.paper.pdf import pdf_bytes
from analysis.workbook import workbook


def run(options: argparse.Namespace) -> int:
    """Write the workbook, and say how it is to be printed."""
    book = workbook(options.temperatures, options.repeats, name_line=options.name_line)
    contents = {
        "workbook.html": page_html(book).encode("utf-8"),
        "workbook.pdf": pdf_bytes(book),
    }
    say_written(*written(options.out, contents, force=options.force))
    say('Print at 100 % ("actual size"), or the squares are not 2 mm.')
    return 0
