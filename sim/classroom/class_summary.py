"""The class at a glance, without a name: verdicts, the commonest faults, and the pooled graph.

The graph has every reading, every student's means, and one line through all.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from dataclasses import dataclass
from statistics import quantiles
from typing import TYPE_CHECKING

import numpy as np
from matplotlib.lines import Line2D

from analysis.marking.questions import TABLE
from analysis.marking.work import Remark, Verdict
from analysis.paper.graph_sheet import INK, ruled, sheet_for
from analysis.paper.scales import CROSS_COLOUR
from analysis.report.results_graph import MOST_VECTORS
from analysis.statistics.line import fit_line
from sim.classroom.corrections import BY_TEACHER

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy.typing import NDArray

    from sim.classroom.class_work import ClassWork, StudentWork

FAULTS, EXAMPLES = 3, 3
LEAST_NAME = 3
"""Letters of a name's word that is hidden; shorter words are in everybody's sentences."""
SPREAD_C = 2.4
"""Students' points at one temperature are laid side by side over so many °C, or over less where
temperatures lie close together, so that none hides another."""
READINGS_GREY = "#777777"
_WORD = re.compile(r"\w+", re.UNICODE)


@dataclass(frozen=True)
class CriterionCounts:
    """How a class did at one criterion."""

    page: str
    criterion: str
    asks: str
    marks: int
    counts: dict[Verdict, int]

    @property
    def judged(self) -> int:
        """Students of whom the criterion was asked."""
        return sum(self.counts.values())


@dataclass(frozen=True)
class CommonFault:
    """A criterion that many missed: what some of them wrote, and what the feedback says to one."""

    asks: str
    page: str
    students: int
    examples: tuple[str, ...]
    said: str


@dataclass(frozen=True)
class ClassSummary:
    """A class without its names."""

    size: int
    handed_in: int
    marks: tuple[float, ...]
    out_of: int
    criteria: tuple[CriterionCounts, ...]
    faults: tuple[CommonFault, ...]

    @property
    def quarters(self) -> tuple[float, float, float, float, float] | None:
        """Lowest mark, quartiles and highest; None for fewer than two students."""
        if len(self.marks) < 2:
            return None
        low, middle, high = quantiles(self.marks, n=4, method="inclusive")
        return min(self.marks), low, middle, high, max(self.marks)


def class_summary(work: ClassWork) -> ClassSummary:
    """Count the verdicts and pick the commonest faults."""
    remarks: dict[str, list[Remark]] = defaultdict(list)
    for student in work.students:
        for remark in student.feedback.remarks:
            remarks[remark.criterion].append(remark)
    hidden = HiddenNames.among(work.names)
    return ClassSummary(
        size=len(work.names),
        handed_in=len(work.students),
        marks=tuple(student.feedback.earned for student in work.students),
        out_of=max((student.feedback.out_of for student in work.students), default=0),
        criteria=tuple(_counted(group) for group in remarks.values()),
        faults=_faults(remarks.values(), hidden),
    )


def _counted(group: Sequence[Remark]) -> CriterionCounts:
    first = group[0]
    counts = Counter(remark.verdict for remark in group)
    return CriterionCounts(first.page, first.criterion, first.asks, first.marks, dict(counts))


def _faults(groups: Iterable[Sequence[Remark]], hidden: HiddenNames) -> tuple[CommonFault, ...]:
    missed = [[r for r in group if r.verdict is Verdict.WRONG] for group in groups]
    commonest = sorted((one for one in missed if one), key=len, reverse=True)[:FAULTS]
    return tuple(
        CommonFault(
            one[0].asks, one[0].page, len(one), _examples(one, hidden), hidden.of(_said(one))
        )
        for one in commonest
    )


def _examples(missed: Sequence[Remark], hidden: HiddenNames) -> tuple[str, ...]:
    """What some of them wrote, each once and in full: answers, or cells of the table.

    What is amiss with a graph is told by our own words, which no student wrote.
    """
    texts = map(_written_words, missed)
    return tuple(dict.fromkeys(hidden.of(text) for text in texts if text))[:EXAMPLES]


def _said(missed: Sequence[Remark]) -> str:
    """What the feedback most often says of it."""
    said = Counter(one.nudge for one in missed if not one.nudge.startswith(BY_TEACHER))
    return said.most_common(1)[0][0] if said else ""


def _written_words(remark: Remark) -> str:
    if remark.answer:
        return remark.answer.text
    return ", ".join(remark.evidence) if remark.page == TABLE else ""


@dataclass(frozen=True)
class HiddenNames:
    """The words of the class's names, which the class page leaves out of what pupils wrote."""

    words: frozenset[str]

    @classmethod
    def among(cls, names: Iterable[str]) -> HiddenNames:
        """Those of a class."""
        words = (word.casefold() for name in names for word in _WORD.findall(name))
        return cls(frozenset(one for one in words if len(one) >= LEAST_NAME and not one.isdigit()))

    def of(self, text: str) -> str:
        """A text without them."""
        return _WORD.sub(lambda found: "…" if found[0].casefold() in self.words else found[0], text)


@dataclass(frozen=True)
class ClassReadings:
    """Points of a class: columns student, temperature / °C, height / cm; for drops and means."""

    readings: NDArray[np.float64]
    means: NDArray[np.float64]

    @property
    def students(self) -> int:
        """How many students have a point."""
        return len(np.unique(self.means[:, 0]))


def pooled(students: Sequence[StudentWork]) -> ClassReadings:
    """The readings of a class, and the mean of each set of repeats of each student."""
    drops: list[tuple[float, float, float]] = []
    means: list[tuple[float, float, float]] = []
    for student in students:
        evidence = student.examined.evidence
        drops += [(student.student, one.temperature_c, one.height_cm) for one in evidence.readings]
        for one in evidence.sets:
            mean_cm = float(np.mean([evidence.readings[at].height_cm for at in one.standing]))
            means.append((student.student, one.temperature_c, mean_cm))
    return ClassReadings(np.array(drops).reshape(-1, 3), np.array(means).reshape(-1, 3))


def pooled_graph(pool: ClassReadings) -> Figure:
    """Draw the readings of a class that has any, each student's means, and one line of best fit."""
    across, up = pool.readings[:, 1], pool.readings[:, 2]
    step_c = _spread_c(across)
    title = (
        "Rebound height against temperature: the class together",
        f"{pool.students} students; dots: readings, crosses: each student's means",
    )
    room = (across.min() - step_c, across.max() + step_c)
    figure, axes = ruled(sheet_for(room, up, title))
    _lay(axes, pool.readings, step_c, _DOT)
    _lay(axes, pool.means, step_c, _CROSS)
    _lay_line(axes, pool.means)
    return figure


_DOT = {"marker": "o", "ms": 2.0, "mew": 0.0, "mfc": READINGS_GREY, "zorder": 3}
_CROSS = {"marker": "x", "ms": 4.5, "mew": 0.8, "color": CROSS_COLOUR, "zorder": 4}


def _spread_c(across: NDArray[np.float64]) -> float:
    """Half of the width over which points are laid side by side."""
    steps = np.diff(np.unique(across))
    return float(min(SPREAD_C, 0.4 * steps.min() if steps.size else SPREAD_C)) / 2.0


def _lay(axes: Axes, points: NDArray[np.float64], step_c: float, marks: dict[str, object]) -> None:
    _, place = np.unique(points[:, 0], return_inverse=True)
    beside = (2.0 * place / max(place.max(), 1) - 1.0) * step_c if place.max() else 0.0 * place
    drawn = Line2D(points[:, 1] + beside, points[:, 2], ls="none", **marks)  # type: ignore[arg-type]
    drawn.set_rasterized(len(points) > MOST_VECTORS)
    axes.add_line(drawn)


def _lay_line(axes: Axes, means: NDArray[np.float64]) -> None:
    """The line of best fit through all means; none for one temperature."""
    if len(np.unique(means[:, 1])) < 2:
        return
    line = fit_line(means[:, 1], means[:, 2])
    ends = np.array([means[:, 1].min(), means[:, 1].max()])
    axes.add_line(Line2D(ends, np.asarray(line.at(ends)), color=INK, lw=0.9, zorder=5))
