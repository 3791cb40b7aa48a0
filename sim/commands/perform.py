"""A scripted student carries out the practical, with no window: readings, graph and report."""

from __future__ import annotations

import argparse
from dataclasses import replace

from analysis.command_line import say, say_written
from analysis.commands.analyse import report_files
from analysis.files import written
from analysis.report.summary import Weighed, summarise
from analysis.report.tables import summary_lines
from sim.commands.options import observer_text, procedure_of, setup_of
from sim.commands.reading_files import TIDY, read_back, reading_files
from sim.procedure import CLUB
from sim.state import Setup
from sim.student import perform


def run(options: argparse.Namespace) -> int:
    """Perform, and analyse the readings file exactly as one from a school would be."""
    procedure = procedure_of(options, reheat=options.reheat)
    setup = setup_of(options)
    contents = reading_files(perform(setup, procedure).end)
    readings = read_back(contents[TIDY], f"{CLUB}, virtual")
    virtual = _virtual(setup, observer_text(options))
    readings = replace(readings, notices=(virtual, *readings.notices))
    summary = summarise(readings, Weighed(mass_kg=setup.ball.mass_kg, assumed=False))
    contents |= report_files(summary)
    files = written(options.out, contents, force=options.force)
    say(*summary_lines(summary))
    say_written(*files)
    return 0


def _virtual(setup: Setup, observer: str) -> str:
    """What the report says of where its readings come from."""
    return (
        "These readings are virtual: a model of the ball, the water, the hand and the eye gave "
        f"them ({setup.model.name} ball, a {observer}, seed {setup.seed})."
    )
