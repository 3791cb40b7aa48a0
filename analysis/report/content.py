"""What the report says, section by section, before any layout.

Every figure is read from the `Summary`; the statements stand in sentences.py, the tables in
tables.py, the calculations in working.py.
"""

from matplotlib.figure import Figure

from analysis.paper.cautions import CAUTIONS
from analysis.paper.document import Block, Document, Listing, Paragraph, Picture, Section
from analysis.quantity.text import fixed
from analysis.quantity.units import centimetres
from analysis.report import sentences
from analysis.report.summary import Summary
from analysis.report.tables import energy_table, results_table, spread_table
from analysis.report.working import energy_working, fullest, gradient_working, spread_working

NO_SUBSTITUTE = (
    "These pages judge readings. They do not replace a practical carried out under supervision."
)
TITLE = "Rebound height of a ball at different temperatures"


def document(summary: Summary, figure: Figure) -> Document:
    """Give the whole report, with the summary's graph as it was drawn."""
    sections = (
        _in_short(summary),
        _results(summary),
        _graph(summary, figure),
        _trend(summary),
        _spread(summary),
        _working(summary),
        _energy(summary),
        _unsaid(summary),
        Section("Cautions", (Listing((*CAUTIONS, NO_SUBSTITUTE)),)),
    )
    return Document(
        title=TITLE,
        subtitle=f"Readings: {summary.source}",
        sections=tuple(section for section in sections if section.blocks),
    )


def _in_short(summary: Summary) -> Section:
    count, temperatures = int(summary.spread.n.sum()), len(summary.temperature_c)
    drop = f"{fixed(float(centimetres(summary.grid.drop_height_m)), 1).removesuffix('.0')} cm"
    taken = (
        f"{count} {_plural('reading', count)} at {temperatures} "
        f"{_plural('temperature', temperatures)}, drop height {drop}."
    )
    return Section(
        "In short", (Paragraph(sentences.conclusion(summary.trend), leading=True), Paragraph(taken))
    )


def _results(summary: Summary) -> Section:
    return Section("Results", (results_table(summary),))


def _graph(summary: Summary, figure: Figure) -> Section:
    caption = "Large squares are 2 cm and small squares 2 mm when printed at full size on A4."
    return Section("Graph", (Picture(caption, _described(summary), figure),), new_page=True)


def _described(summary: Summary) -> str:
    """Put the graph in words, for a reader who cannot see it."""
    count = len(summary.temperature_c)
    shown = range(count) if count <= 12 else (*range(6), count - 1)
    means = centimetres(summary.spread.mean_m)
    points = [
        f"{summary.temperature_texts[i]} °C, {fixed(float(means[i]), summary.mean_places)} cm"
        for i in shown
    ]
    if count > len(points):
        points.insert(-1, "and so on to")
    return "Graph of mean rebound height against temperature. Points: " + "; ".join(points) + "."


def _trend(summary: Summary) -> Section:
    if not summary.has_line:
        return Section("Trend", ())
    said = summary.trend
    texts = [
        sentences.straightness_sentence(said.straightness),
        sentences.gradient_sentence(said, curved=summary.curved),
        sentences.extremes_sentence(said.extremes),
    ]
    return Section("Trend", tuple(Paragraph(text) for text in texts if text))


def _spread(summary: Summary) -> Section:
    texts = [
        sentences.repeatability_sentence(summary.trend.repeatability),
        sentences.resolution_sentence(summary.spread, summary.decimal_places),
    ]
    if summary.grid.students == 1:
        texts.append(sentences.drift_sentence(summary.spread.pooled_drift))
    blocks: list[Block] = [spread_table(summary)]
    return Section("Spread and repeatability", (*blocks, *(Paragraph(t) for t in texts if t)))


def _working(summary: Summary) -> Section:
    index = fullest(summary)
    steps = [spread_working(summary, index), gradient_working(summary)]
    note = Paragraph(
        "One temperature in full; the others are worked in the same way. Numbers are carried "
        "unrounded and rounded only when written."
    )
    return Section("Working", (note, *(step for step in steps if step)))


def _energy(summary: Summary) -> Section:
    energies = summary.energies
    said = sentences.weight_sentence(energies, assumed=summary.weighed.assumed)
    blocks = (
        Paragraph(said),
        energy_table(summary),
        energy_working(summary, fullest(summary)),
    )
    return Section("Energy", blocks)


def _unsaid(summary: Summary) -> Section:
    blocks: list[Block] = []
    if summary.cannot_say:
        blocks += [Paragraph("What could not be said, and why:"), Listing(summary.cannot_say)]
    if summary.notices:
        blocks += [Paragraph("Noticed while reading the file:"), Listing(summary.notices)]
    return Section("Limits and notices", tuple(blocks))


def _plural(word: str, count: int) -> str:
    return word if count == 1 else word + "s"
