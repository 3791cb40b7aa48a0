"""The course of the drops of a readings file: how long the ball was where before each of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from analysis.readings.drops import DEFAULT_DROP_HEIGHT_M
from analysis.refusal import Refused
from physics.number import FloatArray
from sim.calibration.taking import Taking

if TYPE_CHECKING:
    import pandas as pd
    from numpy.typing import NDArray

    from analysis.readings.readings import Readings

    Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class Course:
    """The drops in the order they were made; arrays of shape (drops,).

    Attributes:
        water_k: the temperature written down for the drop.
        drop_height_m: where the ball's lowest point was held.
        begins: whether a new student begins here, with a ball as warm as the room.
        soaked: whether the ball came out of the water for this drop.
        air_s: time in air before the release: since the drying, or since the release before.
        idle_s: for a soaked ball, the time in air since the release before.
        soak: number of the soak that each drop lives on.
        row: number of the set (one temperature, student and procedure).
        rows: which rows of the readings' frame these are, in order.

    """

    water_k: FloatArray
    drop_height_m: FloatArray
    begins: Flags
    soaked: Flags
    air_s: FloatArray
    idle_s: FloatArray
    soak: NDArray[np.int64]
    row: NDArray[np.int64]
    rows: NDArray[np.int64]
    timed: bool
    """Whether the times come from the file."""

    @property
    def cooling(self) -> Flags:
        """Drops before which the ball was left to cool since the drop before."""
        return ~self.soaked


def course_of(readings: Readings, taking: Taking) -> Course:
    """Lay the drops of a file out in time.

    The first drop of a set comes out of the water; the later ones too where the ball was
    reheated. Raises Refused where the elapsed times run backwards within a set.
    """
    frame, rows = _in_time(readings.frame)
    begins = _changed(frame, ["student"])
    first = _changed(frame, ["student", "reheated", "temperature_k"])
    reheated = frame["reheated"].to_numpy() if "reheated" in frame else taking.reheated
    soaked = first | reheated
    since_s = _since_s(frame, readings.source, first)
    air_s, idle_s = _times_s(frame, taking, soaked, since_s)
    drop_m = frame["drop_height_m"].to_numpy() if "drop_height_m" in frame else None
    return Course(
        water_k=frame["temperature_k"].to_numpy(dtype=float),
        drop_height_m=np.full(len(frame), DEFAULT_DROP_HEIGHT_M) if drop_m is None else drop_m,
        begins=begins,
        soaked=soaked,
        air_s=air_s,
        idle_s=idle_s,
        soak=np.cumsum(soaked) - 1,
        row=np.cumsum(first) - 1,
        rows=rows,
        timed=since_s is not None,
    )


def _in_time(frame: pd.DataFrame) -> tuple[pd.DataFrame, NDArray[np.int64]]:
    """The frame in order of time, student by student, and where its rows stood."""
    rows = np.arange(len(frame))
    if "elapsed_time_s" not in frame or frame["elapsed_time_s"].isna().any():
        return frame.drop(columns="elapsed_time_s", errors="ignore"), rows
    keys = [frame["elapsed_time_s"].to_numpy()]
    apart = [name for name in ("reheated", "student") if name in frame]
    keys += [frame.groupby(name, sort=False).ngroup().to_numpy() for name in apart]
    rows = np.lexsort(keys)
    return frame.iloc[rows], rows


def _changed(frame: pd.DataFrame, names: list[str]) -> Flags:
    """Where any of the columns differs from the row before; the first row does."""
    changed = np.zeros(len(frame), dtype=bool)
    changed[0] = True
    for name in names:
        if name in frame:
            values = frame[name].to_numpy()
            changed[1:] |= values[1:] != values[:-1]
    return changed


def _since_s(frame: pd.DataFrame, source: str, first: Flags) -> FloatArray | None:
    """Time since the release before, from the elapsed times; None without them."""
    if "elapsed_time_s" not in frame:
        return None
    since_s = np.diff(frame["elapsed_time_s"].to_numpy(dtype=float), prepend=0.0)
    if (since_s[~first] <= 0.0).any():
        raise Refused(
            f"{source} has two drops of one set at the same elapsed time: write the time of "
            "each release, or delete that column."
        )
    return since_s


def _times_s(
    frame: pd.DataFrame, taking: Taking, soaked: Flags, since_s: FloatArray | None
) -> tuple[FloatArray, FloatArray]:
    """Time in air before each release, and before each soak."""
    if since_s is None:
        # A repeat that is missing was dropped, too: only its reading was lost.
        missed = np.diff(frame["repeat"].to_numpy(dtype=float), prepend=0.0)
        since_s = taking.between_s * np.maximum(missed, 1.0)
        away_s = np.full(len(frame), taking.between_s)
    else:
        away_s = since_s - taking.soak_s - taking.drying_s - taking.handling_s
    idle_s = np.where(soaked, np.maximum(away_s, 0.0), 0.0)
    return np.where(soaked, taking.handling_s, since_s), idle_s
