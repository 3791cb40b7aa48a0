"""The command line of the virtual practical.

Exit code 0: all fine; 1: something was refused, with one sentence; 2: wrong usage.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from analysis.paper.cautions import IN_ONE_SENTENCE
from analysis.refusal import Refused
from sim.commands import bench

COMMANDS = {
    "perform": "a scripted student carries out the practical: readings, graph and report",
    "contrast": "the ball left to cool between drops and the ball put back: table and figure",
    "demonstrate": "for teachers: both procedures in a window, drop by drop, true values shown",
    "readings": "write the readings file of a practical record",
    "mark": "mark the exercise book of a practical record",
    "classset": "a practical of their own for every student of a class, and the teacher's key",
    "collect": "check, mark and sum up what a class handed in",
    "fit": "fit the model to real readings: our own ball, for --ball",
}
"""Each is a module of `sim.commands`, with its line in the help. It is imported only where it is
named: the bench and the help must not wait for what they do not need."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code."""
    os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")  # a command prints its own words only
    given = sys.argv[1:] if arguments is None else list(arguments)
    options = _parser(given).parse_args(given)
    try:
        return int(options.run(options))
    except Refused as refusal:
        print(refusal, file=sys.stderr)
        return 1


def _parser(given: Sequence[str]) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m sim",
        description="A virtual practical: the temperature of a squash ball and its rebound height.",
        epilog=IN_ONE_SENTENCE,
    )
    bench.add_options(parser)
    parser.set_defaults(run=bench.run)
    commands = parser.add_subparsers(
        title="commands", metavar="COMMAND", description="Without a command the bench opens."
    )
    for name, in_the_help in COMMANDS.items():
        command = commands.add_parser(name, help=in_the_help)
        if name in given:
            import_module(f"sim.commands.{name}").add_options(command)
    return parser


if __name__ == "__main__":
    sys.exit(main())
