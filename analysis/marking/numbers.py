"""Numeric answers: the plan, what was taken from the own graph, half-range, energy.

Each file states its tolerance rules: `plan`, `line_answers`, `half_range`, `energy_answers`; how
value, unit and earlier slips share the marks stands in `judging`, how answers are read in `answer`.
"""

from __future__ import annotations

from analysis.marking.energy_answers import mark_energy
from analysis.marking.feedback import Remark
from analysis.marking.half_range import mark_half_range
from analysis.marking.line_answers import mark_line_answers
from analysis.marking.plan import mark_plan
from analysis.marking.work import Work


def mark_numbers(work: Work) -> tuple[Remark, ...]:
    """Mark every numeric answer, in the order of the book."""
    return (
        *mark_plan(work),
        *mark_line_answers(work),
        *mark_half_range(work),
        *mark_energy(work),
    )
