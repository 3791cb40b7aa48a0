"""The rough page on its way through a readings file to the analysis, as real data goes."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path

from analysis.readings.readings import Readings, read_readings
from analysis.readings.write import results_table
from sim.record.readings_file import readings_content
from sim.state import State

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
