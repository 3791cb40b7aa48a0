"""What the report says, section by section, before any layout.

Every figure is read from the `Summary`; the sentences about spread and trend come from wording.py
and trend.py. The tables stand in results.py.
"""

import numpy as np

from analysis import extremes, trend, wording, working
from analysis.cautions import CAUTIONS
from analysis.document import Block, Document, Listing, Paragraph, Picture, Section
from analysis.quantity import centimetres, fixed, plus_minus, significant
from analysis.results import energy_table, results_table, spread_table
from analysis.summary import Summary

TITLE = "Rebound height of a ball at different temperatures"


def document(summary: Summary) -> Document:
    """Give the whole report as plain data."""
    sections = (
        _in_short(summary),
        _results(summary),
        _graph(summary),
        _trend(summary),
        _spread(summary),
        _working(summary),
        _energy(summary),
        _unsaid(summary),
        Section("Cautions", (Listing(CAUTIONS),)),
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
        "In short", (Paragraph(trend.sentence(summary.trend), leading=True), Paragraph(taken))
    )


def _results(summary: Summary) -> Section:
    return Section("Results", (results_table(summary),))


def _graph(summary: Summary) -> Section:
    caption = "Large squares are 2 cm and small squares 2 mm when printed at full size on A4."
    return Section("Graph", (Picture(caption, _described(summary)),), new_page=True)


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
        wording.straightness_sentence(said.straightness),
        _gradient_sentence(summary),
        _extremes_sentence(summary),
    ]
    return Section("Trend", tuple(Paragraph(text) for text in texts if text))


def _gradient_sentence(summary: Summary) -> str:
    line = summary.trend.line
    gradient = plus_minus(
        float(centimetres(line.gradient)),
        float(centimetres(line.gradient_uncertainty)),
        "cm per °C",
        3,
    )
    text = (
        f"The straight line of best fit through the means (least squares) has gradient {gradient}"
    )
    if np.isfinite(line.gradient_uncertainty):
        text += " (standard uncertainty)"
    if np.isfinite(line.r_squared) and line.n > 2:
        text += f"; R² = {fixed(float(line.r_squared), 3)}"
    if summary.curved:
        text += "; since the points curve, that is only their average steepness"
    return text + "."


def _extremes_sentence(summary: Summary) -> str:
    found = summary.trend.extremes
    if not np.isfinite(found.steepest_gradient):
        return extremes.reason(found) or ""
    steepest, shallowest, half = (
        significant(float(centimetres(gradient)), figures)
        for gradient, figures in (
            (found.steepest_gradient, 3),
            (found.shallowest_gradient, 3),
            (found.gradient_uncertainty, 2),
        )
    )
    return (
        f"The steepest straight line through all the bars has gradient {steepest} cm per °C, the "
        f"shallowest {shallowest} cm per °C. Half their difference, {half} cm per °C, is the "
        "uncertainty of the gradient as it is found on a graph."
    )


def _spread(summary: Summary) -> Section:
    texts = [
        wording.repeatability_sentence(summary.trend.repeatability),
        _resolution_sentence(summary),
    ]
    if summary.grid.students == 1:
        texts.append(wording.drift_sentence(summary.spread.pooled_drift))
    blocks: list[Block] = [spread_table(summary)]
    return Section("Spread and repeatability", (*blocks, *(Paragraph(t) for t in texts if t)))


def _resolution_sentence(summary: Summary) -> str:
    """Hold the scatter of the repeats against the step that the heights were read to."""
    step_cm = float(centimetres(summary.spread.resolution_m))
    step, half_step = f"{step_cm:g} cm", f"{step_cm / 2:g} cm"
    halves = centimetres(summary.spread.half_range_m)
    halves = halves[np.isfinite(halves)]
    text = (
        f"The heights are read to {step}, so a single reading is uncertain by {half_step} or more"
    )
    if not halves.size:
        return text + "; without repeats nothing shows how much larger its uncertainty really is."
    largest = fixed(float(halves.max()), summary.decimal_places + 1)
    if halves.max() <= step_cm / 2 + 1e-9:
        return (
            f"{text}. No half-range is larger than that (the largest is {largest} cm): the "
            "resolution, not the scatter of the repeats, limits these readings."
        )
    return (
        f"{text}. The largest half-range is {largest} cm: the scatter of the repeats, not the "
        "resolution, limits these readings, and a finer scale alone would not help."
    )


def _working(summary: Summary) -> Section:
    index = working.fullest(summary)
    steps = [working.spread_working(summary, index), working.gradient_working(summary)]
    note = Paragraph(
        "One temperature in full; the others are worked in the same way. Numbers are carried "
        "unrounded and rounded only when written."
    )
    return Section("Working", (note, *(step for step in steps if step)))


def _energy(summary: Summary) -> Section:
    blocks: list[Block] = [_weight_note(summary)]
    blocks += [energy_table(summary), working.energy_working(summary, working.fullest(summary))]
    return Section("Energy", tuple(blocks))


def _weight_note(summary: Summary) -> Paragraph:
    energy, weighed = summary.energies, summary.weighed
    if energy.mass_kg is None:
        return Paragraph(f"The ball's weight was given as {energy.weight_n:g} N.")
    mass = f"{energy.mass_kg * 1000:g} g"
    if weighed.assumed:
        return Paragraph(
            f"No mass was given, so {mass} is assumed, the middle of the range that the sport "
            "allows (23 g to 25 g). Weigh the ball and work again with its own mass."
        )
    return Paragraph(f"The ball's mass was given as {mass}.")


def _unsaid(summary: Summary) -> Section:
    blocks: list[Block] = []
    if summary.cannot_say:
        blocks += [Paragraph("What could not be said, and why:"), Listing(summary.cannot_say)]
    if summary.notices:
        blocks += [Paragraph("Noticed while reading the file:"), Listing(summary.notices)]
    return Section("Limits and notices", tuple(blocks))


def _plural(word: str, count: int) -> str:
    return word if count == 1 else word + "s"
