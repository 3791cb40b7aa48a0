"""Marking: a whole piece of work against its own readings, page by page."""

from __future__ import annotations

from analysis.marking.energy_answers import mark_energy
from analysis.marking.graph import mark_graph
from analysis.marking.numbers import mark_half_range, mark_line_answers, mark_plan
from analysis.marking.questions import GRAPH, QUESTIONS_OF, TABLE
from analysis.marking.remark import Feedback
from analysis.marking.sentences.criteria import Criteria
from analysis.marking.sentences.verdict import mark_written
from analysis.marking.study import Study
from analysis.marking.table import mark_table
from analysis.marking.work import Work

PAGES = tuple(QUESTIONS_OF)
"""The order of the book."""


def mark(work: Work, criteria: Criteria | None = None) -> Feedback:
    """Mark table, graph, numbers and written answers; one remark for each criterion.

    `criteria` are those of `analysis.marking.sentences`, its own where None. On the bench (there is
    a rough page) every page counts, and what is blank is marked as missing. Of paper work only
    the pages handed in are marked. A slip costs its mark once: what follows from it is carried.
    """
    study = Study(work)
    remarks = (
        *mark_table(study),
        *mark_graph(study),
        *mark_plan(study),
        *mark_line_answers(study),
        *mark_half_range(study),
        *mark_energy(study),
        *mark_written(study, criteria),
    )
    pages = handed_in(work)
    kept = [remark for remark in remarks if remark.page in pages]
    return Feedback(tuple(sorted(kept, key=lambda remark: PAGES.index(remark.page))))


def handed_in(work: Work) -> tuple[str, ...]:
    """Pages that are marked: all of them on the bench, of paper work those not left blank."""
    if work.rough is not None:
        return PAGES
    answered = {page for (page, _), text in work.answers.items() if text.strip()}
    if any(text.strip() for text in work.cells.values()):
        answered.add(TABLE)
    if work.graph is not None:
        answered.add(GRAPH)
    return tuple(page for page in PAGES if page in answered)
