"""What the report says, section by section, before any layout.

Every figure is read from the `Summary`; the sentences about spread and trend come from sentences.py
and trend.py. The tables stand in results.py.

The cautions that every report carries: general good practice with hot water, in our own words.

They never replace the school's own risk assessment. The 50 °C mark follows from how fast hot water
burns skin (Moritz and Henriques 1947, from memory: minutes at 50 °C, seconds at 60 °C).

The working of the calculations, line by line, as a student sets it out.

Numbers are carried unrounded and rounded only when written, except that a step never shows a
difference that its own printed numbers do not give. The energies' working stands in energy.py.
"""

import numpy as np

from analysis.paper.document import Block, Document, Listing, Paragraph, Picture, Section, Working
from analysis.quantity.text import centimetres, fixed, plus_minus, rounded, significant
from analysis.report import sentences
from analysis.report.figures import energy_table, results_table, spread_table
from analysis.report.summary import Summary
from analysis.statistics import energy, trend
from analysis.statistics import line as extremes

CAUTIONS = (
    "The school's own risk assessment and local rules come first; where they differ from this "
    "page, follow them.",
    "Hot water scalds, and so does water that boiled half an hour ago. Use no hotter water than "
    "the readings need, and keep it at 60 °C or below unless the teacher says otherwise.",
    "Above 50 °C handle the ball with tongs, never with the fingers.",
    "Stand up to work with hot water. Keep beaker and kettle away from the edge of the bench and "
    "their leads out of reach, and do not carry hot water through a moving class.",
    "Wear eye protection while hot water is handled.",
    "Wipe up spills at once, and dry the ball and the floor: wet floors are slippery.",
    "If skin is scalded, hold it under cool running water at once and tell the teacher.",
    "These pages judge readings. They do not replace a practical carried out under supervision.",
)

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
        sentences.straightness_sentence(said.straightness),
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
        sentences.repeatability_sentence(summary.trend.repeatability),
        _resolution_sentence(summary),
    ]
    if summary.grid.students == 1:
        texts.append(sentences.drift_sentence(summary.spread.pooled_drift))
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
    index = fullest(summary)
    steps = [spread_working(summary, index), gradient_working(summary)]
    note = Paragraph(
        "One temperature in full; the others are worked in the same way. Numbers are carried "
        "unrounded and rounded only when written."
    )
    return Section("Working", (note, *(step for step in steps if step)))


def _energy(summary: Summary) -> Section:
    blocks: list[Block] = [_weight_note(summary)]
    blocks += [energy_table(summary), energy_working(summary, fullest(summary))]
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


MOST_WRITTEN_OUT = 12
"""A mean of more readings than this is set out with its middle left out."""


def fullest(summary: Summary) -> int:
    """Index of the temperature whose working is shown: most readings, then least flagged, first."""
    flagged = summary.spread.anomalies.flagged.sum(axis=-1)
    return int(np.lexsort((flagged, -summary.spread.n))[0])


def spread_working(summary: Summary, index: int) -> Working:
    """Mean, range, half-range and percentage uncertainty at one temperature."""
    spreads, places = summary.spread, summary.decimal_places
    heights = centimetres(summary.grid.heights_m[index])
    heights = heights[np.isfinite(heights)]
    mean_cm = float(centimetres(spreads.mean_m[index]))
    mean, quoted = fixed(mean_cm, places + 2), fixed(mean_cm, summary.mean_places)
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
    spreads, places = summary.spread, summary.decimal_places
    smallest, largest, extent, half, doubt = (
        float(centimetres(values[index]))
        for values in (
            spreads.smallest_m,
            spreads.largest_m,
            spreads.range_m,
            spreads.half_range_m,
            spreads.uncertainty_m,
        )
    )
    width, half_text = fixed(extent, places), fixed(half, places + 1)
    lines = [
        "range = largest − smallest = "
        f"{fixed(largest, places)} cm − {fixed(smallest, places)} cm = {width} cm",
        f"half-range uncertainty = {width} cm ÷ 2 = {half_text} cm",
    ]
    doubt_text = fixed(doubt, places + 1)
    if doubt_text != half_text:
        lines.append(
            f"uncertainty = {doubt_text} cm, half of the smallest step that the readings were "
            "written to, because the half-range is smaller than that"
        )
    lines += [
        f"percentage uncertainty = {doubt_text} cm ÷ {mean} cm × 100 % = "
        f"{significant(float(spreads.percentage[index]), 2)} %",
        "rebound height = "
        + plus_minus(float(centimetres(spreads.mean_m[index])), doubt, "cm", summary.mean_places)
        + ", the uncertainty to one significant figure",
    ]
    return lines


def gradient_working(summary: Summary) -> Working | None:
    """Work out the gradient by a triangle on the line of best fit; None where there is no line."""
    if not summary.has_line:
        return None
    line, places = summary.trend.line, summary.mean_places + 1
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
        f"{fixed(float(centimetres(line.at(273.15))), places)} cm",
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
        f"uncertainty of the gradient = ({steepest} − {shallowest}) cm per °C ÷ 2 = "
        f"{significant(half, 2)} cm per °C",
        "gradient = "
        + plus_minus(float(centimetres(summary.trend.line.gradient)), half, "cm per °C", 3),
    ]


def energy_working(summary: Summary, index: int) -> Working:
    """Energy before and after the bounce and what was transferred, at one temperature."""
    title = f"Energy at {summary.temperature_texts[index]} °C"
    lines = energy.working(summary.energies, index)
    return Working(title, tuple(line.replace(" - ", " − ") for line in lines))


def _sum_of(heights: np.ndarray, places: int) -> str:
    texts = [fixed(float(height), places) for height in heights]
    if len(texts) > MOST_WRITTEN_OUT:
        texts = [*texts[:4], "…", *texts[-2:]]
    return " + ".join(texts)
