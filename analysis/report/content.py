"""What the report says, section by section, before any layout.

Every figure is read from the `Summary`; the statements stand in sentences.py, the tables in
tables.py. The calculations are set out here line by line, as a student sets them out: numbers are
carried unrounded and rounded only when written, except that a step never shows a difference that
its own printed numbers do not give.
"""

import numpy as np
from matplotlib.figure import Figure

from analysis.paper.cautions import CAUTIONS
from analysis.paper.document import Block, Document, Listing, Paragraph, Picture, Section, Working
from analysis.quantity.units import (
    ZERO_CELSIUS_K,
    centimetres,
    counted,
    fixed,
    grams,
    percent,
    plain,
    plus_minus,
    rounded,
    significant,
)
from analysis.report import sentences
from analysis.report.summary import Summary
from analysis.report.tables import energy_table, results_table, spread_table

NO_SUBSTITUTE = (
    "These pages judge readings. They do not replace a practical carried out under supervision."
)
TITLE = "Rebound height of a ball at different temperatures"
MOST_WRITTEN_OUT = 12
"""A mean of more readings than this is set out with its middle left out."""


def document(summary: Summary, figure: Figure) -> Document:
    """Give the whole report, with the summary's graph as it was drawn."""
    sections = (
        _in_short(summary),
        Section("Results", (results_table(summary),)),
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
    readings = counted(int(summary.spread.n.sum()), "reading")
    temperatures = counted(len(summary.temperature_c), "temperature")
    drop = f"{fixed(float(centimetres(summary.grid.drop_height_m)), 1).removesuffix('.0')} cm"
    taken = Paragraph(f"{readings} at {temperatures}, drop height {drop}.")
    leading = Paragraph(sentences.conclusion(summary.trend), leading=True)
    asked = (Paragraph(question) for question in summary.questions)
    return Section("In short", (leading, *asked, taken))


def _graph(summary: Summary, figure: Figure) -> Section:
    caption = "Large squares are 2 cm and small squares 2 mm when printed at full size on A4."
    return Section("Graph", (Picture(caption, _described(summary), figure),), new_page=True)


def _described(summary: Summary) -> str:
    """Put the graph in words, for a reader who cannot see it."""
    count = len(summary.temperature_c)
    shown = range(count) if count <= 12 else (*range(6), count - 1)
    means = centimetres(summary.spread.mean_m)
    points = [
        f"{summary.temperature_texts[i]} °C, {fixed(float(means[i]), summary.precision.means)} cm"
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
    ]
    return Section("Trend", tuple(Paragraph(text) for text in texts if text))


def _spread(summary: Summary) -> Section:
    texts = [
        sentences.repeatability_sentence(summary.trend.repeatability),
        sentences.resolution_sentence(summary.spread, summary.precision.readings),
    ]
    if summary.grid.students == 1:
        drift, temperatures_k = summary.spread.pooled_drift, summary.grid.temperatures_k
        texts.append(sentences.drift_sentence(drift, temperatures_k))
    said = (Paragraph(text) for text in texts if text)
    return Section("Spread and repeatability", (spread_table(summary), *said))


def _working(summary: Summary) -> Section:
    index = fullest(summary)
    steps = [spread_working(summary, index), gradient_working(summary)]
    note = Paragraph(
        "One temperature in full; the others are worked in the same way. Numbers are carried "
        "unrounded and rounded only when written."
    )
    return Section("Working", (note, *(step for step in steps if step)))


def _energy(summary: Summary) -> Section:
    said = sentences.weight_sentence(summary.energies, assumed=summary.weighed.assumed)
    working = energy_working(summary, fullest(summary))
    return Section("Energy", (Paragraph(said), energy_table(summary), working))


def _unsaid(summary: Summary) -> Section:
    blocks: list[Block] = []
    if summary.cannot_say:
        blocks += [Paragraph("What could not be said, and why:"), Listing(summary.cannot_say)]
    if summary.notices:
        blocks += [Paragraph("Noticed while reading the file:"), Listing(summary.notices)]
    return Section("Limits and notices", tuple(blocks))


def fullest(summary: Summary) -> int:
    """Index of the temperature whose working is shown: most readings, then least flagged, first."""
    flagged = summary.spread.anomalies.flagged.sum(axis=-1)
    return int(np.lexsort((flagged, -summary.spread.n))[0])


def spread_working(summary: Summary, index: int) -> Working:
    """Mean, range, half-range and percentage uncertainty at one temperature."""
    spreads, places = summary.spread, summary.precision.readings
    heights = centimetres(summary.grid.heights_m[index])
    heights = heights[np.isfinite(heights)]
    mean_cm = float(centimetres(spreads.mean_m[index]))
    mean, quoted = fixed(mean_cm, places + 2), fixed(mean_cm, summary.precision.means)
    total = fixed(float(heights.sum()), places)
    title = f"Mean and uncertainty at {summary.temperature_texts[index]} °C"
    if len(heights) == 1:
        return Working(title, (f"one reading only, so it stands for the mean: {total} cm",))
    lines = [
        f"mean = ({_sum_of(heights, places)}) cm ÷ {len(heights)}",
        f"mean = {total} cm ÷ {len(heights)} = {mean} cm ({quoted} cm in the table)",
    ]
    return Working(title, (*lines, *_range_lines(summary, index, mean)))


def _range_lines(summary: Summary, index: int, mean: str) -> list[str]:
    spreads, places = summary.spread, summary.precision.readings
    smallest, largest, extent, half, doubt, mean_cm = (
        float(centimetres(values[index]))
        for values in (
            spreads.smallest_m,
            spreads.largest_m,
            spreads.range_m,
            spreads.half_range_m,
            spreads.uncertainty_m,
            spreads.mean_m,
        )
    )
    width, half_text = fixed(extent, places), fixed(half, summary.precision.means)
    lines = [
        "range = largest − smallest = "
        f"{fixed(largest, places)} cm − {fixed(smallest, places)} cm = {width} cm",
        f"half-range uncertainty = {width} cm ÷ 2 = {half_text} cm",
    ]
    doubt_text = fixed(doubt, summary.precision.means)
    if doubt_text != half_text:
        lines.append(
            f"uncertainty = {doubt_text} cm, half of the smallest step that the readings were "
            "written to, because the half-range is smaller than that"
        )
    lines += [
        f"percentage uncertainty = {doubt_text} cm ÷ {mean} cm × 100 % = "
        f"{significant(float(spreads.percentage[index]), 2)} %",
        "rebound height = "
        + plus_minus(mean_cm, doubt, "cm", summary.precision.means)
        + ", the uncertainty to one significant figure",
    ]
    return lines


def gradient_working(summary: Summary) -> Working | None:
    """Work out the gradient by a triangle on the line of best fit; None where there is no line."""
    if not summary.has_line:
        return None
    line, places = summary.trend.line, summary.precision.means + 1
    low, high = summary.temperature_texts[0], summary.temperature_texts[-1]
    kelvins = summary.grid.temperatures_k[[0, -1]]
    feet, top = (rounded(float(h), places) for h in centimetres(line.at(kelvins)))
    rise, run = rounded(top - feet, places), float(high) - float(low)
    lines = [
        f"at {low} °C the line stands at {fixed(feet, places)} cm, "
        f"at {high} °C at {fixed(top, places)} cm",
        f"gradient = ({fixed(top, places)} − {_bracketed(fixed(feet, places))}) cm ÷ "
        f"({high} − {low}) °C",
        f"gradient = {fixed(rise, places)} cm ÷ {run:g} °C = "
        f"{significant(rise / run, 3)} cm per °C",
        f"intercept (height of the line at 0 °C) = "
        f"{fixed(float(centimetres(line.at(ZERO_CELSIUS_K))), places)} cm",
    ]
    return Working("Gradient of the line of best fit", tuple(lines + _extreme_lines(summary)))


def _bracketed(number: str) -> str:
    return f"({number})" if number.startswith("-") else number


def _extreme_lines(summary: Summary) -> list[str]:
    """Take the gradient's uncertainty from the steepest and shallowest lines, if any."""
    found = summary.trend.extremes
    if not np.isfinite(found.steepest_gradient):
        return []
    steepest, shallowest = (
        significant(float(centimetres(gradient)), 3)
        for gradient in (found.steepest_gradient, found.shallowest_gradient)
    )
    half = (float(steepest) - float(shallowest)) / 2
    return [
        f"steepest line through all the bars: {steepest} cm per °C",
        f"shallowest line through all the bars: {shallowest} cm per °C",
        f"uncertainty from these lines = ({steepest} − {shallowest}) cm per °C ÷ 2 = "
        f"{significant(half, 2)} cm per °C",
        "gradient = "
        + plus_minus(float(centimetres(summary.trend.line.gradient)), half, "cm per °C", 3),
    ]


def energy_working(summary: Summary, index: int) -> Working:
    """Energy before and after the bounce and what was transferred, at one temperature.

    Three significant figures, each worked from unrounded values, which the last line says.
    """
    energies = summary.energies
    height_m = float(energies.rebound_height_m[index])
    after = significant(float(energies.after_j[index]), 3)
    before = significant(energies.before_j, 3)
    kept = float(energies.fraction[index])
    rise, fall = _metres(height_m), _metres(energies.drop_height_m)
    first, letters, factors = _weight(summary)
    lines = (
        first,
        f"drop height: H = {_in_centimetres(energies.drop_height_m)} cm ÷ 100 = {fall} m",
        f"rebound height: h = {_in_centimetres(height_m)} cm ÷ 100 = {rise} m",
        f"energy before the bounce: {letters} × H = {factors} × {fall} m = {before} J",
        f"energy after the bounce: {letters} × h = {factors} × {rise} m = {after} J",
        f"energy transferred to the surroundings: {before} J − {after} J = "
        f"{significant(float(energies.transferred_j[index]), 3)} J",
        f"fraction of the energy kept (efficiency): {after} J ÷ {before} J = "
        f"{significant(kept, 3)} = {significant(percent(kept), 3)} %",
        f"coefficient of restitution: √(h ÷ H) = √({rise} m ÷ {fall} m) = "
        f"{significant(float(energies.restitution[index]), 3)}",
        "(Results are rounded to three significant figures, each worked from unrounded values.)",
    )
    return Working(f"Energy at {summary.temperature_texts[index]} °C", lines)


def _weight(summary: Summary) -> tuple[str, str, str]:
    """The line that says how heavy the ball is, and its weight in letters and in numbers."""
    energies = summary.energies
    if energies.mass_kg is None:
        weight = f"{plain(energies.weight_n, 5)} N"
        return f"weight of the ball: W = {weight}", "W", weight
    mass, gravity = plain(energies.mass_kg, 6), plain(energies.gravity_n_per_kg or 0.0, 5)
    first = f"mass of the ball: m = {plain(grams(energies.mass_kg), 3)} g ÷ 1000 = {mass} kg"
    return first, "m × g", f"{mass} kg × {gravity} N/kg"


def _sum_of(heights: np.ndarray, places: int) -> str:
    texts = [fixed(float(height), places) for height in heights]
    if len(texts) > MOST_WRITTEN_OUT:
        texts = [*texts[:4], "…", *texts[-2:]]
    return " + ".join(texts)


def _metres(length_m: float) -> str:
    """Write a length in metres to two decimals, more where it has them."""
    return fixed(length_m, max(2, len(plain(length_m, 4).partition(".")[2])))


def _in_centimetres(length_m: float) -> str:
    return plain(float(centimetres(length_m)), 2)
