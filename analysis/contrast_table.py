"""The contrast of two procedures as a table: one row a temperature."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from analysis.gaps import ratio
from analysis.quantity import celsius, centimetres, fixed, heading, plain

if TYPE_CHECKING:
    import pandas as pd

    from analysis.contrast import Contrast
    from analysis.gaps import FloatArray


def contrast_frame(contrast: Contrast, names: tuple[str, str], places: int) -> pd.DataFrame:
    """The table as text, headings "quantity / unit", blank where nothing can be said.

    `places` is how many decimal places the readings have, in cm; means and standard
    deviations get one more.
    """
    import pandas as pd

    columns = {
        heading("temperature", "°C"): [plain(float(t)) for t in celsius(contrast.temperatures_k)]
    }
    for name, spread in zip(names, (contrast.spread_a, contrast.spread_b), strict=True):
        for quantity, values_m, extra in (
            ("mean rebound height", spread.mean_m, 1),
            ("half-range", spread.half_range_m, 1),
            ("standard deviation", spread.standard_deviation_m, 2),
        ):
            column = heading(f"{quantity}, {name}", "cm")
            columns[column] = _texts(centimetres(values_m), places + extra)
    deviations = ratio(
        contrast.spread_b.standard_deviation_m, contrast.spread_a.standard_deviation_m
    )
    columns[f"standard deviation, {names[1]} over {names[0]}"] = _texts(deviations, 2)
    return pd.DataFrame(columns)


def _texts(values: FloatArray, places: int) -> list[str]:
    return [fixed(float(value), places) if np.isfinite(value) else "" for value in values]
