"""The reheating demonstration on a projector: two procedures drop by drop, true values shown."""

from __future__ import annotations

import argparse

from physics.reading import CAREFUL
from sim.bench.model.show import Show
from sim.bench.screen.demonstration.showing import show_in
from sim.bench.screen.window import window
from sim.commands.options import add_procedure_options, add_seed_option, ball_of, procedure_of
from sim.state import Setup
from sim.teaching.demonstration import LONG_SOAK_S, demonstration


def add_options(parser: argparse.ArgumentParser) -> None:
    """What the command takes on the command line."""
    parser.description = __doc__
    add_procedure_options(parser, CAREFUL.name, LONG_SOAK_S)
    add_seed_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Carry out both procedures and show them until the window is left."""
    setup = Setup(seed=options.seed, model=ball_of(options))
    shown = demonstration(setup, procedure_of(options, reheat=False))
    with window() as surface:
        show_in(surface, Show(shown))
    return 0
