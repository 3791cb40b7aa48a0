"""The array: numbers in one list, the last index running fastest, and the shape they stand in."""

import functools
import math
import operator
from itertools import accumulate

ELLIPSIS, ALL = Ellipsis, slice(None)
ROWS = (list, tuple, range)
SHAPES = 1024
"""So many shapes, and places in them, are remembered: the same few come again at every act."""


class ndarray:
    """Numbers in rows. An array with the shape () holds one number."""

    __slots__ = ("cells", "shape")
    __hash__ = None

    def __init__(self, cells, shape):
        """Take over a list of as many numbers as the shape holds."""
        self.cells, self.shape = cells, shape

    @property
    def ndim(self):
        """How many axes there are."""
        return len(self.shape)

    @property
    def size(self):
        """How many numbers there are."""
        return len(self.cells)

    @property
    def T(self):
        """The array with its axes the other way round."""
        return transposed(self, tuple(reversed(range(len(self.shape)))))

    def __len__(self):
        return self.shape[0]

    def __iter__(self):
        return (self[place] for place in range(self.shape[0]))

    def __float__(self):
        return float(self.item())

    def __bool__(self):
        return bool(self.item())

    def __format__(self, form):
        return format(self.item(), form)

    def item(self):
        """The one number that is here."""
        (number,) = self.cells
        return number

    def tolist(self):
        """Lists of lists of plain numbers, or one plain number."""
        if not self.shape:
            return self.item()
        return [one.tolist() if isinstance(one, ndarray) else one for one in self]

    def astype(self, kind):
        """The numbers as those of another kind."""
        return ndarray([kind(one) for one in self.cells], self.shape)

    def copy(self):
        """An array of its own with the same numbers."""
        return ndarray(self.cells[:], self.shape)

    def ravel(self):
        """All numbers in one row."""
        return ndarray(self.cells, (len(self.cells),))

    def reshape(self, *shape):
        """The same numbers in another shape, of which one length may be -1, whatever is left."""
        if -1 in shape:
            held = -math.prod(shape)
            shape = tuple(len(self.cells) // held if one == -1 else one for one in shape)
        return ndarray(self.cells, shape)

    def round(self, decimals):
        """The numbers to so many decimal places, by numpy's way: up, to a whole number, down."""
        scale = 10.0**decimals
        return ndarray([round(one * scale) / scale for one in self.cells], self.shape)

    def any(self, axis=None):
        """Whether any is true, of all or along an axis."""
        return along(self, axis, any)

    def all(self, axis=None):
        """Whether all are true, of all or along an axis."""
        return along(self, axis, all)

    def min(self):
        """The least; not-a-number comes through."""
        return least(self.cells)

    def max(self):
        """The greatest; not-a-number comes through."""
        return greatest(self.cells)

    def mean(self):
        """The sum over the count."""
        return total(self.cells) / len(self.cells)

    def sum(self, axis=None):
        """The sum of all, or along an axis."""
        return along(self, axis, total)

    def __getitem__(self, key):
        if key.__class__ is int:
            return self._row(key)
        places, shape = places_of(self, key)
        cells = [self.cells[place] for place in places]
        if not shape and not (key.__class__ is tuple and any(one is ELLIPSIS for one in key)):
            return cells[0]
        return ndarray(cells, shape)

    def _row(self, place):
        """What stands at a place along the first axis: a number, or an array of one axis less."""
        if len(self.shape) == 1:
            return self.cells[place]
        inner = self.shape[1:]
        length = math.prod(inner)
        at = range(self.shape[0])[place] * length
        return ndarray(self.cells[at : at + length], inner)

    def __setitem__(self, key, value):
        places, shape = places_of(self, key)
        for place, number in zip(places, spread_out(asarray(value), shape), strict=True):
            self.cells[place] = number

    def __matmul__(self, other):
        left = self.shape if self.ndim == 2 else (1, *self.shape)
        right = other.shape if other.ndim == 2 else (*other.shape, 1)
        (rows, inner), (held, columns) = left, right
        if inner != held:
            raise ValueError(f"shapes {self.shape} and {other.shape} do not multiply")
        across = [other.cells[column::columns] for column in range(columns)]
        cells = [
            total(map(operator.mul, self.cells[at : at + inner], column))
            for at in range(0, rows * inner, inner)
            for column in across
        ]
        shape = self.shape[:-1] + other.shape[1:]
        return ndarray(cells, shape) if shape else cells[0]

    def __neg__(self):
        return ndarray([-one for one in self.cells], self.shape)

    def __invert__(self):
        return ndarray([not one for one in self.cells], self.shape)


def asarray(values, dtype=None):
    """Values as an array; one that is an array already stays itself."""
    if values.__class__ is ndarray:
        return values if dtype is None else values.astype(dtype)
    if not isinstance(values, ROWS):
        return ndarray([values if dtype is None else dtype(values)], ())
    rows = [asarray(one, dtype) for one in values]
    inner = rows[0].shape if rows else ()
    if any(one.shape != inner for one in rows):
        raise ValueError("the rows of an array are of one length")
    return ndarray([number for one in rows for number in one.cells], (len(rows), *inner))


def array(values, dtype=None):
    """An array of its own with these values."""
    return asarray(values, None if dtype is object else dtype).copy()


def ravel(values):
    """All numbers of some values in one row."""
    return asarray(values).ravel()


def shape(values):
    """The shape that values have."""
    return asarray(values).shape


def along(values, axis, function):
    """What a function says of all numbers, or of every row of them along an axis."""
    if axis is None:
        return function(values.cells)
    axis %= values.ndim
    order = (*(one for one in range(values.ndim) if one != axis), axis)
    last = transposed(values, order)
    length, shape = last.shape[-1], last.shape[:-1]
    cells = [
        function(last.cells[row * length : (row + 1) * length]) for row in range(math.prod(shape))
    ]
    return ndarray(cells, shape)


def total(cells):
    """The plain sum from left to right: `sum` makes good what rounding loses, numpy does not."""
    return functools.reduce(operator.add, cells, 0)


def least(cells):
    """The least; not-a-number comes through."""
    return next(filter(math.isnan, cells), min(cells))


def greatest(cells):
    """The greatest; not-a-number comes through."""
    return next(filter(math.isnan, cells), max(cells))


@functools.lru_cache(SHAPES)
def common_shape(first, second):
    """The shape that two shapes spread out to."""
    length = max(len(first), len(second))
    first = (1,) * (length - len(first)) + first
    second = (1,) * (length - len(second)) + second
    if any(
        one != other and 1 not in (one, other) for one, other in zip(first, second, strict=True)
    ):
        raise ValueError(f"shapes {first} and {second} do not fit")
    return tuple(other if one == 1 else one for one, other in zip(first, second, strict=True))


def spread_out(values, shape):
    """The numbers of an array as often as a shape that it spreads out to asks for."""
    if values.shape == shape:
        return values.cells
    if len(values.cells) == 1:
        return values.cells * math.prod(shape)
    return [values.cells[place] for place in _spread_places(values.shape, shape)]


@functools.lru_cache(SHAPES)
def _spread_places(held, shape):
    """Where in the list of an array the numbers stand that it spreads out to."""
    own = (1,) * (len(shape) - len(held)) + held
    if common_shape(own, shape) != shape:
        raise ValueError(f"shape {held} does not spread out to {shape}")
    steps = strides(own)
    runs = [
        [0] * length if have == 1 else [place * step for place in range(length)]
        for have, length, step in zip(own, shape, steps, strict=True)
    ]
    return sums_of(runs)


@functools.lru_cache(SHAPES)
def strides(shape):
    """How far apart in the list two neighbours along each axis are."""
    return tuple(accumulate(shape[:0:-1], operator.mul, initial=1))[::-1] if shape else ()


def sums_of(runs):
    """The places of all combinations of one step along each axis, the last running fastest."""
    places = [0]
    for run in runs:
        places = [place + step for place in places for step in run]
    return places


def transposed(values, order):
    """An array with its axes in another order."""
    steps = strides(values.shape)
    runs = [[place * steps[axis] for place in range(values.shape[axis])] for axis in order]
    cells = [values.cells[place] for place in sums_of(runs)]
    return ndarray(cells, tuple(values.shape[axis] for axis in order))


def places_of(values, key):
    """Where in the list the numbers stand that an index asks for, and the shape they make."""
    if len(values.shape) == 1 and isinstance(key, ndarray):
        return _chosen(key, len(values.cells))
    key = key if isinstance(key, tuple) else (key,)
    if len(key) == 1 and isinstance(key[0], ndarray) and key[0].ndim == values.ndim != 1:
        key = key[0]
        if not key.cells or key.cells[0].__class__ is bool:
            places = [place for place, taken in enumerate(key.cells) if taken]
            return places, (len(places),)
        key = (key,)
    try:
        return _remembered_places(values.shape, key)
    except TypeError:  # numbers or a mask among it; before Python 3.12 a slice too
        return _places(values.shape, key)


def _places(held, key):
    axes = iter(zip(held, strides(held), strict=True))
    runs, shape = [], []
    for one in _written_out(key, len(held)):
        if one is None:
            shape.append(1)
            continue
        length, step = next(axes)
        chosen, kept = _chosen(one, length)
        runs.append([place * step for place in chosen])
        shape += kept
    return sums_of(runs), tuple(shape)


_remembered_places = functools.lru_cache(SHAPES)(_places)


def _written_out(key, ndim):
    """An index with a slice for every axis that it does not name."""
    rest = (ALL,) * (ndim - sum(one is not None and one is not ELLIPSIS for one in key))
    for place, one in enumerate(key):
        if one is ELLIPSIS:
            return key[:place] + rest + key[place + 1 :]
    return key + rest


def _chosen(index, length):
    """The places along one axis, and what of the shape comes of it: a mask, numbers, or a slice.

    Of two rows of numbers numpy makes pairs; that is not used, and not here.
    """
    if isinstance(index, slice):
        chosen = range(length)[index]
        return chosen, (len(chosen),)
    if not isinstance(index, ndarray | list):
        return (range(length)[index],), ()
    index = asarray(index)
    if index.cells and index.cells[0].__class__ is bool:
        chosen = [place for place, taken in enumerate(index.cells) if taken]
        return chosen, (len(chosen),)
    return [range(length)[place] for place in index.cells], index.shape
