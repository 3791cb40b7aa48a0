"""The sheet of graph paper, and the scale of one axis on it, chosen as a student should choose it.

Whoever rules, paints, plots on or measures graph paper (on paper, on a page, in the window) asks
here how many squares it has, how large they are, and what ink they and the crosses are drawn in.

A large square stands for 1, 2 or 5 x 10^n, the axis starts at a whole multiple of that (not
necessarily at zero), and the data take up more than half of it.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analysis.quantity.units import restated

MM_PER_INCH = restated(1.0, "in", "mm")
POINTS_PER_INCH = 72

LARGE_ACROSS, LARGE_UP = 8, 10
"""Large squares across and up the sheet. All are to plot on: numbers and titles stand outside,
for which A4 with margins of 15 mm leaves 20 mm beside them and 40 mm below."""
LARGE_SQUARE_MM = 20.0
SMALL_SQUARES = 10
"""Small squares along the side of a large one: common practice, no source."""
SMALL_SQUARE_MM = LARGE_SQUARE_MM / SMALL_SQUARES

CROSS_COLOUR = "#000000"
"""Of the crosses, on paper and in the window."""


@dataclass(frozen=True)
class Rule:
    """How lines of one kind are ruled: width in mm, and grey from 0 (black) to 255."""

    width_mm: float
    grey: int

    @property
    def colour(self) -> str:
        """The grey as #rrggbb."""
        return f"#{self.grey:02x}{self.grey:02x}{self.grey:02x}"


SMALL_RULE, LARGE_RULE = Rule(0.1, 130), Rule(0.3, 70)
"""Of an empty sheet: grey, so that a pencil cross stands out; dark enough for a photocopier."""
UNDER_SMALL_RULE = Rule(0.35 * MM_PER_INCH / POINTS_PER_INCH, 207)
UNDER_LARGE_RULE = Rule(0.7 * MM_PER_INCH / POINTS_PER_INCH, 138)
"""Under a graph that is printed with its sheet: fainter, so that its thin lines stand out."""

ROOMY_FRACTION = 0.6
"""A scale that keeps the data off the edges is taken if they still fill this much of the axis."""

_MARGIN = 1 / SMALL_SQUARES
_ROUNDING_DIGITS = 9


@dataclass(frozen=True)
class Scale:
    """One axis: `squares` large squares from `first` steps of `digit` x 10^`power`.

    Whole numbers only, so that the numbers on the axis carry no rounding of their own.
    """

    digit: int
    power: int
    first: int
    squares: int

    @property
    def per_large_square(self) -> float:
        """What a large square stands for, in the axis's unit."""
        return _scaled(self.digit, self.power)

    @property
    def start(self) -> float:
        """The number at the beginning of the axis."""
        return _scaled(self.first * self.digit, self.power)

    @property
    def end(self) -> float:
        """The number at the end of the axis."""
        return _scaled((self.first + self.squares) * self.digit, self.power)

    @property
    def decimal_places(self) -> int:
        """Decimal places that every number on the axis is written with."""
        return max(0, -self.power)

    def large_lines(self) -> NDArray[np.float64]:
        """Where the lines of the large squares stand, (squares + 1,)."""
        return np.linspace(self.start, self.end, self.squares + 1)

    def small_lines(self) -> NDArray[np.float64]:
        """Where the lines of the small squares stand, (10 squares + 1,)."""
        return np.linspace(self.start, self.end, SMALL_SQUARES * self.squares + 1)

    def numbers(self) -> tuple[str, ...]:
        """Write the number at each line of the large squares."""
        steps = range(self.first, self.first + self.squares + 1)
        places = self.decimal_places
        return tuple(f"{_scaled(step * self.digit, self.power):.{places}f}" for step in steps)

    def filled(self, low: float, high: float) -> float:
        """Tell the fraction of the axis that data from `low` to `high` take up."""
        return (high - low) / (self.end - self.start)


def round_steps(least: float) -> Iterator[float]:
    """Yield the steps 1, 2, 5, 10 ..., as a scale may have them, from about `least` upwards.

    `least` is above 0; a step that lies less than a thousandth below it is the first.
    """
    return (_scaled(digit, power) for digit, power in _steps(least))


def choose_scale(low: float, high: float, most_squares: int) -> Scale:
    """Choose the scale for data from `low` to `high` on at most `most_squares` large squares.

    The finest scale that keeps every point a small square from the edges is taken, if the data
    still fill six tenths of the axis; failing that, the finest that holds the data at all. Both
    fill more than half. A single value (`low == high`) fills nothing, and gets two squares about
    it. Raises ValueError when the numbers are not finite, the wrong way round, or there are fewer
    than 5 squares to work with (from 3.99 to 10.01 on 4, say, no scale fills half).
    """
    if not (math.isfinite(low) and math.isfinite(high) and low <= high):
        raise ValueError(f"an axis needs two finite numbers in order, not {low} and {high}")
    if most_squares < 5:
        raise ValueError(f"an axis needs at least 5 large squares, not {most_squares}")
    if math.isclose(low, high, rel_tol=1e-9, abs_tol=1e-12):
        return _about_one_value((low + high) / 2)
    roomy = _finest(low, high, most_squares, _MARGIN)
    if roomy.filled(low, high) >= ROOMY_FRACTION:
        return roomy
    return _finest(low, high, most_squares, 0.0)


def _finest(low: float, high: float, most_squares: int, margin: float) -> Scale:
    """Give the finest scale that fits; the steps grow without end, so one is always found."""
    for digit, power in _steps((high - low) / most_squares):
        scale = _covering(low, high, digit, power, margin)
        if scale.squares <= most_squares:
            return scale
    raise AssertionError("unreachable: the steps grow without end")


def _steps(least: float) -> Iterator[tuple[int, int]]:
    """Yield the steps 1, 2, 5, 10 ... from a little under `least` upwards."""
    power = math.floor(math.log10(least))
    while True:
        for digit in (1, 2, 5):
            if _scaled(digit, power) >= least * 0.999:
                yield digit, power
        power += 1


def _covering(low: float, high: float, digit: int, power: int, margin: float) -> Scale:
    """Find the shortest axis of this step that holds the data with `margin` squares to spare.

    Data that touch zero from one side may lie on the axis's edge there: nobody starts an axis of
    heights below zero to spare a square.
    """
    step = _scaled(digit, power)
    below = 0.0 if 0 <= low < margin * step else margin
    above = 0.0 if 0 >= high > -margin * step else margin
    first = math.floor(round(low / step - below, _ROUNDING_DIGITS))
    last = math.ceil(round(high / step + above, _ROUNDING_DIGITS))
    return Scale(digit=digit, power=power, first=first, squares=last - first)


def _about_one_value(value: float) -> Scale:
    """Two large squares with the value inside, a square standing for about a tenth of it."""
    size = max(abs(value) / 10, 1e-3)
    digit, power = next(_steps(size))
    nearest = round(value / _scaled(digit, power))
    first = nearest if nearest == 0 <= value else nearest - 1
    return Scale(digit=digit, power=power, first=first, squares=2)


def _scaled(whole: int, power: int) -> float:
    """`whole` x 10^`power`, rounded once only."""
    return float(whole * 10**power) if power >= 0 else whole / 10**-power
