"""A student's work as plain values: what is marked, wherever it was written.

The bench hands over its exercise book in this form, and so does a file filled in from
paper. Texts are as the student wrote them; nothing is corrected on the way. A line of more
than two points is the smooth curve through them, for the bench that draws it and for marking.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from analysis.paper.scales import LARGE_ACROSS, LARGE_UP

Cell = tuple[int, int]
"""Row and column of the results table; row 0 holds the headings."""

QuestionKey = tuple[str, str]
"""Page and question, as `analysis.marking.questions` names them."""


Side = Literal["across", "up"]
SIDES: tuple[Side, Side] = ("across", "up")
"""The two axes of a graph, as they are named here."""

STEPS = 16
"""Pieces between two points."""


@dataclass(frozen=True)
class RoughLine:
    """One line of the rough page, in school units as written."""

    temperature_c: float
    height_cm: float
    decimal_places: int = 0
    struck_out: bool = False


@dataclass(frozen=True)
class Axis:
    """One axis of the student's own graph, in the units of its title."""

    title: str
    start: float
    large_square: float
    """What a large square (2 cm, ten small squares) stands for."""


@dataclass(frozen=True)
class Graph:
    """The student's own graph: axes, crosses and the line, in the units of the axes.

    `line` holds two points for a straight line, more for a free curve, none for no line.
    `squares` is how many large squares the sheet has across and up.
    """

    axes: Mapping[Side, Axis] = field(default_factory=lambda: MappingProxyType({}))
    crosses: tuple[tuple[float, float], ...] = ()
    line: tuple[tuple[float, float], ...] = ()
    squares: tuple[int, int] = (LARGE_ACROSS, LARGE_UP)


@dataclass(frozen=True)
class Work:
    """Everything that a student hands in.

    `rough` is None where there is no rough page to compare with (work from paper): the
    table's own readings then stand for it. `drop_height_cm` is what the ball fell from.
    """

    cells: Mapping[Cell, str] = field(default_factory=lambda: MappingProxyType({}))
    graph: Graph | None = None
    answers: Mapping[QuestionKey, str] = field(default_factory=lambda: MappingProxyType({}))
    rough: tuple[RoughLine, ...] | None = None
    drop_height_cm: float = 100.0
    mass_g: float = 24.0
    tries: Mapping[str, int] = field(default_factory=lambda: MappingProxyType({}))
    """How often feedback was asked for on a page: 0 or 1 gives the nudge, 2 the worked step."""


def smooth(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """The Catmull-Rom spline through three points (n, 2) or more, with the points on it.

    Two points, a straight line, are given back as they are.
    """
    if len(points) < 3:
        return points
    ends = np.vstack([points[:1], points, points[-1:]])
    a, b, c, d = (ends[n : n + len(points) - 1, None, :] for n in range(4))
    t = np.linspace(0.0, 1.0, STEPS, endpoint=False)[None, :, None]
    bend = (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3
    pieces = b + ((c - a) * t + bend) / 2
    return np.vstack([pieces.reshape(-1, 2), points[-1:]])
