"""A readings file written from a frame or from readings, for the tests of what comes back in."""

from pathlib import Path

import pandas as pd

from analysis.files import write_whole
from analysis.readings.readings import Readings
from analysis.readings.write import Layout, Style, file_content, places_needed


def write_readings(
    readings: Readings | pd.DataFrame,
    path: str | Path,
    layout: Layout = "wide",
    force: bool = False,
) -> None:
    """Write readings as csv, xlsx or ods, by the suffix; `read_readings` gives them back exactly.

    The file appears whole or not at all. Raises Refused if it exists and `force` is not given,
    for another suffix, and for more than 2,000 repeats in the wide layout.
    """
    if isinstance(readings, pd.DataFrame):
        places = places_needed(readings)
        readings = Readings(readings, source="", decimal_places=places)
    path = Path(path)
    style = Style(layout, readings.height_unit, readings.decimal_places)
    content = file_content(readings.frame, path, style)
    write_whole(path, content, force=force)
