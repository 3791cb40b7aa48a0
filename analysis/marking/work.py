"""The two ends of the marking: a student's work as plain values, and the remarks made on it.

The bench hands over its exercise book in this form, and so does a file filled in from paper. Texts
are as the student wrote them; nothing is corrected on the way. A line of more than two points is
the smooth curve through them, for the bench that draws it and for marking. What comes back is one
remark for each criterion, with a nudge first and the step after.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from types import MappingProxyType
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from analysis.paper.scales import LARGE_ACROSS, LARGE_UP
from analysis.readings.sets import Repeats, sets_of_repeats

Cell = tuple[int, int]
"""Row and column of the results table; row 0 holds the headings."""

QuestionKey = tuple[str, str]
"""Page and question, as `analysis.marking.questions` names them."""


Side = Literal["across", "up"]
SIDES: tuple[Side, Side] = ("across", "up")
"""The two axes of a graph, as they are named here."""

STEPS = 16
"""Pieces between two points."""


@dataclass(frozen=True, slots=True)
class RoughLine:
    """One line of the rough page, in school units as written."""

    temperature_c: float
    height_cm: float
    decimal_places: int = 0
    struck_out: bool = False
    meant: int | None = None
    """Lines with the same number were meant for one temperature; None where nobody knows."""


def sets_of_lines(rough: Sequence[RoughLine]) -> tuple[Repeats, ...]:
    """The lines of a rough page that make one set each, by their places, coolest set first."""
    noted_c = [one.temperature_c for one in rough]
    return sets_of_repeats(noted_c, [one.struck_out for one in rough], [one.meant for one in rough])


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
    named_c: float | None = None
    """The temperature that the book has named to the student, where it has done so already."""
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


TRIES_FOR_THE_STEP = 2
"""Asked for the first time, feedback nudges; from this try on it shows the worked step."""


class Verdict(Enum):
    """What was found."""

    RIGHT = "right"
    CARRIED = "right, from an earlier slip"
    """Consequential: it follows from a value that was marked wrong once already."""
    HALF = "half right"
    """Half of the marks; only a teacher gives it."""
    WRONG = "not yet"
    MISSING = "nothing written"
    TEACHER = "for the teacher to judge"
    """The criteria cannot decide; nothing is guessed."""

    @property
    def earns(self) -> bool:
        """Whether it earns all of the marks."""
        return self in (Verdict.RIGHT, Verdict.CARRIED)

    @property
    def share(self) -> float:
        """The share of the marks that it earns: all, half or none."""
        return 0.5 if self is Verdict.HALF else float(self.earns)

    @property
    def sign(self) -> str:
        """What stands before each remark, so that no colour has to say it."""
        return _SIGNS[self]


_SIGNS = {
    Verdict.RIGHT: "✓",
    Verdict.CARRIED: "(✓)",
    Verdict.HALF: "½",
    Verdict.WRONG: "✗",
    Verdict.MISSING: "–",
    Verdict.TEACHER: "?",
}


Guess = Literal["right", "half", "not yet"]
"""What the program would say of an answer that it leaves to the teacher; it decides nothing."""


@dataclass(frozen=True, slots=True)
class Criterion:
    """What is asked for on one page of the exercise book, and the remarks that come of it.

    Attributes:
        page: the page that it belongs to ("Results table", "Graph", …).
        name: short stable name that the record keeps, such as "table.heading-unit".
        asks: what it asks for, in one readable sentence.
        marks: what it is worth.
        question: name on its page of the question that it marks the answer to; "" for what is no
            answer, such as the table.

    """

    page: str
    name: str
    asks: str
    marks: int = 1
    question: str = ""

    def right(self, *evidence: str) -> Remark:
        """It is as it should be."""
        return Remark(self, Verdict.RIGHT, evidence=evidence)

    def carried(self, nudge: str, *evidence: str) -> Remark:
        """It follows from a slip that was marked before."""
        return Remark(self, Verdict.CARRIED, nudge=nudge, evidence=evidence)

    def wrong(self, where: str, nudge: str, worked: str, *evidence: str) -> Remark:
        """A convention is broken: the nudge says which and where, the worked step mends it."""
        return Remark(self, Verdict.WRONG, where, nudge, worked, evidence)

    def missing(self, nudge: str) -> Remark:
        """There is nothing to mark; of an answer it is said which."""
        return Remark(self, Verdict.MISSING, where=self.question, nudge=nudge)

    def teacher(self, nudge: str, *evidence: str) -> Remark:
        """It cannot be decided here; `nudge` says why."""
        return Remark(self, Verdict.TEACHER, nudge=nudge, evidence=evidence)


@dataclass(frozen=True, slots=True)
class AnswerGiven:
    """What a student wrote in answer to a question, in full.

    `builds_on` are the earlier answers that it cannot be judged without, each by the name of its
    question: the control variable of a reason, hazard and risk of a control. `own_work` is what of
    the student's own readings or line it is held against: for who judges, never for the student.
    """

    question: str
    """As the student reads it."""
    text: str
    builds_on: tuple[tuple[str, str], ...] = ()
    own_work: str = ""

    @property
    def base(self) -> str:
        """What it builds on, as one text: "hazard 1: hot water; risk 1: it can scald"."""
        return "; ".join(f"{name}: {text or '(nothing written)'}" for name, text in self.builds_on)


@dataclass(frozen=True, slots=True)
class Remark:
    """What was found of one criterion in one piece of work.

    Attributes:
        of: the criterion.
        verdict: what was found.
        where: where in the work ("row 3, column 2", "cross 4"), or nothing.
        nudge: says which convention is broken and where, never the answer.
        worked: the worked step; shown only after a second try.
        evidence: the student's own words or numbers that decided it.
        guess: of a written answer that is left to the teacher, what it most likely is; None for
            all others.
        answer: the whole answer that it is about; None where none was written, or none is asked.

    """

    of: Criterion
    verdict: Verdict
    where: str = ""
    nudge: str = ""
    worked: str = ""
    evidence: tuple[str, ...] = ()
    guess: Guess | None = None
    answer: AnswerGiven | None = None

    @property
    def page(self) -> str:
        """The page that it is about."""
        return self.of.page

    @property
    def criterion(self) -> str:
        """The name of its criterion."""
        return self.of.name

    @property
    def given(self) -> AnswerGiven:
        """The answer that it is about, or what it rests on in table or graph as if it were one."""
        return self.answer or AnswerGiven(self.asks, " | ".join(self.evidence))

    @property
    def asks(self) -> str:
        """What its criterion asks for."""
        return self.of.asks

    @property
    def marks(self) -> int:
        """The marks that could be earned."""
        return self.of.marks

    @property
    def earned(self) -> float:
        """The marks earned: all, half or none."""
        return self.marks * self.verdict.share


@dataclass(frozen=True, slots=True)
class Feedback:
    """All remarks on a piece of work, in the order of the book."""

    remarks: tuple[Remark, ...]

    def of_page(self, page: str) -> tuple[Remark, ...]:
        """The remarks on one page."""
        return tuple(remark for remark in self.remarks if remark.page == page)

    @property
    def earned(self) -> float:
        """Marks earned so far; what the teacher has to judge is not in it."""
        return sum(remark.earned for remark in self.remarks)

    @property
    def out_of(self) -> int:
        """Marks that could be earned."""
        return sum(remark.marks for remark in self.remarks)

    @property
    def for_the_teacher(self) -> tuple[Remark, ...]:
        """What the criteria could not decide."""
        return tuple(r for r in self.remarks if r.verdict is Verdict.TEACHER)


def listed(items: list[str]) -> str:
    """Items in a sentence: "row 2", "row 2 and row 4", "row 2, row 3 and 5 more"."""
    if len(items) > 4:
        items = [*items[:3], f"{len(items) - 3} more"]
    return " and ".join([", ".join(items[:-1]), items[-1]]) if len(items) > 1 else "".join(items)
