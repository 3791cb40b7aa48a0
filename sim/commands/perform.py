"""A scripted student carries out the practical, with no window: readings, graph and report."""

from __future__ import annotations

import argparse
from dataclasses import replace

from analysis.files import written
from analysis.report.analysing import report_files
from analysis.report.summary import summarise
from analysis.report.tables import summary_lines
from physics.reading import HURRIED
from sim.commands.options import (
    add_output_options,
    add_procedure_options,
    add_seed_option,
    ball_of,
    procedure_of,
)
from sim.commands.reading_files import TIDY, read_back, reading_files
from sim.procedure import CLUB
from sim.state import Setup
from sim.student import perform


def add_options(parser: argparse.ArgumentParser) -> None:
    """What the command takes on the command line."""
    parser.description = __doc__
    add_procedure_options(parser, HURRIED.name)
    add_seed_option(parser)
    parser.add_argument(
        "--reheat", action="store_true", help="put the ball back into the water before each drop"
    )
    add_output_options(parser, "practical")
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Perform, and analyse the readings file exactly as one from a school would be."""
    procedure = procedure_of(options, reheat=options.reheat)
    setup = Setup(seed=options.seed, model=ball_of(options))
    contents = reading_files(perform(setup, procedure).end)
    readings = read_back(contents[TIDY], f"{CLUB}, virtual")
    readings = replace(readings, notices=(_virtual(options), *readings.notices))
    summary = summarise(readings)
    contents |= report_files(summary)
    files = written(options.out, contents, force=options.force)
    for line in summary_lines(summary):
        print(line)
    print("Written: " + ", ".join(str(file) for file in files))
    return 0


def _virtual(options: argparse.Namespace) -> str:
    """What the report says of where its readings come from."""
    reader = (
        f"a camera of {options.camera} frames a second"
        if options.camera
        else f"a {options.reader} reader"
    )
    return (
        "These readings are virtual: a model of the ball, the water, the hand and the eye gave "
        f"them ({ball_of(options).name} ball, {reader}, seed {options.seed})."
    )
