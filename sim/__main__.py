"""The command line of the virtual practical."""

from __future__ import annotations

import sys

from analysis.stopping import ending_at_once

with ending_at_once():
    import argparse
    import os
    from collections.abc import Sequence
    from importlib import import_module
    from pathlib import Path

    from analysis.command_line import CommandParser, add_text_percent, run_command
    from analysis.paper.cautions import IN_ONE_SENTENCE
    from physics import USUAL_SPEED

COMMANDS = {
    "perform": "a scripted student carries out the practical: readings, graph and report",
    "contrast": "the ball left to cool between drops and the ball put back: table and figure",
    "demonstrate": "for teachers: both procedures in a window, drop by drop, true values shown",
    "readings": "write the readings file of a practical record",
    "mark": "mark the exercise book of a practical record",
    "classset": "a practical of their own for every student of a class, and the teacher's key",
    "collect": "check, mark and sum up what a class handed in",
    "judge": "for teachers: judge in a window what collect left, one key for each answer",
    "fit": "fit the model to real readings: our own ball, for --ball",
    "page": "the practical as one HTML file that any browser opens, without a network",
    "portable": "the program as a folder for Windows that needs no installation",
}
"""Each has a parser in `sim.commands.options` and its `run` in a module of its name, or in that of
`SHARED`. Both are imported when the command is asked for: the bench must not wait for what it does
not need. So its own options stand here, and what reads a ball or a seed is loaded where one is
named."""
OPTIONS = "sim.commands.options"
SHARED = {"contrast": "perform", "readings": "from_record", "mark": "from_record"}
"""The module of the commands that share one."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command named first, or open the bench, and give the exit code."""
    os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")  # a command prints its own words only
    words = sys.argv[1:] if arguments is None else list(arguments)
    if words and words[0] in COMMANDS:
        module = SHARED.get(words[0], words[0])
        return run_command(f"sim.commands.{module}", lambda: _of_command(*words))
    return run_command("sim.commands.bench", lambda: bench_options(words))


def _of_command(name: str, *words: str) -> argparse.Namespace:
    """The options of one command."""
    parser: argparse.ArgumentParser = import_module(OPTIONS).parser_of(name)
    return parser.parse_args(words)


def bench_options(words: Sequence[str]) -> argparse.Namespace:
    """The options of the bench; its help names the commands, and so does a wrong word."""
    parser = CommandParser(
        prog="python -m sim",
        description="A virtual practical: the temperature of a squash ball and its rebound height.",
        epilog=IN_ONE_SENTENCE,
    )
    _add_bench(parser)
    commands = parser.add_subparsers(
        dest="command",
        title="commands",
        metavar="COMMAND",
        description="Without a command the bench opens.",
    )
    for name, what in COMMANDS.items():
        commands.add_parser(name, help=what)
    options = parser.parse_args(words)
    if options.command is not None:
        parser.error(f"a command comes first: python -m sim {options.command} …")
    return options


def _add_bench(parser: argparse.ArgumentParser) -> None:
    where = parser.add_mutually_exclusive_group()
    where.add_argument(
        "--record", type=Path, metavar="FILE", help="go on with this practical record"
    )
    where.add_argument("--new", action="store_true", help="begin anew, without being asked")
    parser.add_argument(
        "--folder", type=Path, metavar="DIR", help="where practical records are kept"
    )
    parser.add_argument(
        "--ball",
        type=lambda text: import_module(OPTIONS).ball_choice(text),
        metavar="BALL",
        help=f"playing speed of the ball or a ball file ({USUAL_SPEED})",
    )
    parser.add_argument(
        "--seed",
        type=lambda text: import_module(OPTIONS).seed(text),
        help="number that the random errors grow from",
    )
    add_text_percent(parser)
    parser.add_argument(
        "--speak",
        action="store_true",
        help="say hints, cautions and the state of the bench (F2) aloud, by the system's speech",
    )


if __name__ == "__main__":
    sys.exit(main())
