"""The result in plain text for a terminal: a short table, the conclusion, what to mind."""

from collections.abc import Iterator

from analysis import trend
from analysis.quantity import MISSING
from analysis.results import MOST_ROWS
from analysis.summary import Summary, summary_columns

SHOWN = (
    "temperature / °C",
    "readings",
    "mean rebound height / cm",
    "half-range uncertainty / cm",
    "percentage uncertainty / %",
)


def plain_lines(summary: Summary) -> Iterator[str]:
    """Yield the lines, without colour and no wider than the table's headings need."""
    columns = [column for column in summary_columns(summary, MOST_ROWS) if column[0] in SHOWN]
    yield summary.source
    yield "  ".join(name for name, _ in columns)
    rows = zip(*(texts for _, texts in columns), strict=True)
    widths = [len(name) for name, _ in columns]
    for row in rows:
        yield "  ".join((text or MISSING).rjust(w) for text, w in zip(row, widths, strict=True))
    more = len(summary.temperature_c) - MOST_ROWS
    if more > 0:
        yield f"… {more} more temperatures in summary.csv"
    yield trend.sentence(summary.trend)
    yield from (f"Not said: {reason}" for reason in summary.cannot_say)
    yield from (f"Noticed: {notice}" for notice in summary.notices)
