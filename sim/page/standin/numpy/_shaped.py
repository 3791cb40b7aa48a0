"""Arrays made, put together, laid out anew and looked up in."""

import functools
import math
from bisect import bisect_left, bisect_right

from ._array import asarray, common_shape, ndarray, ravel, spread_out, transposed
from ._elementwise import abs as _distance


def _lengths(shape):
    return shape if isinstance(shape, tuple) else (shape,)


def full(shape, value):
    """An array that holds one value everywhere."""
    lengths = _lengths(shape)
    return ndarray([value] * math.prod(lengths), lengths)


def zeros(shape, dtype=float):
    """An array of zeros."""
    return full(shape, dtype(0))


empty = zeros


def ones(shape, dtype=float):
    """An array of ones."""
    return full(shape, dtype(1))


def arange(count):
    """The whole numbers from 0, so many."""
    return ndarray(list(range(count)), (count,))


def zeros_like(values):
    """Zeros in the shape of other values."""
    return full(asarray(values).shape, 0.0)


def eye(size):
    """Ones on the diagonal, zeros beside it."""
    return diag(full(size, 1.0))


def diag(row):
    """A square with a row of numbers on its diagonal."""
    size = len(row.cells)
    square = zeros((size, size))
    square.cells[:: size + 1] = row.cells
    return square


def linspace(start, stop, num, endpoint=True):
    """Numbers at equal steps, the end among them or not."""
    step = (stop - start) / (num - endpoint)
    cells = [place * step + start for place in range(num)]
    if endpoint:
        cells[-1] = float(stop)
    return ndarray(cells, (num,))


def outer(first, second):
    """The products of every number with every other, (n, m)."""
    cells = [one * other for one in first.cells for other in second.cells]
    return ndarray(cells, (len(first.cells), len(second.cells)))


def atleast_1d(values):
    """Values in at least one row."""
    values = asarray(values)
    return values if values.shape else values.ravel()


def broadcast_to(values, shape):
    """Values spread out to a shape."""
    return ndarray(list(spread_out(asarray(values), shape)), shape)


def broadcast_arrays(*arrays):
    """Arrays spread out to one shape."""
    shape = functools.reduce(common_shape, (one.shape for one in arrays))
    return tuple(broadcast_to(one, shape) for one in arrays)


def swapaxes(values, one, other):
    """The array with two of its axes swapped."""
    order = list(range(values.ndim))
    order[one], order[other] = order[other], order[one]
    return transposed(values, tuple(order))


def concatenate(parts, axis=0):
    """Arrays one after another along an axis."""
    parts = [asarray(one) for one in parts]
    shape = list(parts[0].shape)
    axis %= len(shape)
    inner = math.prod(shape[axis + 1 :])
    shape[axis] = sum(one.shape[axis] for one in parts)
    cells = []
    for row in range(math.prod(shape[:axis])):
        for one in parts:
            length = one.shape[axis] * inner
            cells += one.cells[row * length : (row + 1) * length]
    return ndarray(cells, tuple(shape))


def vstack(parts):
    """Rows one below another."""
    return concatenate(parts)


def stack(parts):
    """Arrays of one shape as the rows of a new axis in front."""
    return asarray(list(parts))


def column_stack(rows):
    """Rows side by side as columns."""
    return stack(rows).T


def repeat(values, count, axis):
    """Every slice along the first axis so many times."""
    return concatenate(
        [values[place : place + 1] for place in range(len(values)) for _ in range(count)], axis
    )


def tile(values, times):
    """A row so many times below itself."""
    rows, _ = times
    return concatenate([values.reshape(1, -1)] * rows)


def diff(values, axis=-1):
    """What each number is more than the one before it along an axis."""
    values = asarray(values)
    before = (slice(None),) * (axis % values.ndim)
    return values[(*before, slice(1, None))] - values[(*before, slice(None, -1))]


def allclose(first, second, rtol, atol):
    """Whether all are so near to one another."""
    near = _distance(first - second).cells
    return all(gap <= atol + rtol * abs(one) for gap, one in zip(near, second.cells, strict=True))


def searchsorted(row, values, side):
    """Before which number of a row in order each value belongs: the first that is as large."""
    assert side == "left"
    values = asarray(values)
    return ndarray([bisect_left(row, one) for one in values.cells], values.shape)


def take(row, places, mode):
    """The numbers at some places of a row; beyond its ends the last one."""
    assert mode == "clip"
    row, places = ravel(row).cells, asarray(places)
    last = len(row) - 1
    return ndarray([row[min(max(place, 0), last)] for place in places.cells], places.shape)


def interp(at, across, up, left=None, right=None):
    """What a line through points says; beyond its ends what it says there, or what is given."""
    across, up = ravel(across).cells, ravel(up).cells
    left, right = up[0] if left is None else left, up[-1] if right is None else right

    def said(one):
        before = bisect_right(across, one) - 1
        if before < 0:
            return left
        if before == len(across) - 1:
            return up[-1] if one == across[-1] else right
        slope = (up[before + 1] - up[before]) / (across[before + 1] - across[before])
        return slope * (one - across[before]) + up[before]

    if isinstance(at, float):
        return said(at)
    return ndarray([said(one) for one in at.cells], at.shape)
