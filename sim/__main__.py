"""The command line of the virtual practical.

Exit code 0: all fine; 1: something was refused, with one sentence; 2: wrong usage.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Iterable, Sequence
from importlib import import_module

from analysis.paper.cautions import IN_ONE_SENTENCE
from analysis.refusal import Refused
from sim.commands import bench

COMMANDS = (
    "perform",
    "contrast",
    "demonstrate",
    "readings",
    "mark",
    "classset",
    "collect",
    "fit",
)
"""Each is a module of `sim.commands` and imported only when it is asked for: the bench must
not wait for what it does not need."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code."""
    os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")  # a command prints its own words only
    given = sys.argv[1:] if arguments is None else list(arguments)
    options = _parser(_asked_for(given)).parse_args(given)
    try:
        return int(options.run(options))
    except Refused as refusal:
        print(refusal, file=sys.stderr)
        return 1


def _asked_for(given: Sequence[str]) -> tuple[str, ...]:
    """The commands that the parser has to know: the one that is named, none, or all for help."""
    if given and given[0] in COMMANDS:
        return (given[0],)
    bench_alone = not given or given[0].startswith("-")
    return () if bench_alone and not {"-h", "--help"} & set(given) else COMMANDS


def _parser(names: Iterable[str]) -> argparse.ArgumentParser:
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
    for name in names:
        import_module(f"sim.commands.{name}").add_to(commands)
    return parser


if __name__ == "__main__":
    sys.exit(main())
