"""The command line of the virtual practical.

Exit code 0: all fine; 1: something was refused, with one sentence; 2: wrong usage.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from sim.commands import bench, contrast, perform, readings
from sim.refusal import NotPossible

COMMANDS = (perform, contrast, readings)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and give its exit code."""
    options = _parser().parse_args(arguments)
    try:
        return int(options.run(options))
    except NotPossible as refusal:
        print(refusal, file=sys.stderr)
        return 1
    except ValueError as refusal:
        # Imported here: most commands need no analysis to refuse their plan.
        from analysis.refusal import Refused

        if not isinstance(refusal, Refused):
            raise
        print(refusal, file=sys.stderr)
        return 1


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m sim",
        description="A virtual practical: the temperature of a squash ball and its rebound height.",
        epilog="Hot water scalds: where the real thing is done, the school's own risk assessment "
        "and local rules come first.",
    )
    bench.add_options(parser)
    parser.set_defaults(run=bench.run)
    commands = parser.add_subparsers(
        title="commands", metavar="COMMAND", description="Without a command the bench opens."
    )
    for command in COMMANDS:
        command.add_to(commands)
    return parser


if __name__ == "__main__":
    sys.exit(main())
