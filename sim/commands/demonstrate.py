"""The reheating demonstration on a projector: two procedures drop by drop, true values shown."""

from __future__ import annotations

import argparse

from analysis.readings.readings import grid, read_readings
from sim.bench.model.show import Show
from sim.bench.screen.demonstration.showing import show_in
from sim.bench.screen.window import toggle_full_screen, window
from sim.commands.options import procedure_of, setup_of
from sim.teaching.demonstration import demonstration, laid_over


def run(options: argparse.Namespace) -> int:
    """Carry out both procedures and show them until the window is left."""
    shown = demonstration(setup_of(options), procedure_of(options, reheat=False))
    if options.readings is not None:
        readings = read_readings(options.readings)
        shown = laid_over(shown, grid(readings), readings.source)
    with window() as surface:
        if options.full_screen:
            toggle_full_screen()
        show_in(surface, Show(shown))
    return 0
