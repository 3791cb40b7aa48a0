"""Arrays made, put together, laid out anew and looked up in."""

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


def zeros(shape):
    """An array of zeros."""
    return full(shape, 0.0)


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


def broadcast_arrays(first, second):
    """Two arrays spread out to one shape."""
    shape = common_shape(first.shape, second.shape)
    return tuple(broadcast_to(one, shape) for one in (first, second))


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


def repeat(values, count, axis):
    """Every slice along the first axis so many times."""
    return concatenate(
        [values[place : place + 1] for place in range(len(values)) for _ in range(count)], axis
    )


def tile(values, times):
    """A row so many times below itself."""
    rows, _ = times
    return concatenate([values.reshape(1, -1)] * rows)


def diff(values):
    """What each number of a row is more than the one before."""
    cells = [after - before for before, after in zip(values.cells, values.cells[1:], strict=False)]
    return ndarray(cells, (len(cells),))


def mean(values):
    """The sum over the count."""
    return values.mean()


def ptp(values):
    """From the least to the greatest."""
    return values.max() - values.min()


def unique(values, return_inverse=False):
    """The different numbers in order, and where among them each stands."""
    different = sorted(set(values.cells))
    found = ndarray(different, (len(different),))
    if not return_inverse:
        return found
    places = {number: place for place, number in enumerate(different)}
    return found, ndarray([places[number] for number in values.cells], values.shape)


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


def interp(at, across, up):
    """What a line through points says at one number; beyond its ends what it says there."""
    across, up = ravel(across).cells, ravel(up).cells
    before = bisect_right(across, at) - 1
    if before < 0:
        return up[0]
    if before >= len(across) - 1:
        return up[-1]
    slope = (up[before + 1] - up[before]) / (across[before + 1] - across[before])
    return slope * (at - across[before]) + up[before]
