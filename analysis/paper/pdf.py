"""How each block of a page is set on a sheet of the PDF.

The workbook as a PDF on A4, for printing in true size.

Where the fonts of printed pages come from: matplotlib's own, which hold every sign we use.
"""

from __future__ import annotations

from functools import singledispatch
from importlib.util import find_spec
from itertools import accumulate
from pathlib import Path
from typing import TYPE_CHECKING

from fpdf import FPDF
from fpdf.enums import XPos, YPos
from fpdf.prefs import ViewerPreferences

from analysis.paper.document import (
    LINE_MM,
    MARGIN_MM,
    Answer,
    Blanks,
    Drawing,
    Grid,
    Heading,
    Listing,
    Paragraph,
    Space,
    Terms,
    typeset,
)
from analysis.paper.document import PaperBlock as Block

if TYPE_CHECKING:
    from analysis.paper.document import Page, Workbook


def font_folder() -> Path:
    """Find matplotlib's folder of fonts without loading it.

    Raises RuntimeError where matplotlib is not installed.
    """
    spec = find_spec("matplotlib")
    if spec is None or spec.origin is None:
        raise RuntimeError("matplotlib, whose fonts the PDF is printed in, is not installed")
    return Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf"


FONT = "DejaVu"
LEADING_POINTS, HEADING_POINTS, BODY_POINTS, SMALL_POINTS = 12.5, 11.5, 10.5, 9.0
BODY_MM, SMALL_MM = 5.2, 4.5
THIN_MM, DRAWN_MM = 0.15, 0.25
INDENT_MM, TERM_MM, GAP_MM = 5.0, 52.0, 5.0


class Sheets(FPDF):
    """A4 in the font of our printed pages, with margins, in black, never breaking by itself."""

    def __init__(self) -> None:
        """Start without a page."""
        super().__init__(orientation="portrait", unit="mm", format="A4")
        self.set_margin(MARGIN_MM)
        self.set_auto_page_break(auto=False)
        for style, name in (("", "DejaVuSans.ttf"), ("B", "DejaVuSans-Bold.ttf")):
            self.add_font(FONT, style, str(font_folder() / name))
        self.c_margin = 0
        self.set_line_width(THIN_MM)

    def lettered(self, points: float, *, bold: bool = False) -> None:
        """Choose the size of what is written next."""
        self.set_font(FONT, "B" if bold else "", points)

    def written(self, text: str, height_mm: float, width_mm: float = 0.0) -> None:
        """Write text from here, as wide as the page or narrower, and go below it."""
        left = self.get_x()
        self.multi_cell(
            width_mm, height_mm, typeset(text), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT
        )
        self.set_x(left)

    def ruled_line(self, width_mm: float = THIN_MM) -> None:
        """Rule a line across the page here."""
        self.set_line_width(width_mm)
        self.line(MARGIN_MM, self.get_y(), self.w - MARGIN_MM, self.get_y())
        self.set_line_width(THIN_MM)

    def labelled(self, label: str, width_mm: float, height_mm: float) -> None:
        """Write a label, and rule a line behind it to the end of the width; go to that end."""
        left, foot = self.get_x(), self.get_y() + height_mm - 1.6
        text_mm = self.get_string_width(label) + 2
        self.cell(text_mm, height_mm, label)
        self.line(left + text_mm, foot, left + width_mm, foot)
        self.set_x(left + width_mm)


@singledispatch
def put(block: Block, pdf: Sheets) -> None:
    """Set one block from here on, and go below it."""
    raise TypeError(f"{type(block).__name__} is no block of a page")


@put.register
def _(block: Paragraph, pdf: Sheets) -> None:
    pdf.lettered(LEADING_POINTS if block.leading else BODY_POINTS, bold=block.leading)
    pdf.written(block.text, BODY_MM)
    pdf.ln(2)


@put.register
def _(block: Listing, pdf: Sheets) -> None:
    pdf.lettered(BODY_POINTS)
    for item in block.items:
        pdf.cell(INDENT_MM, BODY_MM, "•")
        pdf.written(item, BODY_MM)
        pdf.set_xy(MARGIN_MM, pdf.get_y() + 0.6)
    pdf.ln(1.5)


@put.register
def _(block: Heading, pdf: Sheets) -> None:
    pdf.ln(2)
    pdf.lettered(HEADING_POINTS, bold=True)
    pdf.written(block.text, 6)
    pdf.ln(1)


@put.register
def _(block: Blanks, pdf: Sheets) -> None:
    pdf.lettered(BODY_POINTS)
    texts_mm = [pdf.get_string_width(label) for label in block.labels]
    gaps_mm = GAP_MM * (len(texts_mm) - 1)
    line_mm = (pdf.epw - sum(texts_mm) - gaps_mm) / len(texts_mm)
    for label, text_mm in zip(block.labels, texts_mm, strict=True):
        pdf.labelled(label, text_mm + line_mm, LINE_MM)
        pdf.set_x(pdf.get_x() + GAP_MM)
    pdf.set_xy(MARGIN_MM, pdf.get_y() + LINE_MM + 2)


@put.register
def _(block: Answer, pdf: Sheets) -> None:
    pdf.lettered(BODY_POINTS, bold=True)
    pdf.written(block.question, BODY_MM)
    if block.hint:
        pdf.lettered(SMALL_POINTS)
        pdf.written(block.hint, SMALL_MM)
    for _line in range(block.lines):
        pdf.ln(LINE_MM)
        pdf.ruled_line()
    pdf.ln(3.5)


@put.register
def _(block: Grid, pdf: Sheets) -> None:
    pdf.lettered(BODY_POINTS, bold=True)
    pdf.written(block.caption, 6)
    top = pdf.get_y() + 0.5
    shared = [pdf.epw * share / sum(block.shares) for share in block.shares]
    edges = [MARGIN_MM + place for place in accumulate(shared, initial=0.0)]
    foot = top + block.heading_mm + block.rows * block.row_mm
    for x in edges:
        pdf.line(x, top, x, foot)
    for y in (top, *(foot - row * block.row_mm for row in range(block.rows + 1))):
        pdf.line(edges[0], y, edges[-1], y)
    pdf.lettered(SMALL_POINTS, bold=True)
    for left, width, text in zip(edges, shared, block.headings, strict=False):
        pdf.set_xy(left + 1.5, top + 1.5)
        pdf.written(text, SMALL_MM, width - 2)
    pdf.lettered(SMALL_POINTS)
    for row, text in enumerate(block.numbers):
        pdf.set_xy(edges[0] + 1.5, top + block.heading_mm + row * block.row_mm)
        pdf.cell(shared[0] - 3, block.row_mm, text)
    pdf.set_xy(MARGIN_MM, foot + 4)


@put.register
def _(block: Space, pdf: Sheets) -> None:
    pdf.lettered(BODY_POINTS, bold=True)
    pdf.written(block.label, 6)
    pdf.rect(MARGIN_MM, pdf.get_y() + 0.5, pdf.epw, block.height_mm)
    pdf.set_xy(MARGIN_MM, pdf.get_y() + block.height_mm + 4)


@put.register
def _(block: Drawing, pdf: Sheets) -> None:
    left, top = MARGIN_MM, pdf.get_y()
    for stroke in block.strokes:
        pdf.set_line_width(stroke.width_mm)
        pdf.set_draw_color(stroke.grey)
        pdf.set_dash_pattern(*((1.2, 1.0) if stroke.dashed else ()))
        (x1, y1), (x2, y2) = stroke.start_mm, stroke.end_mm
        pdf.line(left + x1, top + y1, left + x2, top + y2)
    pdf.set_line_width(DRAWN_MM)
    pdf.set_draw_color(0)
    pdf.set_fill_color(255)
    for ring in block.rings:
        x, y = ring.centre_mm
        pdf.circle(left + x, top + y, ring.radius_mm, style="DF")
    pdf.lettered(SMALL_POINTS)
    for label in block.labels:
        x, y = label.at_mm
        pdf.text(left + x - label.ends * pdf.get_string_width(label.text), top + y, label.text)
    pdf.set_line_width(THIN_MM)
    pdf.set_xy(MARGIN_MM, top + block.size_mm[1])


@put.register
def _(block: Terms, pdf: Sheets) -> None:
    for term, meaning in block.meanings:
        pdf.lettered(BODY_POINTS, bold=True)
        pdf.cell(TERM_MM, BODY_MM, term)
        pdf.lettered(BODY_POINTS)
        pdf.written(meaning, BODY_MM)
        pdf.set_xy(MARGIN_MM, pdf.get_y() + 2.6)
    pdf.ln(3)


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
