"""Whether readings are repeatable: the stated rule, and the number it rests on.

Two neighbouring temperatures are told apart when their bars (mean ± uncertainty, which is the
half-range) do not overlap, that is when the two half-ranges together are smaller than the change of
the mean between them. The readings of a table are called repeatable when every pair of neighbours
is told apart, partly repeatable when some are, not repeatable when none is. The rule asks whether
the repeats agree well enough for the purpose; it is ours, no source.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from analysis.gaps import FloatArray, IntArray, ratio
from analysis.spread import Spread

Verdict = Literal["repeatable", "partly repeatable", "not repeatable", "cannot be told"]


@dataclass(frozen=True)
class Repeatability:
    """Neighbouring temperatures compared; arrays over the tables' leading axes.

    `worst_overlap` is the sum of two neighbours' half-ranges over the change of their means, at the
    pair where it is largest (infinite when the means are equal); 1 or more means that bars overlap.
    """

    pairs: IntArray  # neighbouring pairs that could be judged
    pairs_apart: IntArray  # of these, the pairs whose bars do not overlap
    worst_overlap: FloatArray
    worst_low_k: FloatArray  # the pair it comes from
    worst_high_k: FloatArray
    largest_percentage: FloatArray  # largest percentage uncertainty of the table
    monotone: FloatArray  # +1: told apart and rising at every step; -1: falling; 0: neither


def repeatability(temperatures_k: ArrayLike, spread: Spread) -> Repeatability:
    """Compare neighbours in order of temperature: temperatures (T,) or (..., T), sets (..., T)."""
    unsorted = np.broadcast_to(np.asarray(temperatures_k, dtype=np.float64), spread.mean_m.shape)
    order = np.argsort(unsorted, axis=-1, kind="stable")
    temperature, mean, half = (
        np.take_along_axis(each, order, axis=-1)
        for each in (unsorted, spread.mean_m, spread.uncertainty_m)
    )
    step = np.diff(mean, axis=-1)
    bars = half[..., 1:] + half[..., :-1]
    judged = ~(np.isnan(step) | np.isnan(bars))
    apart = judged & (bars < np.abs(step))
    overlap = np.where(judged & (step == 0.0), np.inf, ratio(bars, np.abs(step)))
    worst, place = _worst(overlap, judged)
    all_apart = apart.all(axis=-1) & judged.any(axis=-1)
    one_way = np.sign(np.sum(np.sign(np.nan_to_num(step)), axis=-1))
    same_way = (np.sign(step) == one_way[..., None]).all(axis=-1)
    return Repeatability(
        pairs=np.sum(judged, axis=-1),
        pairs_apart=np.sum(apart, axis=-1),
        worst_overlap=worst,
        worst_low_k=_at(temperature[..., :-1], place, worst),
        worst_high_k=_at(temperature[..., 1:], place, worst),
        largest_percentage=_largest(spread.percentage),
        monotone=np.where(all_apart & same_way, one_way, 0.0),
    )


def verdict(repeatability: Repeatability) -> Verdict:
    """Give the verdict for one table (scalar fields)."""
    if repeatability.pairs == 0:
        return "cannot be told"
    if repeatability.pairs_apart == repeatability.pairs:
        return "repeatable"
    return "partly repeatable" if repeatability.pairs_apart > 0 else "not repeatable"


def _largest(values: FloatArray) -> FloatArray:
    known = ~np.isnan(values)
    largest = np.max(values, axis=-1, initial=-np.inf, where=known)
    return np.where(known.any(axis=-1), largest, np.nan)


def _worst(overlap: FloatArray, judged: np.ndarray) -> tuple[FloatArray, IntArray]:
    """Largest overlap and its place; with one temperature there is no pair, so NaN."""
    if overlap.shape[-1] == 0:
        none = np.full(overlap.shape[:-1], np.nan)
        return none, np.zeros((*overlap.shape[:-1], 1), dtype=np.int64)
    place = np.argmax(np.where(judged, overlap, -np.inf), axis=-1)[..., None]
    return np.take_along_axis(overlap, place, axis=-1)[..., 0], place


def _at(temperature: FloatArray, place: IntArray, worst: FloatArray) -> FloatArray:
    if temperature.shape[-1] == 0:
        return worst
    return np.where(
        np.isnan(worst), np.nan, np.take_along_axis(temperature, place, axis=-1)[..., 0]
    )
