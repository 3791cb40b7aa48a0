"""The workbook as one self-contained HTML file that prints on A4, the graph paper in true size."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from jinja2 import Environment, StrictUndefined, Template

from analysis.paper.document import LINE_MM, MARGIN_MM, PAPER_MM, typeset

if TYPE_CHECKING:
    from analysis.paper.document import Workbook


def page_html(book: Workbook) -> str:
    """Give the workbook as HTML: style and graph paper inside, no script, nothing fetched."""
    return _template().render(book=book, paper_mm=PAPER_MM, margin_mm=MARGIN_MM, line_mm=LINE_MM)


@cache
def _template() -> Template:
    source = Path(__file__).with_name("page.html.jinja").read_text(encoding="utf-8")
    environment = Environment(
        autoescape=True, trim_blocks=True, lstrip_blocks=True, undefined=StrictUndefined
    )
    environment.filters.update(typeset=typeset)
    return environment.from_string(source)
