"""Any document as a PDF on A4 that prints in true size.

A document's sections follow one another and break where a page is full, or have a sheet each.
Blocks that only a screen shows (judgements, quotations, legends, bars) have no printed form.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, singledispatch
from io import BytesIO
from itertools import accumulate
from typing import TYPE_CHECKING

from fpdf import FPDF
from fpdf.enums import XPos, YPos
from fpdf.fonts import FontFace, TTFFont
from fpdf.prefs import ViewerPreferences

from analysis.paper.document import (
    LINE_MM,
    MARGIN_MM,
    Blanks,
    Drawing,
    EmptyTable,
    Listing,
    Paragraph,
    Picture,
    RuledLines,
    Space,
    Subheading,
    Table,
    Terms,
    Working,
    typeset,
)
from analysis.paper.typeface import typeface_file

if TYPE_CHECKING:
    from analysis.paper.document import Block, Document, Section

FONT = "DejaVu"
THIN_MM, DRAWN_MM, RULE_MM = 0.15, 0.25, 0.4
SMALL_MM, HEADING_MM = 4.5, 6.0
INDENT_MM, TERM_MM, GAP_MM, NAME_MM = 5.0, 52.0, 5.0, 62.0
OWNER_POINTS = 11.0
FOOTER_MM = 4.0
BELOW_MM = 3.0
"""The numbers of pages that flow stand so much lower, in the margin."""
PICTURE_DOTS_PER_INCH = 300
MOST_WIDE_COLUMNS = 8
"""A table of more columns is set smaller."""


@dataclass(frozen=True)
class TypeSizes:
    """Sizes of letters in points, and distances in millimetres."""

    title: float
    section: float
    heading: float
    leading: float
    body: float
    small: float
    line_mm: float
    before_heading_mm: float
    after_mm: float
    after_item_mm: float


FLOWING = TypeSizes(15, 13, 10, 10.5, 9.5, 8, 5.0, 3.0, 1.5, 0.0)
SHEETS = TypeSizes(20, 14, 11.5, 12.5, 10.5, 9, 5.2, 2.0, 2.0, 0.6)


def pdf_bytes(document: Document) -> bytes:
    """Give the document as the bytes of a PDF. Raises Refused where its typeface is missing."""
    pdf = _Paper(document)
    if document.sheets:
        for section in document.sections:
            pdf.add_page()
            _entitle_sheet(pdf, section)
            _put_all(pdf, section)
    else:
        pdf.add_page()
        pdf.lettered(pdf.sizes.title, bold=True)
        pdf.written(document.title, 7)
        pdf.lettered(pdf.sizes.body)
        pdf.written(document.subtitle, pdf.sizes.line_mm)
        for section in document.sections:
            _entitle_section(pdf, section)
            _put_all(pdf, section)
    return bytes(pdf.output())


def missing_letters(text: str) -> str:
    """The letters of a text that the printed font lacks, in order."""
    return "".join(letter for letter in text if ord(letter) not in _letters())


@cache
def _letters() -> frozenset[int]:
    pdf = FPDF()
    pdf.add_font(FONT, "B", typeface_file(bold=True))
    (font,) = pdf.fonts.values()
    assert isinstance(font, TTFFont)
    letters = frozenset(font.cmap)
    font.close()
    return letters


class _Paper(FPDF):
    """A4 in the font of our printed pages, with margins, in black."""

    def __init__(self, document: Document) -> None:
        super().__init__(orientation="portrait", unit="mm", format="A4")
        self.document = document
        self.sizes = SHEETS if document.sheets else FLOWING
        self.set_margin(MARGIN_MM)
        self.set_auto_page_break(auto=not document.sheets, margin=MARGIN_MM + BELOW_MM)
        self.add_font(FONT, "", typeface_file())
        self.add_font(FONT, "B", typeface_file(bold=True))
        self.c_margin = 0
        self.set_line_width(THIN_MM)
        about = f": {document.subtitle}" if document.subtitle else ""
        self.set_title(document.title + about)
        self.set_lang("en-GB")
        if document.sheets:
            self.viewer_preferences = ViewerPreferences(print_scaling="None")  # else 2 mm shrink

    def footer(self) -> None:
        """Print the page's number at its foot."""
        if not self.document.numbered:
            return
        self.lettered(self.sizes.small)
        above = FOOTER_MM if self.document.sheets else -BELOW_MM
        self.set_xy(MARGIN_MM, self.h - MARGIN_MM - above)
        self.cell(0, FOOTER_MM, f"page {self.page_no()} of {{nb}}", align="C")

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

    def headed(self, text: str, points: float) -> None:
        """Write a heading, with room above and below."""
        self.ln(self.sizes.before_heading_mm)
        self.lettered(points, bold=True)
        self.written(text, HEADING_MM)
        self.ln(1)

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

    def make_room(self, height_mm: float) -> None:
        """Go to the next page where so much would run over this one, unless no page holds it."""
        if height_mm < self.eph and self.will_page_break(height_mm):
            self.add_page()


def _entitle_sheet(pdf: _Paper, section: Section) -> None:
    """Head a sheet with its title, and the first of all with the document's."""
    cover = not section.title
    pdf.lettered(pdf.sizes.title if cover else pdf.sizes.section, bold=True)
    pdf.cell(0, 9 if cover else 7, section.title or pdf.document.title)
    if pdf.document.name_line and not cover:
        pdf.lettered(pdf.sizes.small)
        pdf.set_x(pdf.w - MARGIN_MM - NAME_MM)
        pdf.labelled("Name", NAME_MM, 7)
    pdf.set_xy(MARGIN_MM, MARGIN_MM + (10 if cover else 7.5))
    if section.owner:
        _write_owner(pdf, section.owner)
    if not cover:
        pdf.ruled_line(RULE_MM)
    pdf.ln(2.5)


def _write_owner(pdf: _Paper, owner: str) -> None:
    """A name, in its own direction and with its letters joined where the script joins them."""
    lacking = missing_letters(owner)
    shown = "".join("□" if letter in lacking else letter for letter in owner)
    pdf.lettered(OWNER_POINTS, bold=True)
    pdf.set_text_shaping(use_shaping_engine=True)
    while shown and pdf.get_string_width(shown) > pdf.epw:
        shown = f"{shown.rstrip('…')[:-1]}…"
    pdf.cell(0, HEADING_MM, shown)
    pdf.set_text_shaping(use_shaping_engine=False)
    pdf.ln(7)


def _entitle_section(pdf: _Paper, section: Section) -> None:
    if section.new_page:
        pdf.add_page()
    pdf.make_room(12 + section.blocks[0].kept_mm)
    if section.title:
        pdf.headed(section.title, pdf.sizes.section)


def _put_all(pdf: _Paper, section: Section) -> None:
    for block in section.blocks:
        pdf.make_room(block.kept_mm)
        put(block, pdf)


@singledispatch
def put(block: Block, pdf: _Paper) -> None:
    """Set one block from here on, and go below it."""
    raise TypeError(f"{type(block).__name__} has no printed form")


@put.register
def _(block: Subheading, pdf: _Paper) -> None:
    pdf.headed(block.text, pdf.sizes.heading)


@put.register
def _(block: Paragraph, pdf: _Paper) -> None:
    sizes = pdf.sizes
    points = sizes.leading if block.leading else sizes.small if block.small else sizes.body
    pdf.lettered(points, bold=block.leading)
    pdf.written(block.text, sizes.line_mm)
    pdf.ln(sizes.after_mm)


@put.register
def _(block: Listing, pdf: _Paper) -> None:
    pdf.lettered(pdf.sizes.body)
    for item in block.items:
        pdf.cell(INDENT_MM, pdf.sizes.line_mm, "•")
        pdf.written(item, pdf.sizes.line_mm)
        pdf.set_xy(MARGIN_MM, pdf.get_y() + pdf.sizes.after_item_mm)
    pdf.ln(1.5)


@put.register
def _(block: Terms, pdf: _Paper) -> None:
    for term, meaning in block.meanings:
        pdf.lettered(pdf.sizes.body, bold=True)
        pdf.cell(TERM_MM, pdf.sizes.line_mm, term)
        pdf.lettered(pdf.sizes.body)
        pdf.written(meaning, pdf.sizes.line_mm)
        pdf.set_xy(MARGIN_MM, pdf.get_y() + 2.6)
    pdf.ln(3)


@put.register
def _(block: Working, pdf: _Paper) -> None:
    pdf.headed(block.title, pdf.sizes.heading)
    pdf.lettered(pdf.sizes.body)
    for line in block.lines:
        pdf.set_x(MARGIN_MM + INDENT_MM)
        pdf.written(line, 5.5)
    pdf.set_x(MARGIN_MM)
    pdf.ln(1.5)


@put.register
def _(block: Table, pdf: _Paper) -> None:
    pdf.lettered(pdf.sizes.body, bold=True)
    pdf.written(block.caption, HEADING_MM)
    pdf.lettered(pdf.sizes.small - (len(block.headings) > MOST_WIDE_COLUMNS))
    with pdf.table(
        text_align="RIGHT",
        line_height=SMALL_MM,
        padding=1,
        headings_style=FontFace(emphasis="BOLD"),
        col_widths=_widths(block),
    ) as table:
        for texts in (block.headings, *block.rows):
            table.row([typeset(text) for text in texts])
    pdf.ln(1)
    pdf.lettered(pdf.sizes.small)
    for note in block.notes:
        pdf.written(note, SMALL_MM)
    pdf.ln(1.5)


def _widths(block: Table) -> tuple[int, ...]:
    """Share the width out by the longest piece of each heading, so that no word is broken."""
    return tuple(max(map(len, typeset(text).split(" "))) + 3 for text in block.headings)


@put.register
def _(block: Picture, pdf: _Paper) -> None:
    """In true size: the graph fits a page under its heading."""
    # Here, for matplotlib takes longer to load than any page without a graph to be printed.
    from analysis.paper.graph_sheet import picture_png

    file = BytesIO(picture_png(block.figure, PICTURE_DOTS_PER_INCH))
    width_mm, height_mm = block.size_mm
    left_mm = (pdf.w - width_mm) / 2
    pdf.image(file, x=left_mm, w=width_mm, h=height_mm, alt_text=block.text)
    pdf.lettered(pdf.sizes.small)
    pdf.written(block.caption, SMALL_MM)


@put.register
def _(block: Blanks, pdf: _Paper) -> None:
    pdf.lettered(pdf.sizes.body)
    texts_mm = [pdf.get_string_width(label) for label in block.labels]
    gaps_mm = GAP_MM * (len(texts_mm) - 1)
    line_mm = (pdf.epw - sum(texts_mm) - gaps_mm) / len(texts_mm)
    for label, text_mm in zip(block.labels, texts_mm, strict=True):
        pdf.labelled(label, text_mm + line_mm, LINE_MM)
        pdf.set_x(pdf.get_x() + GAP_MM)
    pdf.set_xy(MARGIN_MM, pdf.get_y() + LINE_MM + 2)


@put.register
def _(block: RuledLines, pdf: _Paper) -> None:
    pdf.lettered(pdf.sizes.body, bold=True)
    pdf.written(block.question, pdf.sizes.line_mm)
    if block.hint:
        pdf.lettered(pdf.sizes.small)
        pdf.written(block.hint, SMALL_MM)
    for _line in range(block.lines):
        pdf.ln(LINE_MM)
        pdf.ruled_line()
    pdf.ln(3.5)


@put.register
def _(block: EmptyTable, pdf: _Paper) -> None:
    pdf.lettered(pdf.sizes.body, bold=True)
    pdf.written(block.caption, HEADING_MM)
    top = pdf.get_y() + 0.5
    shared = [pdf.epw * share / sum(block.shares) for share in block.shares]
    edges = [MARGIN_MM + place for place in accumulate(shared, initial=0.0)]
    foot = top + block.heading_mm + block.rows * block.row_mm
    for x in edges:
        pdf.line(x, top, x, foot)
    for y in (top, *(foot - row * block.row_mm for row in range(block.rows + 1))):
        pdf.line(edges[0], y, edges[-1], y)
    pdf.lettered(pdf.sizes.small, bold=True)
    for left, width, text in zip(edges, shared, block.headings, strict=False):
        pdf.set_xy(left + 1.5, top + 1.5)
        pdf.written(text, SMALL_MM, width - 2)
    pdf.lettered(pdf.sizes.small)
    for row, text in enumerate(block.numbers):
        pdf.set_xy(edges[0] + 1.5, top + block.heading_mm + row * block.row_mm)
        pdf.cell(shared[0] - 3, block.row_mm, text)
    pdf.set_xy(MARGIN_MM, foot + 4)


@put.register
def _(block: Space, pdf: _Paper) -> None:
    pdf.lettered(pdf.sizes.body, bold=True)
    pdf.written(block.label, HEADING_MM)
    pdf.rect(MARGIN_MM, pdf.get_y() + 0.5, pdf.epw, block.height_mm)
    pdf.set_xy(MARGIN_MM, pdf.get_y() + block.height_mm + 4)


@put.register
def _(block: Drawing, pdf: _Paper) -> None:
    left, top = MARGIN_MM, pdf.get_y()
    for segment in block.segments:
        pdf.set_line_width(segment.width_mm)
        pdf.set_draw_color(segment.grey)
        pdf.set_dash_pattern(*((1.2, 1.0) if segment.dashed else ()))
        (x1, y1), (x2, y2) = segment.start_mm, segment.end_mm
        pdf.line(left + x1, top + y1, left + x2, top + y2)
    pdf.set_line_width(DRAWN_MM)
    pdf.set_draw_color(0)
    pdf.set_fill_color(255)
    for ring in block.rings:
        x, y = ring.centre_mm
        pdf.circle(left + x, top + y, ring.radius_mm, style="DF")
    pdf.lettered(pdf.sizes.small)
    for label in block.labels:
        x, y = label.at_mm
        pdf.text(left + x - label.ends * pdf.get_string_width(label.text), top + y, label.text)
    pdf.set_line_width(THIN_MM)
    pdf.set_xy(MARGIN_MM, top + block.size_mm[1])
