"""Refusing what a formula was not made for: out of range is an answer, never a clamp."""

from __future__ import annotations

import numpy as np

from physics.number import Number


class OutOfRange(ValueError):
    """A value lies outside the range in which a formula holds. The text is one sentence."""


def within(value: Number, low: float, high: float, what: str, unit: str = "") -> Number:
    """Hand a value on if all of it lies from `low` to `high`, ends included.

    Args:
        value: any shape, in `unit`; an empty array passes.
        low: the least that is allowed.
        high: the most that is allowed.
        what: what the value is, as the sentence names it: "drop height".
        unit: the unit's symbol; empty for a number without one.

    Raises:
        OutOfRange: naming the first offending value. What is not a number offends too.

    """
    if isinstance(value, float | int):
        if low <= value <= high:
            return value
    else:
        lowest, highest = _ends(value, low)
        if low <= lowest and highest <= high:
            return value
    flat = np.ravel(value)
    first = float(flat[~((flat >= low) & (flat <= high))][0])
    space = " " if unit else ""
    raise OutOfRange(f"{what} {first:g}{space}{unit} lies outside {low:g} to {high:g}{space}{unit}")


def _ends(value: Number, when_empty: float) -> tuple[float, float]:
    """Smallest and largest of an array in two passes; not-a-number comes through."""
    array = np.asarray(value)
    if array.size == 0:
        return when_empty, when_empty
    return float(array.min()), float(array.max())
