"""A scripted student carries out the practical, with no window: readings, graph and report.

The rough page goes through a readings file to the analysis, as real data does.
"""

from __future__ import annotations

import argparse
import tempfile
from dataclasses import replace
from pathlib import Path

from analysis.command_line import say, say_written
from analysis.commands.analyse import report_files
from analysis.files import written
from analysis.readings.readings import Readings, read_readings, results_table
from analysis.report.summary import Weighed, summarise
from analysis.report.tables import summary_lines
from sim.commands.options import observer_text, procedure_of, setup_of
from sim.record.readings_file import readings_content
from sim.state import CLUB, Setup, State
from sim.student import perform

TIDY, WIDE = "readings.csv", "readings.xlsx"


def reading_files(state: State) -> dict[str, bytes]:
    """One row a drop as csv, and a school's results table as xlsx, by file name."""
    tidy = readings_content(state, Path(TIDY))
    readings = read_back(tidy, TIDY)
    table = readings.frame.drop(columns=["elapsed_time_s", "reheated"])
    return {TIDY: tidy, WIDE: results_table(replace(readings, frame=table), Path(WIDE))}


def read_back(content: bytes, source: str) -> Readings:
    """The readings of a csv file's content, read as a file from anywhere is read."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / TIDY
        path.write_bytes(content)
        return replace(read_readings(path), source=source)


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
