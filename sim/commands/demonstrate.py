"""The reheating demonstration on a projector: two procedures drop by drop, true values shown."""

from __future__ import annotations

import argparse

from physics.reading import CAREFUL
from sim.commands.contrast import SOAK_S
from sim.commands.options import add_procedure_options, ball_of, procedure_of
from sim.state import Setup


def add_to(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Make the command known to the parser."""
    parser = commands.add_parser(
        "demonstrate",
        help="for teachers: both procedures in a window, drop by drop, true values shown",
        description=__doc__,
    )
    add_procedure_options(parser, CAREFUL.name, SOAK_S)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Carry out both procedures and show them until the window is left."""
    from sim.bench.model.show import Show
    from sim.bench.screen.demonstration.showing import show_in
    from sim.bench.screen.window import window
    from sim.teaching.demonstration import demonstration

    setup = Setup(seed=options.seed, model=ball_of(options))
    shown = demonstration(setup, procedure_of(options, reheat=False))
    with window() as surface:
        show_in(surface, Show(shown))
    return 0
