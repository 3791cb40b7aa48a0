"""Functions of one number or two, spread over arrays, and the signs of arithmetic."""

import functools
import math
import operator
import sys

from ._array import asarray, common_shape, ndarray, spread_out

_round = round
A_NUMBER = (float, int)
"""What is one number: a bool is one too. As a tuple, for it is asked some hundred times an act."""
NOT_A_NUMBER = math.nan
LARGEST = sys.float_info.max


def _of_one(function, quick=None):
    """Spread a function of one number over arrays; `out` is an array to put the answer in.

    `quick` is a faster function that says the same, or raises where it says nothing.
    """
    all_of = _first_tried(quick, function)

    @functools.wraps(function)
    def spread(values, out=None):
        if isinstance(values, A_NUMBER):
            return function(values)
        values = asarray(values)
        cells = all_of(values.cells)
        if out is None:
            return ndarray(cells, values.shape)
        out.cells[:] = cells
        return out

    return spread


def _first_tried(quick, function):
    """A function of whole rows: the quick one of each number, or where one raises the other."""
    if quick is None:
        return lambda *rows: list(map(function, *rows))

    def all_of(*rows):
        try:
            return list(map(quick, *rows))
        except (ArithmeticError, ValueError):
            return list(map(function, *rows))

    return all_of


def _of_two(function, quick=None):
    """Spread a function of two numbers over arrays; `quick` as in `_of_one`."""
    all_of = _first_tried(quick, function)

    @functools.wraps(function)
    def spread(first, second):
        if isinstance(second, A_NUMBER):
            if isinstance(first, A_NUMBER):
                return function(first, second)
            first = asarray(first)
            return ndarray(all_of(first.cells, [second] * len(first.cells)), first.shape)
        if isinstance(first, A_NUMBER):
            second = asarray(second)
            return ndarray(all_of([first] * len(second.cells), second.cells), second.shape)
        first, second = asarray(first), asarray(second)
        if first.shape == second.shape:
            return ndarray(all_of(first.cells, second.cells), first.shape)
        shape = common_shape(first.shape, second.shape)
        return ndarray(all_of(spread_out(first, shape), spread_out(second, shape)), shape)

    return spread


def _quotient(above, below):
    try:
        return above / below
    except ZeroDivisionError:
        if above == 0 or math.isnan(above):
            return NOT_A_NUMBER
        return math.copysign(math.inf, above) * math.copysign(1.0, below)


def _power(base, exponent):
    if exponent == 2:
        return base * base
    if base.__class__ is int and exponent.__class__ is int:
        return base**exponent
    try:
        return math.pow(base, exponent)
    except ValueError:
        return NOT_A_NUMBER if base else math.inf
    except OverflowError:
        return math.inf


def _arithmetic():
    """Give arrays the signs of arithmetic and comparison."""
    signs = {
        "add": _of_two(operator.add),
        "sub": _of_two(operator.sub),
        "mul": _of_two(operator.mul),
        "truediv": _of_two(_quotient, quick=operator.truediv),
        "pow": _of_two(_power),
        "and": _of_two(operator.and_),
        "or": _of_two(operator.or_),
    }
    for name, spread in signs.items():
        setattr(ndarray, f"__{name}__", spread)
        setattr(ndarray, f"__r{name}__", _turned(spread))
    for name in ("lt", "le", "gt", "ge", "eq", "ne"):
        setattr(ndarray, f"__{name}__", _of_two(getattr(operator, name)))


def _turned(spread):
    return lambda second, first: spread(first, second)


_arithmetic()


@functools.partial(_of_one, quick=math.exp)
def exp(number):
    """The exponential; infinite where it is too large to write."""
    try:
        return math.exp(number)
    except OverflowError:
        return math.inf


@functools.partial(_of_one, quick=math.sqrt)
def sqrt(number):
    """The square root; not-a-number below zero."""
    return math.sqrt(number) if number >= 0 else NOT_A_NUMBER


@functools.partial(_of_one, quick=math.log)
def log(number):
    """The natural logarithm; minus infinity at zero, not-a-number below."""
    if number > 0:
        return math.log(number)
    return -math.inf if number == 0 else NOT_A_NUMBER


@_of_one
def rint(number):
    """The nearest whole number, a half to the even one."""
    return math.copysign(_round(number), number) if math.isfinite(number) else number


@_of_one
def sign(number):
    """-1, 0 or 1."""
    return number if math.isnan(number) else float((number > 0) - (number < 0))


@_of_one
def nan_to_num(number):
    """Zero for not-a-number, the largest number for what is infinite."""
    if math.isnan(number):
        return 0.0
    return math.copysign(LARGEST, number) if math.isinf(number) else number


@_of_two
def maximum(first, second):
    """The greater of two; not-a-number comes through."""
    return first if first >= second or math.isnan(first) else second


@_of_two
def minimum(first, second):
    """The lesser of two; not-a-number comes through."""
    return first if first <= second or math.isnan(first) else second


expm1, log1p, cbrt = _of_one(math.expm1), _of_one(math.log1p), _of_one(math.cbrt)
cos, cosh, arctan, arctanh = map(_of_one, (math.cos, math.cosh, math.atan, math.atanh))
abs, isfinite = _of_one(operator.abs), _of_one(math.isfinite)
isnan, isinf = _of_one(math.isnan), _of_one(math.isinf)
copysign, greater = _of_two(math.copysign), _of_two(operator.gt)


def clip(values, low, high):
    """The values, none below the one end or above the other."""
    return minimum(maximum(values, low), high)


def round(values, decimals):
    """The values to so many decimal places, by numpy's way: up, to a whole number, down."""
    return rint(values * 10.0**decimals) / 10.0**decimals


def where(condition, yes, no):
    """The one value where a condition holds, the other where not."""
    if isinstance(condition, bool) and isinstance(yes, float) and isinstance(no, float):
        return yes if condition else no
    condition, yes, no = asarray(condition), asarray(yes), asarray(no)
    shape = common_shape(common_shape(condition.shape, yes.shape), no.shape)
    rows = zip(*(spread_out(one, shape) for one in (condition, yes, no)), strict=True)
    return ndarray([first if holds else second for holds, first, second in rows], shape)


def divide(above, below, out, where):
    """Quotients put into `out` where a condition holds."""
    for place, (over, under, wanted) in enumerate(
        zip(above.cells, below.cells, asarray(where).cells, strict=True)
    ):
        if wanted:
            out.cells[place] = _quotient(over, under)
    return out
