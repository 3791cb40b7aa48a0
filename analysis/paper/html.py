"""Any document as one self-contained HTML page that prints on A4: no script, nothing fetched."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from jinja2 import Environment, StrictUndefined, Template
from markupsafe import Markup

from analysis.paper.document import LINE_MM, MARGIN_MM, PAPER_MM, Fill, typeset
from analysis.refusal import harmless_lines

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from analysis.paper.document import Bar, Document

BAR_UNITS = 200
"""Width of a bar in the units of its drawing."""
_FILLS = {
    Fill.SOLID: "#222",
    Fill.HATCHED: "url(#hatched)",
    Fill.CROSSED: "url(#crossed)",
    Fill.OPEN: "#fff",
    Fill.DOTTED: "url(#dotted)",
    Fill.GREY: "#bbb",
}


def page_html(document: Document) -> str:
    """Give the document as HTML, its style and its pictures inside."""
    return _template().render(
        document=document,
        paper_mm=PAPER_MM,
        margin_mm=MARGIN_MM,
        line_mm=LINE_MM,
        bar_units=BAR_UNITS,
    )


def _svg(figure: Figure) -> Markup:
    """Give a graph's SVG element alone, without the XML prologue that HTML does not take."""
    # Here, for matplotlib takes longer to load than any page without a graph to be painted.
    from analysis.paper.graph_sheet import graph_bytes

    text = graph_bytes(figure, "svg").decode("utf-8")
    return Markup(text[text.index("<svg") :])  # matplotlib escapes the text in it


def _pieces(bar: Bar) -> list[tuple[float, float, str]]:
    """Give where each piece of a bar begins, its width, and what it is filled with."""
    pieces, left = [], 0.0
    for share, fill in bar:
        pieces.append((round(left, 2), round(BAR_UNITS * share, 2), _FILLS[fill]))
        left += BAR_UNITS * share
    return pieces


def _shown(value: object) -> object:
    """What stands in a page: text from outside without signs that steer; our own drawings as is."""
    if isinstance(value, str) and not isinstance(value, Markup):
        return harmless_lines(value)
    return value


@cache
def _template() -> Template:
    source = Path(__file__).with_name("page.html.jinja").read_text(encoding="utf-8")
    environment = Environment(
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        undefined=StrictUndefined,
        finalize=_shown,
    )
    environment.filters.update(
        typeset=typeset,
        svg=_svg,
        pieces=_pieces,
        fill=_FILLS.get,
        kind=lambda block: type(block).__name__,
    )
    return environment.from_string(source)
