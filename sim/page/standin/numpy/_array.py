"""The array: numbers in one list, the last index running fastest, and the shape they stand in."""

import functools
import math
import operator
from itertools import accumulate

ELLIPSIS, ALL = Ellipsis, slice(None)


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

    def any(self):
        """Whether any is true."""
        return any(self.cells)

    def all(self):
        """Whether all are true."""
        return all(self.cells)

    def min(self):
        """The least; not-a-number comes through."""
        return least(self.cells)

    def max(self):
        """The greatest; not-a-number comes through."""
        return -least([-one for one in self.cells])

    def mean(self):
        """The sum over the count."""
        return self.sum() / len(self.cells)

    def sum(self, axis=None):
        """The sum of all, or along one axis; from left to right, as numpy adds a few numbers."""
        if axis is None:
            return total(self.cells)
        order = [*(one for one in range(self.ndim) if one != axis % self.ndim), axis % self.ndim]
        last = transposed(self, tuple(order))
        length = last.shape[-1]
        return ndarray(
            [total(last.cells[at : at + length]) for at in range(0, len(last.cells), length)],
            last.shape[:-1],
        )

    def __getitem__(self, key):
        if key.__class__ is int and len(self.shape) == 1:
            return self.cells[key]
        places, shape = places_of(self, key)
        cells = [self.cells[place] for place in places]
        return ndarray(cells, shape) if shape else cells[0]

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
            total(list(map(operator.mul, self.cells[at : at + inner], column)))
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
    if isinstance(values, ndarray):
        return values if dtype is None else values.astype(dtype)
    if not isinstance(values, list | tuple | range):
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


def total(cells):
    """The plain sum from left to right: `sum` makes good what rounding loses, numpy does not."""
    return functools.reduce(operator.add, cells, 0)


def least(cells):
    """The least; not-a-number comes through."""
    return next((one for one in cells if one != one), None) or min(cells)


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
    own = (1,) * (len(shape) - values.ndim) + values.shape
    if common_shape(own, shape) != shape:
        raise ValueError(f"shape {values.shape} does not spread out to {shape}")
    steps = strides(own)
    runs = [
        [0] * length if have == 1 else range(0, length * step, step)
        for have, length, step in zip(own, shape, steps, strict=True)
    ]
    return [values.cells[place] for place in sums_of(runs)]


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
    runs = [range(0, values.shape[axis] * steps[axis], steps[axis]) for axis in order]
    cells = [values.cells[place] for place in sums_of(runs)]
    return ndarray(cells, tuple(values.shape[axis] for axis in order))


def places_of(values, key):
    """Where in the list the numbers stand that an index asks for, and the shape they make."""
    if isinstance(key, ndarray):
        return _picked(values, key)
    key = key if isinstance(key, tuple) else (key,)
    named = sum(one is not None and one is not ELLIPSIS for one in key)
    rest = (ALL,) * (values.ndim - named)
    if ELLIPSIS in key:
        at = key.index(ELLIPSIS)
        key = key[:at] + rest + key[at + 1 :]
    else:
        key = key + rest
    lengths = iter(zip(values.shape, strides(values.shape), strict=True))
    runs, shape = [], []
    for one in key:
        if one is None:
            shape.append(1)
            continue
        length, step = next(lengths)
        chosen = range(length)[one]
        if isinstance(one, slice):
            shape.append(len(chosen))
            runs.append([place * step for place in chosen])
        else:
            runs.append([chosen * step])
    return sums_of(runs), tuple(shape)


def _picked(values, key):
    """By a mask of the same shape, or by whole numbers along the first axis."""
    if key.cells and key.cells[0].__class__ is bool:
        places = [place for place, taken in enumerate(key.cells) if taken]
        return places, (len(places),)
    inner = math.prod(values.shape[1:])
    firsts = [(place % values.shape[0]) * inner for place in key.cells]
    return sums_of([firsts, range(inner)]), key.shape + values.shape[1:]
