"""The command line: any readings file in, table, graph and report out."""

from __future__ import annotations

import sys

from analysis.stopping import ending_at_once

with ending_at_once():
    import argparse
    from pathlib import Path
    from typing import TYPE_CHECKING

    from analysis.command_line import (
        CommandParser,
        add_input,
        add_mass,
        add_output,
        positive,
        run_command,
        whole_number,
    )
    from analysis.paper.cautions import IN_ONE_SENTENCE
    from analysis.refusal import harmless

if TYPE_CHECKING:
    from collections.abc import Sequence

TEMPERATURES, REPEATS = (2, 10), (1, 10)
"""Fewest and most that the pages of the workbook have room for."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command named first, or analyse the files named, and give the exit code."""
    words = sys.argv[1:] if arguments is None else list(arguments)
    if words and words[0] in COMMANDS:
        parser = COMMANDS[words[0]]()
        return run_command(f"analysis.commands.{words[0]}", lambda: parser.parse_args(words[1:]))
    return run_command("analysis.commands.analyse", lambda: _files_to_analyse(words))


def _files_to_analyse(words: Sequence[str]) -> argparse.Namespace:
    """The options, with a folder for each of the files."""
    parser = _analyse_parser()
    options = parser.parse_args(words)
    names = [f"{harmless(path.stem, '_')}-analysis" for path in options.files]
    if options.out is not None and len(options.files) > 1:
        options.folders = [options.out / name for name in names]
    else:
        options.folders = [options.out or Path(name) for name in names]
    twice = {str(folder) for folder in options.folders if options.folders.count(folder) > 1}
    if twice:
        parser.error(f"two of the files would share the folder {min(twice)}; analyse them apart")
    return options


def _analyse_parser() -> argparse.ArgumentParser:
    parser = CommandParser(
        prog="python -m analysis",
        description="Judge rebound heights at several temperatures: table, graph and report.",
        epilog=f"Other commands, each with its own --help: {', '.join(COMMANDS)}. "
        f"{IN_ONE_SENTENCE}",
    )
    parser.add_argument("files", nargs="+", type=Path, metavar="FILE", help="csv, xlsx or ods file")
    add_output(
        parser,
        "folder for the results (default: NAME-analysis here; for several files a folder each "
        "inside DIR)",
    )
    weight = parser.add_mutually_exclusive_group()
    add_mass(weight)
    weight.add_argument("--weight-n", type=positive, metavar="N", help="its weight in newtons")
    parser.add_argument("--json", action="store_true", help="print every figure as JSON")
    parser.add_argument("--pdf", action="store_true", help="write report.pdf and graph.pdf as well")
    parser.add_argument("--svg", action="store_true", help="write graph.svg as well")
    return parser


def _mark_parser() -> argparse.ArgumentParser:
    parser = CommandParser(
        prog="python -m analysis mark",
        description="Mark a filled-in results table, and answers if the file holds any.",
    )
    add_input(parser, "FILE")
    add_output(
        parser,
        "where the feedback goes (default: NAME-feedback.html here)",
        metavar="FILE.html",
    )
    parser.add_argument(
        "--second-try", action="store_true", help="show the worked steps as well as the nudges"
    )
    return parser


def _paper_parser() -> argparse.ArgumentParser:
    parser = CommandParser(
        prog="python -m analysis paper",
        description="Write a blank student's workbook for printing on A4: hazards, method, rough "
        "readings, results table, graph paper with 2 mm squares, questions, words.",
        epilog=IN_ONE_SENTENCE,
    )
    add_output(parser, "folder to write", "workbook")
    parser.add_argument(
        "--temperatures",
        type=whole_number(*TEMPERATURES),
        default=5,
        metavar="N",
        help="how many temperatures to leave room for (5)",
    )
    parser.add_argument(
        "--repeats",
        type=whole_number(*REPEATS),
        default=5,
        metavar="N",
        help="how many drops at each temperature (5)",
    )
    parser.add_argument(
        "--name-line", action="store_true", help="ask for the name at the top of every page"
    )
    return parser


COMMANDS = {"mark": _mark_parser, "paper": _paper_parser}
"""First words that are no file, each with the parser of its options. A file of such a name is
still analysed as `./paper`."""

if __name__ == "__main__":
    sys.exit(main())
