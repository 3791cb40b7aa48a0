"""Where the lines of graph paper run: small squares of 2 mm, large ones of 2 cm.

Both printers rule from here. Lengths are millimetres from the corner of the sheet of squares.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from analysis.paper.scales import LARGE_SQUARE_MM

SMALL_IN_LARGE = 10
SMALL_SQUARE_MM = LARGE_SQUARE_MM / SMALL_IN_LARGE


@dataclass(frozen=True)
class Rule:
    """How a kind of line is drawn: its width in mm, and its grey from 0 (black) to 255."""

    width_mm: float
    grey: int


SMALL_RULE, LARGE_RULE = Rule(0.1, 130), Rule(0.3, 70)
"""Grey, so that a pencil cross stands out; dark enough for a photocopier."""


@dataclass(frozen=True)
class Squares:
    """Graph paper in true size: so many large squares across and up."""

    across: int
    up: int
    kind: Literal["squares"] = "squares"

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height."""
        return self.across * LARGE_SQUARE_MM, self.up * LARGE_SQUARE_MM


@dataclass(frozen=True)
class Lines:
    """Lines of one kind: places of the upright and of the level ones."""

    rule: Rule
    upright_mm: tuple[float, ...]
    level_mm: tuple[float, ...]


def ruled(squares: Squares) -> tuple[Lines, Lines]:
    """Give the small squares' lines, then the large ones' that are drawn over them."""
    small = _lines(squares, SMALL_RULE, large=False)
    return small, _lines(squares, LARGE_RULE, large=True)


def _lines(squares: Squares, rule: Rule, *, large: bool) -> Lines:
    return Lines(rule, _places(squares.across, large=large), _places(squares.up, large=large))


def _places(large_squares: int, *, large: bool) -> tuple[float, ...]:
    """Places of one kind of line; where a large line runs there is no small one."""
    return tuple(
        n * SMALL_SQUARE_MM
        for n in range(large_squares * SMALL_IN_LARGE + 1)
        if (n % SMALL_IN_LARGE == 0) is large
    )
