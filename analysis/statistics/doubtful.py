"""Readings that look wrong, so that somebody asks before they are believed: flagged, never removed.

Three kinds, each reading in one of them at most. A rebound of nought: nobody reads one, but a
missed reading is often written so. A reading that fits only ten, a hundred or a thousand times as
large: in metres under a heading of centimetres, or with a point that slipped. And what Grubbs' test
flags (`spread.py`). How near fits is ours, no source: of the other readings of its set the median
within a factor of 1.6; or, a hundred times as large or more, that of the whole table within 3,
which finds a whole row in another unit, and takes no cold ball's low bounce for one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from analysis.quantity.units import BoolArray, FloatArray, ratio
from analysis.statistics.line import fit_line
from analysis.statistics.spread import Anomalies

FACTORS = (1000.0, 100.0, 10.0)
MOST_SLIPS = 200
"""Where more readings are so small there is no telling which are the slips."""
_NEAR_OWN_SET, _NEAR_TABLE, _LEAST_OF_TABLE = 1.6, 3.0, 100.0


@dataclass(frozen=True)
class Slips:
    """Which readings are slips of the pen, arrays of the heights' shape (T, R)."""

    nought: BoolArray
    factor: FloatArray  # by which a reading would fit; NaN where it need not

    @property
    def flagged(self) -> BoolArray:
        """All of them."""
        return self.nought | np.isfinite(self.factor)


@dataclass(frozen=True)
class Doubtful:
    """Which readings look wrong, and the line without them."""

    slips: Slips
    anomalous: BoolArray  # (T, R), none of them a slip
    gradient_without_m_per_k: float  # of the straight line through the means; NaN without a line

    @property
    def flagged(self) -> BoolArray:
        """All of them."""
        return self.slips.flagged | self.anomalous


def find_slips(heights_m: FloatArray) -> Slips:
    """Look through heights (T, R); NaN is a missing reading."""
    return Slips(heights_m == 0.0, _factors(heights_m))


def doubtful(
    temperatures_k: FloatArray, heights_m: FloatArray, slips: Slips, anomalies: Anomalies
) -> Doubtful:
    """Put together what looks wrong among heights (T, R) at temperatures (T,)."""
    anomalous = anomalies.flagged & ~slips.flagged
    standing = np.where(slips.flagged | anomalous, np.nan, heights_m)
    n = np.sum(~np.isnan(standing), axis=1)
    line = fit_line(temperatures_k, ratio(np.nansum(standing, axis=1), n))
    return Doubtful(slips, anomalous, float(line.gradient))


def _factors(heights_m: FloatArray) -> FloatArray:
    """The factor by which each reading would fit the others; NaN where it needs none."""
    found = np.full(heights_m.shape, np.nan)
    known = heights_m[heights_m > 0.0]
    if not known.size:
        return found
    largest = np.max(heights_m, axis=1, initial=0.0, where=~np.isnan(heights_m))
    small = (heights_m < largest[:, None] / 5.0) | (heights_m < np.median(known) / 30.0)
    places = np.argwhere(small & (heights_m > 0.0))
    if len(places) <= MOST_SLIPS:
        for row, repeat in places:
            found[row, repeat] = _factor(heights_m, int(row), int(repeat))
    return found


def _factor(heights_m: FloatArray, row: int, repeat: int) -> float:
    height_m = heights_m[row, repeat]
    own = np.delete(heights_m[row], repeat)
    table = np.append(np.delete(heights_m, row, axis=0).ravel(), own)
    for factor in FACTORS:
        if _near(factor * height_m, own, _NEAR_OWN_SET):
            return factor
        if factor >= _LEAST_OF_TABLE and _near(factor * height_m, table, _NEAR_TABLE):
            return factor
    return float("nan")


def _near(height_m: float, others_m: FloatArray, within: float) -> bool:
    known = others_m[others_m > 0.0]
    return bool(known.size) and 1.0 / within <= height_m / float(np.median(known)) <= within
