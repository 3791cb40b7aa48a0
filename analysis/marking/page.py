"""Feedback as one self-contained HTML page that prints on A4.

Two stages: the nudge first; the worked step too once feedback on that page of the book has been
asked for twice (`Work.tries`). What the teacher has to judge stands apart. Every verdict is told
by its words and its sign, so the page needs no colour.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from jinja2 import Environment, Template

from analysis.marking.mark import PAGES
from analysis.marking.remark import Feedback, Remark, Verdict
from analysis.marking.work import Work
from analysis.paper.document import typeset

SIGNS = {
    Verdict.RIGHT: "✓",
    Verdict.CARRIED: "(✓)",
    Verdict.WRONG: "✗",
    Verdict.MISSING: "–",
    Verdict.TEACHER: "?",
}
TRIES_FOR_THE_STEP = 2


@dataclass(frozen=True)
class Shown:
    """One remark as the page shows it; `worked` is empty at the first stage."""

    remark: Remark
    sign: str
    worked: str


@dataclass(frozen=True)
class PageFeedback:
    """The remarks on one page of the book, what is to be mended first."""

    title: str
    earned: int
    out_of: int
    to_mend: tuple[Shown, ...]
    done: tuple[Shown, ...]
    step_shown: bool


def feedback_html(feedback: Feedback, work: Work, title: str) -> str:
    """Give the page as HTML: style inside, no script, nothing fetched.

    `title` says whose work it is, such as the file's name; it is escaped.
    """
    pages = tuple(_page(feedback, work, page) for page in PAGES if feedback.of_page(page))
    return _template().render(
        title=title,
        feedback=feedback,
        pages=pages,
        teacher=[_shown(remark, step=False) for remark in feedback.for_the_teacher],
        signs=[(SIGNS[verdict], verdict.value) for verdict in Verdict],
    )


def shows_step(work: Work, page: str) -> bool:
    """Whether the worked steps of a page are shown: from the second try on."""
    return work.tries.get(page, 0) >= TRIES_FOR_THE_STEP


def _page(feedback: Feedback, work: Work, page: str) -> PageFeedback:
    remarks = [one for one in feedback.of_page(page) if one.verdict is not Verdict.TEACHER]
    step = shows_step(work, page)
    good = (Verdict.RIGHT, Verdict.CARRIED)
    return PageFeedback(
        title=page,
        earned=sum(one.earned for one in remarks),
        out_of=sum(one.marks for one in remarks),
        to_mend=tuple(_shown(one, step=step) for one in remarks if one.verdict not in good),
        done=tuple(_shown(one, step=step) for one in remarks if one.verdict in good),
        step_shown=step,
    )


def _shown(remark: Remark, *, step: bool) -> Shown:
    return Shown(remark, SIGNS[remark.verdict], remark.worked if step else "")


@cache
def _template() -> Template:
    source = Path(__file__).with_name("feedback.html.jinja").read_text(encoding="utf-8")
    environment = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    environment.filters["typeset"] = typeset
    return environment.from_string(source)
