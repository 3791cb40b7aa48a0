"""The report as one self-contained HTML file that prints on A4, and as a PDF."""

from functools import cache
from pathlib import Path

from jinja2 import Environment, Template
from markupsafe import Markup
from matplotlib.figure import Figure

from analysis.paper.document import typeset
from analysis.report.content import document
from analysis.report.graph import draw, graph_bytes
from analysis.report.summary import Summary


def report_html(summary: Summary, figure: Figure | None = None) -> str:
    """Give the report as HTML: style and graph inside, no script, nothing fetched.

    `figure` is the graph where the caller has drawn it already; else it is drawn here.
    """
    picture = Markup(_inline_svg(figure or draw(summary)))  # matplotlib escapes the text in it
    return _template().render(document=document(summary), picture=picture)


def report_pdf(summary: Summary, figure: Figure | None = None) -> bytes:
    """Give the same report as the bytes of a PDF on A4."""
    from analysis.report.print_report import printed

    return printed(document(summary), figure or draw(summary))


def _inline_svg(figure: Figure) -> str:
    """Give the graph's SVG element alone, without the XML prologue that HTML does not take."""
    text = graph_bytes(figure, "svg").decode("utf-8")
    return text[text.index("<svg") :]


@cache
def _template() -> Template:
    source = Path(__file__).with_name("report.html.jinja").read_text(encoding="utf-8")
    environment = Environment(autoescape=True, trim_blocks=True, lstrip_blocks=True)
    environment.filters["typeset"] = typeset
    return environment.from_string(source)
