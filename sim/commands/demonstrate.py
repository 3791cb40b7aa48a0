"""The reheating demonstration on a projector: two procedures drop by drop, true values shown."""

from __future__ import annotations

import argparse

from sim.bench.model.show import Show
from sim.bench.screen.demonstration.showing import show_in
from sim.bench.screen.window import window
from sim.commands.options import procedure_of, setup_of
from sim.teaching.demonstration import demonstration


def run(options: argparse.Namespace) -> int:
    """Carry out both procedures and show them until the window is left."""
    shown = demonstration(setup_of(options), procedure_of(options, reheat=False))
    with window() as surface:
        show_in(surface, Show(shown))
    return 0
