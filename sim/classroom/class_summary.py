"""The class at a glance, without a name: each criterion's verdicts, and the commonest faults."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from dataclasses import dataclass
from statistics import quantiles
from typing import TYPE_CHECKING

from analysis.marking.feedback import Remark, Verdict
from sim.classroom.overrides import BY_TEACHER

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from sim.classroom.class_work import ClassWork

FAULTS, EXAMPLES = 3, 3
LONGEST_EXAMPLE = 160
LEAST_NAME = 3
"""Letters of a name's word that is hidden; shorter words are in everybody's sentences."""
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
class Fault:
    """A criterion that many missed, with what some of them wrote."""

    asks: str
    page: str
    students: int
    examples: tuple[str, ...]


@dataclass(frozen=True)
class ClassSummary:
    """A class without its names."""

    size: int
    handed_in: int
    marks: tuple[int, ...]
    out_of: int
    criteria: tuple[CriterionCounts, ...]
    faults: tuple[Fault, ...]

    @property
    def quarters(self) -> tuple[int, float, float, float, int] | None:
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
    hidden = _hidden(work.names)
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


def _faults(groups: Iterable[Sequence[Remark]], hidden: frozenset[str]) -> tuple[Fault, ...]:
    missed = [[r for r in group if r.verdict is Verdict.WRONG] for group in groups]
    commonest = sorted((one for one in missed if one), key=len, reverse=True)[:FAULTS]
    return tuple(
        Fault(one[0].asks, one[0].page, len(one), _examples(one, hidden)) for one in commonest
    )


def _examples(missed: Sequence[Remark], hidden: frozenset[str]) -> tuple[str, ...]:
    """What some of them wrote, each once; where nothing was written, what the marking says."""
    texts = (", ".join(one.evidence) or _said(one) for one in missed)
    nameless = dict.fromkeys(_without(text, hidden)[:LONGEST_EXAMPLE] for text in texts if text)
    return tuple(nameless)[:EXAMPLES]


def _said(remark: Remark) -> str:
    return "" if remark.nudge.startswith(BY_TEACHER) else remark.nudge


def _hidden(names: Iterable[str]) -> frozenset[str]:
    words = (word.casefold() for name in names for word in _WORD.findall(name))
    return frozenset(word for word in words if len(word) >= LEAST_NAME and not word.isdigit())


def _without(text: str, hidden: frozenset[str]) -> str:
    """A text with the words of the class's names left out."""
    return _WORD.sub(lambda found: "…" if found[0].casefold() in hidden else found[0], text)
