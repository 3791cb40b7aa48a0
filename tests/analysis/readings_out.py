"""A readings file written from a frame or from readings, for the tests of what comes back in."""

from pathlib import Path

import pandas as pd

from analysis.files import write_whole
from analysis.quantity.units import from_si
from analysis.quantity.written import decimals_needed
from analysis.readings.columns import quantity_column
from analysis.readings.drops import FRAME, in_order
from analysis.readings.readings import Readings, results_table
from analysis.readings.spreadsheets import readings_bytes


def write_readings(
    readings: Readings | pd.DataFrame, path: str | Path, layout: str = "wide", force: bool = False
) -> None:
    """Write readings as csv, xlsx or ods, by the suffix; `read_readings` gives them back exactly.

    The file appears whole or not at all. Raises Refused if it exists and `force` is not given,
    for another suffix, and for more than 2,000 repeats in the wide layout.
    """
    if isinstance(readings, pd.DataFrame):
        heights_cm = from_si(readings["rebound_height_m"].dropna().unique(), "cm")
        places = max((decimals_needed(float(height)) for height in heights_cm), default=0)
        readings = Readings(readings, source="", decimal_places=places)
    path = Path(path)
    content = _tidy(readings, path) if layout == "tidy" else results_table(readings, path)
    write_whole(path, content, force=force)


def _tidy(readings: Readings, path: Path) -> bytes:
    frame = in_order(readings.frame.dropna(subset=["rebound_height_m"]))
    look = (readings.decimal_places, readings.height_unit)
    columns = [
        quantity_column(quantity, frame[name].to_numpy(), *look)
        for name, quantity in FRAME.items()
        if name in frame
    ]
    return readings_bytes(path, columns, 10.0**-readings.decimal_places)
