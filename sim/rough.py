"""The rough page as a table of readings, the form that `analysis` takes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.state import State

if TYPE_CHECKING:
    import pandas as pd


def rough_frame(state: State, *, with_truth: bool = False) -> pd.DataFrame:
    """The readings that still stand on the rough page, one row a drop, SI units.

    Columns as `analysis.readings` names them; struck-out readings are left out. A set of
    drops at one temperature counts as reheated when the ball was in the water before each
    of them. The ball's true temperature is added only on request: students are not shown it.
    """
    import pandas as pd  # heavy, and not needed before the first readings are written

    lines = [line for line in state.rough if line.struck_out is None]
    temperature_k = pd.Series([line.temperature_k for line in lines], dtype=float)
    frame = pd.DataFrame(
        {
            "temperature_k": temperature_k,
            "repeat": temperature_k.groupby(temperature_k).cumcount() + 1,
            "rebound_height_m": [line.height_m for line in lines],
            "drop_height_m": [line.drop.mark_m for line in lines],
            "reheated": pd.Series([line.drop.reheated for line in lines], dtype=bool)
            .groupby(temperature_k)
            .transform("all"),
            "elapsed_time_s": [line.drop.time_s for line in lines],
        }
    )
    if with_truth:
        frame["true_temperature_k"] = [line.drop.ball_k for line in lines]
    return frame


def rough_places(state: State) -> int:
    """The decimal places, in centimetres, that the readings were written to."""
    standing = [line.decimal_places for line in state.rough if line.struck_out is None]
    return max(standing, default=0)
