"""The report as a PDF in a plain print layout, with the document that the HTML prints as well."""

from io import BytesIO
from typing import assert_never

from fpdf import FPDF
from fpdf.enums import XPos, YPos
from fpdf.fonts import FontFace
from matplotlib.figure import Figure

from analysis.paper.document import (
    Block,
    Document,
    Listing,
    Paragraph,
    Picture,
    Table,
    Working,
    typeset,
)
from analysis.paper.pdf import font_folder
from analysis.paper.scales import MM_PER_INCH
from analysis.report.graph import picture_png

MARGIN_MM = 15.0
FONT = "DejaVu"
BODY_POINTS, SMALL_POINTS, DENSE_POINTS = 9.5, 8.0, 7.0
PICTURE_DOTS_PER_INCH = 300


def printed(document: Document, figure: Figure) -> bytes:
    """Give the document as the bytes of a PDF on A4, the graph in true size.

    Raises RuntimeError where matplotlib's own fonts are not installed.
    """
    pdf = _page(document)
    _entitle(pdf, document)
    for section in document.sections:
        if section.new_page:
            pdf.add_page()
        _make_room(pdf, 12 + _height_mm(section.blocks[0], figure))
        _heading(pdf, section.title, 13)
        for block in section.blocks:
            _print(pdf, block, figure)
    return bytes(pdf.output())


class _Page(FPDF):
    """An A4 page that numbers itself."""

    def footer(self) -> None:
        """Print the page number at the foot."""
        self.set_y(-MARGIN_MM + 3)
        self.set_font(FONT, size=SMALL_POINTS)
        self.cell(0, 5, f"page {self.page_no()} of {{nb}}", align="C")


def _page(document: Document) -> _Page:
    pdf = _Page(orientation="portrait", unit="mm", format="A4")
    pdf.set_margin(MARGIN_MM)
    pdf.set_auto_page_break(auto=True, margin=MARGIN_MM + 3)
    for style, name in (("", "DejaVuSans.ttf"), ("B", "DejaVuSans-Bold.ttf")):
        pdf.add_font(FONT, style, str(font_folder() / name))
    pdf.c_margin = 0
    pdf.set_line_width(0.15)
    pdf.set_title(f"{document.title}: {document.subtitle}")
    pdf.set_lang("en-GB")
    pdf.add_page()
    return pdf


def _entitle(pdf: FPDF, document: Document) -> None:
    pdf.set_font(FONT, "B", 15)
    _write(pdf, document.title, 7)
    pdf.set_font(FONT, size=BODY_POINTS)
    _write(pdf, document.subtitle, 5)


def _heading(pdf: FPDF, text: str, points: float) -> None:
    pdf.ln(3)
    pdf.set_font(FONT, "B", points)
    _write(pdf, text, 6)
    pdf.ln(1)


def _make_room(pdf: FPDF, height_mm: float) -> None:
    """Go to the next page where so much would run over this one, unless no page holds it."""
    if height_mm < pdf.eph and pdf.will_page_break(height_mm):
        pdf.add_page()


def _height_mm(block: Block, figure: Figure) -> float:
    """Tell about how much of a page a block takes, for keeping it in one piece."""
    match block:
        case Table():
            return 20.0 + 6.5 * len(block.rows)
        case Working():
            return 12.0 + 5.5 * len(block.lines)
        case Picture():
            return float(figure.get_size_inches()[1]) * MM_PER_INCH + 8.0
        case Listing():
            return 5.0
        case Paragraph():
            return 10.0
        case _:
            assert_never(block)


def _print(pdf: FPDF, block: Block, figure: Figure) -> None:
    _make_room(pdf, _height_mm(block, figure))
    match block:
        case Paragraph():
            pdf.set_font(FONT, "B" if block.leading else "", 10.5 if block.leading else BODY_POINTS)
            _write(pdf, block.text, 5)
            pdf.ln(1.5)
        case Listing():
            pdf.set_font(FONT, size=BODY_POINTS)
            for item in block.items:
                pdf.cell(5, 5, "•")
                _indent(pdf, (item,), 5)
            pdf.ln(1.5)
        case Working():
            _print_working(pdf, block)
        case Table():
            _print_table(pdf, block)
        case Picture():
            _print_picture(pdf, block, figure)
        case _:
            assert_never(block)


def _print_working(pdf: FPDF, block: Working) -> None:
    _heading(pdf, block.title, 10)
    pdf.set_font(FONT, size=BODY_POINTS)
    _indent(pdf, block.lines, 5.5)
    pdf.ln(1.5)


def _indent(pdf: FPDF, lines: tuple[str, ...], height_mm: float) -> None:
    """Print lines set in from the margin, also where they run over."""
    pdf.set_left_margin(MARGIN_MM + 5)
    for line in lines:
        pdf.set_x(MARGIN_MM + 5)
        _write(pdf, line, height_mm)
    pdf.set_left_margin(MARGIN_MM)
    pdf.set_x(MARGIN_MM)


def _print_table(pdf: FPDF, block: Table) -> None:
    pdf.set_font(FONT, "B", BODY_POINTS)
    _write(pdf, block.caption, 6)
    pdf.set_font(FONT, size=SMALL_POINTS if len(block.headings) <= 8 else DENSE_POINTS)
    with pdf.table(
        text_align="RIGHT",
        line_height=4.5,
        padding=1,
        headings_style=FontFace(emphasis="BOLD"),
        col_widths=_widths(block),
    ) as table:
        table.row([typeset(text) for text in block.headings])
        for texts in block.rows:
            table.row([typeset(text) for text in texts])
    pdf.ln(1)
    pdf.set_font(FONT, size=SMALL_POINTS)
    for note in block.notes:
        _write(pdf, note, 4.5)
    pdf.ln(1.5)


def _widths(block: Table) -> tuple[int, ...]:
    """Share the width out by the longest piece of each heading, so that no word is broken."""
    return tuple(max(map(len, typeset(text).split(" "))) + 3 for text in block.headings)


def _print_picture(pdf: FPDF, block: Picture, figure: Figure) -> None:
    """Print the graph in true size; it fits a page under its heading."""
    file = BytesIO(picture_png(figure, PICTURE_DOTS_PER_INCH))
    width_mm, height_mm = (inches * MM_PER_INCH for inches in figure.get_size_inches())
    left_mm = (pdf.w - width_mm) / 2
    pdf.image(file, x=left_mm, w=width_mm, h=height_mm, alt_text=block.text)
    pdf.set_font(FONT, size=SMALL_POINTS)
    _write(pdf, block.caption, 4.5)


def _write(pdf: FPDF, text: str, height_mm: float) -> None:
    pdf.multi_cell(0, height_mm, typeset(text), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
