"""The class page: one self-contained HTML file without a name in it, fit for a projector."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from jinja2 import Environment, Template
from markupsafe import Markup

from analysis.document import typeset
from analysis.marking.feedback import Verdict
from analysis.quantity import plain
from sim.classroom.class_graph import pooled, pooled_svg
from sim.classroom.class_summary import class_summary

if TYPE_CHECKING:
    from sim.classroom.class_summary import ClassSummary, CriterionCounts
    from sim.classroom.class_work import ClassWork

BAR = 200
"""Width of a bar in the units of its drawing."""
_FILLS = {
    Verdict.RIGHT: "#222",
    Verdict.CARRIED: "url(#carried)",
    Verdict.WRONG: "#fff",
    Verdict.MISSING: "url(#missing)",
    Verdict.TEACHER: "#bbb",
}


@dataclass(frozen=True)
class Piece:
    """A piece of a criterion's bar."""

    left: float
    width: float
    fill: str


@dataclass(frozen=True)
class Row:
    """One criterion's line: what it asks, the counts in the order of the verdicts, the bar."""

    asks: str
    counts: tuple[int, ...]
    pieces: tuple[Piece, ...]


def class_page(work: ClassWork) -> str:
    """The page as HTML: style and graph inside, no script, nothing fetched."""
    summary = class_summary(work)
    pages: dict[str, list[Row]] = {}
    for counted in summary.criteria:
        pages.setdefault(counted.page, []).append(_row(counted))
    pool = pooled(work.students)
    return _template().render(
        summary=summary,
        marks_sentence=_marks_sentence(summary),
        pages=pages,
        verdicts=[(verdict.value, _FILLS[verdict]) for verdict in Verdict],
        graph=Markup(pooled_svg(pool)),  # matplotlib escapes the text in it
        readings=len(pool.readings),
        bar=BAR,
    )


def _row(counted: CriterionCounts) -> Row:
    counts = tuple(counted.counts.get(verdict, 0) for verdict in Verdict)
    pieces, left = [], 0.0
    for verdict, count in zip(Verdict, counts, strict=True):
        width = BAR * count / counted.judged
        if count:
            pieces.append(Piece(round(left, 2), round(width, 2), _FILLS[verdict]))
        left += width
    return Row(counted.asks, counts, tuple(pieces))


def _marks_sentence(summary: ClassSummary) -> str:
    quarters = summary.quarters
    if quarters is None:
        return ""
    lowest, low, middle, high, highest = quarters
    return (
        f"Marks run from {lowest} to {highest} of {summary.out_of}; half of the class has between "
        f"{plain(low, 1)} and {plain(high, 1)}, the middle is {plain(middle, 1)}. What the teacher "
        "has still to judge is not counted."
    )


@cache
def _template() -> Template:
    source = Path(__file__).with_name("class_page.html.jinja").read_text(encoding="utf-8")
    environment = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    environment.filters["typeset"] = typeset
    return environment.from_string(source)
