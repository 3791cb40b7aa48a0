"""The whole workbook, page by page."""

from __future__ import annotations

from analysis.workbook.answers import answers
from analysis.workbook.beginning import TITLE, beginning
from analysis.workbook.pages import Plan, Workbook
from analysis.workbook.readings import readings
from analysis.workbook.words import words


def workbook(plan: Plan) -> Workbook:
    """Give the blank workbook with room for the readings that are planned."""
    pages = (*beginning(), *readings(plan), *answers(), words())
    return Workbook(TITLE, pages, plan.name_line)
