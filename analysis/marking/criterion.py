"""One criterion, and the remarks that come of it."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.marking.feedback import Remark, Verdict


@dataclass(frozen=True)
class Criterion:
    """What is asked for on one page; `name` is the stable name that the record keeps."""

    page: str
    name: str
    asks: str
    marks: int = 1

    def right(self, *evidence: str) -> Remark:
        """It is as it should be."""
        return self._remark(Verdict.RIGHT, evidence=evidence)

    def carried(self, nudge: str, *evidence: str) -> Remark:
        """It follows from a slip that was marked before."""
        return self._remark(Verdict.CARRIED, nudge=nudge, evidence=evidence)

    def wrong(self, where: str, nudge: str, worked: str, *evidence: str) -> Remark:
        """A convention is broken: the nudge says which and where, the worked step mends it."""
        return self._remark(Verdict.WRONG, where, nudge, worked, evidence)

    def missing(self, nudge: str) -> Remark:
        """There is nothing to mark."""
        return self._remark(Verdict.MISSING, nudge=nudge)

    def teacher(self, nudge: str, *evidence: str) -> Remark:
        """It cannot be decided here; `nudge` says why."""
        return self._remark(Verdict.TEACHER, nudge=nudge, evidence=evidence)

    def _remark(
        self,
        verdict: Verdict,
        where: str = "",
        nudge: str = "",
        worked: str = "",
        evidence: tuple[str, ...] = (),
    ) -> Remark:
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
