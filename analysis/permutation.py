"""Dealing distances out to two procedures in every way there is: a test and an interval.

No random numbers are needed.

`a` and `b` list the distances of procedures A and B set by set (see ratio.py). Under equal spreads
every way of dealing a set's distances out to the two is as likely as the one found. The question is
how lopsided B's total is among all of them.
"""

import numpy as np
from scipy.special import ndtr, ndtri

from analysis.gaps import FloatArray, ratio
from analysis.significance import LEVEL

_UNITS = 500
"""The largest distance in whole units: fine enough to order totals, coarse enough to count them."""

_STEPS = np.exp(np.linspace(-4.0, 4.0, 641))
"""Ratios tried about the estimate: a fiftieth to fifty times it, an eightieth apart."""

_MOST_IN_SET = 40
_MOST_SETS = 40
"""Beyond these the share is taken from the normal distribution with the exact mean and variance."""


def permutation_p(a: list[FloatArray], b: list[FloatArray]) -> float:
    """Share of all dealings, within each set, as lopsided as B's total of the distances; two-sided.

    NaN when no set has distances of both, or all are zero. Worked out in full up to 40 sets of 40
    distances, beyond from the normal distribution with the exact mean and variance.
    """
    both = _in_both(a, b)
    largest = max((float(max(x.max(), y.max())) for x, y in both), default=0.0)
    if largest == 0.0:
        return np.nan
    found = sum(float(y.sum()) for _, y in both)
    expected = sum(y.size * float(np.append(x, y).mean()) for x, y in both)
    if len(both) > _MOST_SETS or any(x.size + y.size > _MOST_IN_SET for x, y in both):
        variance = sum(_dealt_variance(np.append(x, y), y.size) for x, y in both)
        return float(2.0 * ndtr(-abs(found - expected) / np.sqrt(variance)))
    units = [
        (np.rint(x / largest * _UNITS).astype(int), np.rint(y / largest * _UNITS).astype(int))
        for x, y in both
    ]
    return _counted_p(units)


def permutation_interval(a: list[FloatArray], b: list[FloatArray]) -> tuple[float, float] | None:
    """95 % interval for the ratio of B's spread to A's; None where either has no spread at all.

    The ratios by which B's distances can be divided without the total becoming lopsided, judged by
    the normal distribution with the exact mean and variance of the dealt totals. Tried in steps of
    1.25 % and widened by one step; an end beyond fifty times the estimate is 0 or infinite.
    """
    both = _in_both(a, b)
    # Sizes, sums and sums of squares, a column each with a row a set: all that variances need.
    size_a, sum_a, squares_a = _sums([x for x, _ in both])
    size_b, sum_b, squares_b = _sums([y for _, y in both])
    if sum_a.sum() == 0.0 or sum_b.sum() == 0.0:
        return None
    estimate = (sum_b.sum() / size_b.sum()) / (sum_a.sum() / size_a.sum())
    tried = estimate * _STEPS
    size, total = size_a + size_b, sum_a + sum_b / tried
    squares = squares_a + squares_b / tried**2 - total**2 / size
    excess = np.sum(sum_b / tried - size_b * total / size, axis=0)
    variance = np.sum(size_a * size_b / size * squares / (size - 1.0), axis=0)
    lopsided = ratio(np.abs(excess), np.sqrt(np.maximum(variance, 0.0)))
    allowed = np.flatnonzero(~(lopsided > -ndtri(LEVEL / 2.0)))
    first, last = int(allowed[0]), int(allowed[-1])
    low = 0.0 if first == 0 else float(tried[first - 1])
    return low, np.inf if last == tried.size - 1 else float(tried[last + 1])


def _in_both(a: list[FloatArray], b: list[FloatArray]) -> list[tuple[FloatArray, FloatArray]]:
    return [(x, y) for x, y in zip(a, b, strict=True) if x.size and y.size]


def _counted_p(units: list[tuple[np.ndarray, np.ndarray]]) -> float:
    """Count the exact share, for distances in whole units."""
    sets = [(np.append(x, y), y.size) for x, y in units]
    size = 1 + sum(int(everything.sum()) for everything, _ in sets)
    # The chances of a sum of independent totals: a product of Fourier transforms, quick at a
    # length that is a power of two.
    length = 1 << (size - 1).bit_length()
    waves = [np.fft.rfft(_dealt_totals(everything, taken), length) for everything, taken in sets]
    chances = np.fft.irfft(np.prod(waves, axis=0), length)[:size]
    expected = sum(taken * float(everything.mean()) for everything, taken in sets)
    found = sum(int(y.sum()) for _, y in units)
    lopsided = np.abs(np.arange(chances.size) - expected) >= abs(found - expected) - 1e-9
    return float(np.clip(chances[lopsided].sum(), 0.0, 1.0))


def _dealt_totals(everything: np.ndarray, taken: int) -> FloatArray:
    """Chance of each total when `taken` of the whole numbers are dealt out at random."""
    ways = np.zeros((taken + 1, int(everything.sum()) + 1))
    ways[0, 0] = 1.0
    for value in everything:
        fewer = ways[:-1, : ways.shape[1] - value].copy()
        ways[1:, value:] += fewer
    chances: FloatArray = ways[taken] / ways[taken].sum()
    return chances


def _dealt_variance(everything: FloatArray, taken: int) -> float:
    """Variance of the total of `taken` of the numbers, drawn without putting back."""
    size = everything.size
    return taken * (size - taken) / size * float(np.var(everything, ddof=1))


def _sums(sets: list[FloatArray]) -> tuple[FloatArray, FloatArray, FloatArray]:
    columns = [(float(each.size), float(each.sum()), float((each**2).sum())) for each in sets]
    size, total, squares = np.array(columns).reshape(-1, 3).T[..., None]
    return size, total, squares
