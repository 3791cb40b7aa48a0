"""The workbook as a PDF on A4, for printing in true size."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fpdf.prefs import ViewerPreferences

from analysis.workbook.pages import MARGIN_MM
from analysis.workbook.setting import SMALL_POINTS, Sheets, put

if TYPE_CHECKING:
    from analysis.workbook.pages import Page, Workbook

TITLE_POINTS, COVER_POINTS = 14.0, 20.0
NAME_MM = 70.0


def printed(book: Workbook) -> bytes:
    """Give the workbook as the bytes of a PDF, one sheet a page.

    Raises RuntimeError where matplotlib's own fonts are not installed.
    """
    pdf = Sheets()
    pdf.set_title(book.title)
    pdf.set_lang("en-GB")
    pdf.viewer_preferences = ViewerPreferences(print_scaling="None")  # else 2 mm shrink
    for number, page in enumerate(book.pages, start=1):
        pdf.add_page()
        _entitle(pdf, page, cover=number == 1, name_line=book.name_line and number > 1)
        for block in page.blocks:
            put(block, pdf)
        _number(pdf, number, len(book.pages))
    return bytes(pdf.output())


def _entitle(pdf: Sheets, page: Page, *, cover: bool, name_line: bool) -> None:
    pdf.lettered(COVER_POINTS if cover else TITLE_POINTS, bold=True)
    pdf.cell(0, 9 if cover else 7, page.title)
    if name_line:
        pdf.lettered(SMALL_POINTS)
        pdf.set_x(pdf.w - MARGIN_MM - NAME_MM)
        pdf.labelled("Name", NAME_MM, 7)
    pdf.set_xy(MARGIN_MM, MARGIN_MM + (10 if cover else 7.5))
    if not cover:
        pdf.ruled_line(0.4)
    pdf.ln(2.5)


def _number(pdf: Sheets, number: int, pages: int) -> None:
    pdf.lettered(SMALL_POINTS)
    pdf.set_xy(MARGIN_MM, pdf.h - MARGIN_MM - 4)
    pdf.cell(0, 4, f"page {number} of {pages}", align="C")
