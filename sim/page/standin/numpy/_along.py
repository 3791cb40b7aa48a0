"""What is said of the numbers along an axis, and the orders that they can be put in."""

import functools
import math

from ._array import along, asarray, greatest, least, ndarray, total
from ._elementwise import where as _where


def sum(values, axis=None, where=True):
    """The sum, of those where a condition holds."""
    values = asarray(values)
    return along(values if where is True else _where(where, values, 0), axis, total)


def nansum(values, axis):
    """The sum without what is not a number."""
    return along(values, axis, lambda row: total([one for one in row if not math.isnan(one)]))


def mean(values):
    """The sum over the count."""
    return asarray(values).mean()


def median(values, axis):
    """The middle one in order, or midway between the two middle ones."""
    return along(values, axis, _middle)


def _middle(row):
    row, half = sorted(row), len(row) // 2
    return row[half] if len(row) % 2 else (row[half - 1] + row[half]) / 2.0


def _end(function):
    @functools.wraps(function)
    def end(values, axis=None, initial=None, where=True):
        if where is not True:
            values = _where(where, values, initial)
        first = [] if initial is None else [initial]
        return along(values, axis, lambda row: function(row + first))

    return end


min, max = _end(least), _end(greatest)


def ptp(values):
    """From the least to the greatest."""
    return values.max() - values.min()


def argmax(values, axis):
    """Where the greatest is, the first of equals."""
    return along(values, axis, lambda row: row.index(greatest(row)))


def argmin(values, axis):
    """Where the least is, the first of equals."""
    return along(values, axis, lambda row: row.index(least(row)))


def argsort(values, axis=-1, kind="stable"):
    """The places of the numbers along the last axis in their order."""
    assert (axis, kind) == (-1, "stable")
    return _rowwise(values, lambda row: sorted(range(len(row)), key=row.__getitem__))


def sort(values):
    """The numbers along the last axis in order."""
    return _rowwise(values, sorted)


def take_along_axis(values, places, axis):
    """The numbers at these places of each row along the last axis."""
    assert axis == -1
    rows = _rows(values)
    cells = [row[one] for row, wanted in zip(rows, _rows(places), strict=True) for one in wanted]
    return ndarray(cells, places.shape)


def _rows(values):
    length = values.shape[-1]
    rows = math.prod(values.shape[:-1])
    return [values.cells[row * length : (row + 1) * length] for row in range(rows)]


def _rowwise(values, function):
    return ndarray([one for row in _rows(values) for one in function(row)], values.shape)


def flatnonzero(values):
    """The places where something is true."""
    places = [place for place, true in enumerate(values.cells) if true]
    return ndarray(places, (len(places),))


def unique(values, return_index=False, return_inverse=False):
    """The different numbers in order; where each stands first; which of them each number is."""
    values = asarray(values)
    different = sorted(set(values.cells))
    found = ndarray(different, (len(different),))
    if return_index:
        return found, ndarray([values.cells.index(one) for one in different], found.shape)
    if return_inverse:
        which = {number: place for place, number in enumerate(different)}
        return found, ndarray([which[number] for number in values.cells], values.shape)
    return found
