"""What marking says: one remark for each criterion, with a nudge first and the step after.

One criterion, and the remarks that come of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Verdict(Enum):
    """What was found. Only RIGHT and CARRIED earn the marks."""

    RIGHT = "right"
    CARRIED = "right, from an earlier slip"
    """Consequential: it follows from a value that was marked wrong once already."""
    WRONG = "not yet"
    MISSING = "nothing written"
    TEACHER = "for the teacher to judge"
    """The criteria cannot decide; nothing is guessed."""


@dataclass(frozen=True)
class Remark:
    """One criterion on one piece of work.

    Attributes:
        page: the page of the exercise book it belongs to ("Results table", "Graph", …).
        criterion: short stable name, such as "table.heading-unit".
        asks: what the criterion asks for, in one readable sentence.
        verdict: what was found.
        where: where in the work ("row 3, column 2", "cross 4"), or nothing.
        nudge: says which convention is broken and where, never the answer.
        worked: the worked step; shown only after a second try.
        evidence: the student's own words or numbers that decided it.
        marks: what the criterion is worth.

    """

    page: str
    criterion: str
    asks: str
    verdict: Verdict
    where: str = ""
    nudge: str = ""
    worked: str = ""
    evidence: tuple[str, ...] = ()
    marks: int = 1

    @property
    def earned(self) -> int:
        """The marks earned: all or none."""
        return self.marks if self.verdict in (Verdict.RIGHT, Verdict.CARRIED) else 0


@dataclass(frozen=True)
class Feedback:
    """All remarks on a piece of work, in the order of the book."""

    remarks: tuple[Remark, ...]

    def of_page(self, page: str) -> tuple[Remark, ...]:
        """The remarks on one page."""
        return tuple(remark for remark in self.remarks if remark.page == page)

    @property
    def earned(self) -> int:
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


@dataclass(frozen=True)
class Criterion:
    """What is asked for on one page; `name` is the stable name that the record keeps."""

    page: str
    name: str
    asks: str
    marks: int = 1

    def right(self, *evidence: str) -> Remark:
        """It is as it should be."""
        return self.remark(Verdict.RIGHT, evidence=evidence)

    def carried(self, nudge: str, *evidence: str) -> Remark:
        """It follows from a slip that was marked before."""
        return self.remark(Verdict.CARRIED, nudge=nudge, evidence=evidence)

    def wrong(self, where: str, nudge: str, worked: str, *evidence: str) -> Remark:
        """A convention is broken: the nudge says which and where, the worked step mends it."""
        return self.remark(Verdict.WRONG, where, nudge, worked, evidence)

    def missing(self, nudge: str) -> Remark:
        """There is nothing to mark."""
        return self.remark(Verdict.MISSING, nudge=nudge)

    def teacher(self, nudge: str, *evidence: str) -> Remark:
        """It cannot be decided here; `nudge` says why."""
        return self.remark(Verdict.TEACHER, nudge=nudge, evidence=evidence)

    def remark(
        self,
        verdict: Verdict,
        where: str = "",
        nudge: str = "",
        worked: str = "",
        evidence: tuple[str, ...] = (),
    ) -> Remark:
        """A remark on it; the one place where remarks are made."""
        return Remark(
            page=self.page,
            criterion=self.name,
            asks=self.asks,
            verdict=verdict,
            where=where,
            nudge=nudge,
            worked=worked,
            evidence=evidence,
            marks=self.marks,
        )


def listed(items: list[str]) -> str:
    """Items in a sentence: "row 2", "row 2 and row 4", "row 2, row 3 and 5 more"."""
    if len(items) > 4:
        items = [*items[:3], f"{len(items) - 3} more"]
    return " and ".join([", ".join(items[:-1]), items[-1]]) if len(items) > 1 else "".join(items)
