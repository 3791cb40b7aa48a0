"""The order of drops in a frame of readings, and which of them share a row of a table."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import pandas as pd


def row_keys(frame: pd.DataFrame) -> list[str]:
    """Columns that tell the rows of a results table apart: student and temperature.

    So does reheated, if both procedures use the same repeat numbers.
    """
    keys = [name for name in ("student", "temperature_k") if name in frame]
    if "reheated" in frame and frame.duplicated([*keys, "repeat"]).any():
        keys.insert(0, "reheated")
    return keys


def in_order(frame: pd.DataFrame) -> pd.DataFrame:
    """Sort the drops by rows of a results table, as these first appear, repeats rising in each.

    The order in time, if known, is in elapsed_time_s.
    """
    rows = frame.groupby(row_keys(frame), sort=False).ngroup().to_numpy()
    order = np.lexsort((frame["repeat"].to_numpy(), rows))
    return frame.iloc[order].reset_index(drop=True)
