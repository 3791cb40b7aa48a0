"""What the page's program asks of numpy, in plain Python: numbers, and arrays of a few of them.

Stands in for numpy in a browser alone, where no numpy can be had. The builder of the page puts this
folder into the page's own file system under numpy's name; on a desktop it lies on no path, so that
`import numpy` finds numpy. Names, arguments and results are numpy's: random numbers to the bit,
everything else but for the last bits. Only what the page's program uses is here, and a test holds
that. Slices are copies, and what numpy gives as one number of its own is a plain one of Python.
"""

from . import linalg, polynomial, random, typing
from ._along import (
    argmax,
    argmin,
    argsort,
    flatnonzero,
    max,
    mean,
    median,
    min,
    nansum,
    ptp,
    sort,
    sum,
    take_along_axis,
    unique,
)
from ._array import array, asarray, ndarray, ravel, shape
from ._elementwise import (
    abs,
    arctan,
    arctanh,
    cbrt,
    clip,
    copysign,
    cos,
    cosh,
    divide,
    exp,
    expm1,
    greater,
    isfinite,
    isinf,
    isnan,
    log,
    log1p,
    maximum,
    minimum,
    nan_to_num,
    rint,
    round,
    sign,
    sqrt,
    where,
)
from ._shaped import (
    allclose,
    arange,
    atleast_1d,
    broadcast_arrays,
    broadcast_to,
    column_stack,
    concatenate,
    diag,
    diff,
    empty,
    eye,
    full,
    interp,
    linspace,
    ones,
    outer,
    repeat,
    searchsorted,
    stack,
    swapaxes,
    take,
    tile,
    vstack,
    zeros,
    zeros_like,
)

float64, int64, uint64, intp, bool_ = float, int, int, int, bool
pi, nan, inf = 3.141592653589793, float("nan"), float("inf")


class generic:
    """The kind of numpy's own single numbers. Here they are Python's, so nothing is of it."""
