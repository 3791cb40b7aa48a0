"""The command `page`: the practical as one HTML file for any browser."""

from __future__ import annotations

import argparse

from analysis.command_line import say, say_written
from analysis.files import write_whole
from sim.page.builder import page_content

BYTES_IN_MB = 1_000_000


def run(options: argparse.Namespace) -> int:
    """Make the page, write it, and say how large it is."""
    content = page_content(options.runtime)
    write_whole(options.out, content, force=options.force)
    say(
        f"One file of {len(content) / BYTES_IN_MB:.1f} MB: open it in a browser, send it, carry it."
    )
    say_written(options.out)
    return 0
