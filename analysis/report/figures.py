"""Every computed figure with its unit, ready for JSON.

A figure is {"value": number, "unit": text}; one that cannot be given is {"value": null, "unit":
text, "reason": sentence}. NaN and infinity never appear. The keys are listed, with their units and
meanings, in keys.py.

The keys of the JSON document, with their units and meanings: the source of README's table.

A dot leads into an object, [] into each item of a list. Where a unit is named the key holds
{"value", "unit"}, with null and "reason" if there is no number.

The result in plain text for a terminal: a short table, the conclusion, what to mind.

The tables of the report: readings and means, spread, energies.
"""

import math
from collections.abc import Iterator
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from analysis.paper.document import Table
from analysis.quantity.text import MISSING, FloatArray, fixed, heading, significant
from analysis.quantity.units import centimetres, grams, percent
from analysis.report import sentences as wording
from analysis.report.sentences import anomaly_sentences
from analysis.report.summary import Summary, summary_columns
from analysis.statistics import spread as drift
from analysis.statistics import trend as repeatability
from analysis.statistics import trend as straightness
from analysis.statistics.spread import Drift

Figures: TypeAlias = dict[str, Any]

FORMAT = 1
_DIGITS = 10  # more would only show the dust of binary arithmetic
_UNKNOWN = "It cannot be worked out from these readings."


def figures(summary: Summary) -> Figures:
    """Give all figures of a summary as one JSON-ready object."""
    return {
        "format": FORMAT,
        "source": summary.source,
        "drop_height": _cm(summary.grid.drop_height_m),
        "resolution": _cm(summary.spread.resolution_m),
        "students_pooled": summary.grid.students,
        "temperatures": [_row(summary, index) for index in range(len(summary.temperature_c))],
        "drift": _drift(summary.spread.pooled_drift, _drift_reason(summary)),
        "trend": _trend(summary),
        "straightness": _straightness(summary),
        "repeatability": _repeatability(summary),
        "energy": _energy(summary),
        "cannot_say": list(summary.cannot_say),
        "notices": list(summary.notices),
    }


def figure(value: Any, unit: str, reason: str | None = None) -> Figures:
    """Give one figure with its unit; null and the reason where there is no number."""
    number = float(value)
    if math.isfinite(number):
        return {"value": _shown(number), "unit": unit}
    return {"value": None, "unit": unit, "reason": reason or _UNKNOWN}


def _shown(number: float) -> float:
    return float(f"{number:.{_DIGITS}g}")


def _cm(value_m: Any, reason: str | None = None, unit: str = "cm") -> Figures:
    return figure(centimetres(value_m), unit, reason)


def _row(summary: Summary, index: int) -> Figures:
    """All figures of one temperature."""
    spreads, energy = summary.spread, summary.energies
    reason = wording.spread_reason(spreads, index)
    flagged: NDArray[np.bool_] = spreads.anomalies.flagged[index]
    each = Drift(
        *(
            getattr(spreads.drift, name)[index]
            for name in (
                "slope_m_per_repeat",
                "uncertainty_m_per_repeat",
                "degrees_of_freedom",
                "p",
            )
        )
    )
    return {
        "temperature": figure(summary.temperature_c[index], "°C"),
        "readings": _readings(summary, index),
        "n": int(spreads.n[index]),
        "mean": _cm(spreads.mean_m[index], reason),
        "smallest": _cm(spreads.smallest_m[index], reason),
        "largest": _cm(spreads.largest_m[index], reason),
        "range": _cm(2 * spreads.half_range_m[index], reason),
        "half_range": _cm(spreads.half_range_m[index], reason),
        "uncertainty": _cm(spreads.uncertainty_m[index], reason),
        "percentage_uncertainty": figure(spreads.percentage[index], "%", reason),
        "standard_deviation": _cm(spreads.standard_deviation_m[index], reason),
        "standard_uncertainty": _cm(spreads.standard_uncertainty_m[index], reason),
        "anomalous_repeats": [int(place) + 1 for place in np.flatnonzero(flagged)],
        "mean_without_anomaly": _cm(spreads.anomalies.mean_without_m[index], reason),
        "drift": _drift(each, _drift_reason(summary)),
        "energy_after": figure(energy.after_j[index], "J", reason),
        "energy_transferred": figure(energy.transferred_j[index], "J", reason),
        "energy_kept": figure(percent(energy.fraction[index]), "%", reason),
        "restitution": figure(energy.restitution[index], "1", reason),
    }


def _readings(summary: Summary, index: int) -> Figures:
    """List the readings in order of their repeats, null for one that was not taken."""
    heights = centimetres(summary.grid.heights_m[index])
    values = [_shown(float(height)) if math.isfinite(height) else None for height in heights]
    return {"value": values, "unit": "cm"}


def _drift_reason(summary: Summary) -> str | None:
    if summary.grid.students > 1:
        return "The readings of several students are pooled, so the order of drops is not known."
    return "There are too few repeats."


def _drift(found: Drift, reason: str | None) -> Figures:
    per_repeat = "cm per repeat"
    return {
        "slope": _cm(found.slope_m_per_repeat, reason, per_repeat),
        "uncertainty": _cm(found.uncertainty_m_per_repeat, reason, per_repeat),
        "p": figure(found.p, "1", reason),
        "suggests": drift.suggests(found),
    }


def _trend(summary: Summary) -> Figures:
    found = summary.trend
    line, lines, reason = found.line, found.extremes, wording.trend_reason(found)
    return {
        "sentence": wording.conclusion(found),
        "gradient": _cm(line.gradient, reason, "cm per °C"),
        "gradient_standard_uncertainty": _cm(line.gradient_uncertainty, reason, "cm per °C"),
        "gradient_p": figure(found.gradient_p, "1", reason),
        "intercept": _cm(line.intercept, reason),
        "intercept_standard_uncertainty": _cm(line.intercept_uncertainty, reason),
        "intercept_p": figure(found.intercept_p, "1", reason),
        "correlation": figure(line.correlation, "1", reason),
        "r_squared": figure(line.r_squared, "1", reason),
        "residual_standard_deviation": _cm(line.residual_sd, reason),
        "steepest_gradient": _cm(lines.steepest_gradient, reason, "cm per °C"),
        "shallowest_gradient": _cm(lines.shallowest_gradient, reason, "cm per °C"),
        "gradient_uncertainty_from_lines": _cm(lines.gradient_uncertainty, reason, "cm per °C"),
    }


def _straightness(summary: Summary) -> Figures:
    found = summary.trend.straightness
    shape = straightness.shape(found)
    reason = wording.straightness_sentence(found) if shape == "cannot be told" else None
    return {
        "shape": shape,
        "test": "lack of fit" if found.from_repeats else "squared term",
        "f": figure(found.statistic, "1", reason),
        "p": figure(found.p, "1", reason),
        "curvature": _cm(found.curvature_m_per_k2, reason, "cm per °C²"),
        "curvature_standard_uncertainty": _cm(found.curvature_uncertainty, reason, "cm per °C²"),
    }


def _repeatability(summary: Summary) -> Figures:
    found = summary.trend.repeatability
    return {
        "verdict": repeatability.verdict(found),
        "neighbours": int(found.pairs),
        "neighbours_apart": int(found.pairs_apart),
        "largest_percentage_uncertainty": figure(found.largest_percentage, "%"),
    }


def _energy(summary: Summary) -> Figures:
    energy = summary.energies
    weighed = "The weight was given in place of the mass."
    mass = math.nan if energy.mass_kg is None else grams(energy.mass_kg)
    field = math.nan if energy.gravity_n_per_kg is None else energy.gravity_n_per_kg
    return {
        "mass": figure(mass, "g", weighed),
        "mass_assumed": summary.weighed.assumed and energy.mass_kg is not None,
        "gravitational_field_strength": figure(field, "N/kg", weighed),
        "weight": figure(energy.weight_n, "N"),
        "energy_before": figure(energy.before_j, "J"),
    }


_ROW = "temperatures[]."

KEYS: tuple[tuple[str, str, str], ...] = (
    ("format", "", "number of this layout; it rises when a key changes its meaning"),
    ("source", "", "name of the readings file"),
    ("drop_height", "cm", "height the ball was dropped from"),
    ("resolution", "cm", "step that the rebound heights were read to"),
    ("students_pooled", "", "how many students' readings are pooled at one temperature, at most"),
    (_ROW + "temperature", "°C", "temperature of one set of repeats"),
    (_ROW + "readings", "cm", "list of the rebound heights by repeat, null for a missing one"),
    (_ROW + "n", "", "how many readings there are"),
    (_ROW + "mean", "cm", "mean rebound height"),
    (_ROW + "smallest", "cm", "smallest reading"),
    (_ROW + "largest", "cm", "largest reading"),
    (_ROW + "range", "cm", "largest less smallest"),
    (_ROW + "half_range", "cm", "half the range: the uncertainty as taught in school"),
    (_ROW + "uncertainty", "cm", "the half-range, but never less than half the resolution"),
    (_ROW + "percentage_uncertainty", "%", "100 x uncertainty / mean"),
    (_ROW + "standard_deviation", "cm", "sample standard deviation (divisor n - 1)"),
    (_ROW + "standard_uncertainty", "cm", "standard deviation / square root of n"),
    (_ROW + "anomalous_repeats", "", "repeats that Grubbs' test flags at 5 % (still counted)"),
    (_ROW + "mean_without_anomaly", "cm", "mean without the flagged reading, else the mean"),
    (_ROW + "drift.slope", "cm per repeat", "change from one repeat to the next, least squares"),
    (_ROW + "drift.uncertainty", "cm per repeat", "standard uncertainty of that slope"),
    (_ROW + "drift.p", "1", "p value of no drift"),
    (_ROW + "drift.suggests", "", "cooling, rising, nothing or cannot be told"),
    (_ROW + "energy_after", "J", "potential energy at the mean rebound height"),
    (_ROW + "energy_transferred", "J", "energy transferred to the surroundings"),
    (_ROW + "energy_kept", "%", "energy after / energy before"),
    (_ROW + "restitution", "1", "coefficient of restitution, square root of height / drop height"),
    ("drift.slope", "cm per repeat", "one common slope for all temperatures"),
    ("drift.uncertainty", "cm per repeat", "standard uncertainty of that slope"),
    ("drift.p", "1", "p value of no drift"),
    ("drift.suggests", "", "cooling, rising, nothing or cannot be told"),
    ("trend.sentence", "", "the conclusion in words"),
    ("trend.gradient", "cm per °C", "gradient of the straight line of best fit through the means"),
    ("trend.gradient_standard_uncertainty", "cm per °C", "standard uncertainty of the gradient"),
    ("trend.gradient_p", "1", "p value of no change with temperature"),
    ("trend.intercept", "cm", "height of the line at 0 °C"),
    ("trend.intercept_standard_uncertainty", "cm", "standard uncertainty of the intercept"),
    ("trend.intercept_p", "1", "p value of 0 cm at 0 °C"),
    ("trend.correlation", "1", "Pearson's r between temperature and mean height"),
    ("trend.r_squared", "1", "share of the means' variance that the line accounts for"),
    ("trend.residual_standard_deviation", "cm", "of the means about the line (divisor n - 2)"),
    ("trend.steepest_gradient", "cm per °C", "steepest straight line through all the bars"),
    ("trend.shallowest_gradient", "cm per °C", "shallowest straight line through all the bars"),
    ("trend.gradient_uncertainty_from_lines", "cm per °C", "half the difference of these two"),
    (
        "straightness.shape",
        "",
        "straight, curves upwards, curves downwards, scattered or cannot be told",
    ),
    ("straightness.test", "", "lack of fit (with repeats) or squared term (without)"),
    ("straightness.f", "1", "F of that test"),
    ("straightness.p", "1", "p value of that test"),
    ("straightness.curvature", "cm per °C²", "coefficient of a squared term"),
    ("straightness.curvature_standard_uncertainty", "cm per °C²", "its standard uncertainty"),
    (
        "repeatability.verdict",
        "",
        "repeatable, partly repeatable, not repeatable or cannot be told",
    ),
    ("repeatability.neighbours", "", "pairs of neighbouring temperatures that could be judged"),
    ("repeatability.neighbours_apart", "", "of these, pairs whose bars do not overlap"),
    ("repeatability.largest_percentage_uncertainty", "%", "largest of the table"),
    ("energy.mass", "g", "mass of the ball"),
    ("energy.mass_assumed", "", "true where no mass was given and 24 g is taken"),
    ("energy.gravitational_field_strength", "N/kg", "g that the weight is worked with"),
    ("energy.weight", "N", "weight of the ball"),
    ("energy.energy_before", "J", "potential energy at the drop height"),
    ("cannot_say", "", "list of sentences: what could not be said, and why"),
    ("notices", "", "list of sentences: what was noticed or mended while reading"),
    ("files", "", "list of the files that were written"),
)


def markdown_table() -> str:
    """Write the keys as a Markdown table."""
    lines = ["| key | unit | meaning |", "|---|---|---|"]
    lines += [f"| `{key}` | {unit or '–'} | {meaning} |" for key, unit, meaning in KEYS]
    return "\n".join(lines) + "\n"


MOST_REPEATS = 10
"""More columns than this cannot be read on A4."""

MOST_ROWS = 100
"""A longer table is cut here, and says so: the whole of it is in summary.csv."""

ANOMALY_MARK = "*"


def results_table(summary: Summary) -> Table:
    """Raw repeats with their mean and half-range, anomalies marked by a sign and a note."""
    spreads = summary.spread
    repeats = summary.grid.heights_m.shape[1]
    raw = repeats <= MOST_REPEATS
    numbers = range(1, repeats + 1) if raw else ()
    headings = (
        heading("temperature", "°C"),
        *(heading(f"height {number}", "cm") for number in numbers),
        *(() if raw else ("readings",)),
        heading("mean height", "cm"),
        heading("half-range", "cm"),
    )
    means = _texts(centimetres(spreads.mean_m), summary.mean_places)
    halves = _texts(centimetres(spreads.half_range_m), summary.decimal_places + 1)
    rows = []
    for index, temperature in enumerate(summary.temperature_texts[:MOST_ROWS]):
        middle = _readings_table(summary, index) if raw else (str(int(spreads.n[index])),)
        rows.append((temperature, *middle, means[index], halves[index]))
    return Table(
        "Rebound heights as read, their mean and half-range",
        headings,
        tuple(rows),
        _notes(summary, raw),
    )


def _readings_table(summary: Summary, index: int) -> tuple[str, ...]:
    flagged = summary.spread.anomalies.flagged[index]
    texts = _texts(centimetres(summary.grid.heights_m[index]), summary.decimal_places)
    return tuple(t + ANOMALY_MARK * bool(f) for t, f in zip(texts, flagged, strict=True))


def _notes(summary: Summary, raw: bool) -> tuple[str, ...]:
    notes = []
    if summary.spread.anomalies.flagged.any():
        said = anomaly_sentences(
            summary.grid.temperatures_k, summary.spread, summary.grid.heights_m
        )
        notes += [f"{ANOMALY_MARK} {sentence}" for sentence in said[:MOST_ROWS]]
    if raw and np.isnan(summary.grid.heights_m).any():
        notes.append(f"{MISSING} no reading was taken, or nothing can be said.")
    if not raw:
        notes.append(f"More than {MOST_REPEATS} repeats: the single readings stay in their file.")
    return (*notes, *_cut_short(summary))


def _cut_short(summary: Summary) -> tuple[str, ...]:
    rows = len(summary.temperature_texts)
    if rows <= MOST_ROWS:
        return ()
    return (f"The first {MOST_ROWS} of {rows} temperatures; all of them are in summary.csv.",)


def spread_table(summary: Summary) -> Table:
    """Range, half-range, percentage, standard deviation and uncertainty at each temperature."""
    spreads, readings, means = summary.spread, summary.decimal_places, summary.mean_places
    columns = (
        summary.temperature_texts,
        tuple(str(int(n)) for n in spreads.n[:MOST_ROWS]),
        _texts(centimetres(2 * spreads.half_range_m), readings),
        _texts(centimetres(spreads.uncertainty_m), readings + 1),
        tuple(significant(float(p), 2) for p in spreads.percentage[:MOST_ROWS]),
        _texts(centimetres(spreads.standard_deviation_m), means + 1),
        _texts(centimetres(spreads.standard_uncertainty_m), means + 1),
    )
    headings = (
        heading("temperature", "°C"),
        "readings",
        heading("range", "cm"),
        heading("uncertainty", "cm"),
        heading("percentage uncertainty", "%"),
        heading("standard deviation", "cm"),
        heading("standard uncertainty of the mean", "cm"),
    )
    note = (
        "Uncertainty: the half-range, but never less than half the step that the readings are "
        "written to."
    )
    return Table("Spread of the repeats", headings, _rows(columns), (note, *_cut_short(summary)))


def energy_table(summary: Summary) -> Table:
    """Energies before and after the bounce at each temperature."""
    energy = summary.energies
    before = np.full(summary.spread.n.shape, energy.before_j)
    columns = (
        summary.temperature_texts,
        _texts(centimetres(energy.rebound_height_m), summary.mean_places),
        _texts(before, 3),
        _texts(energy.after_j, 3),
        _texts(energy.transferred_j, 3),
        _texts(percent(energy.fraction), 0),
        _texts(energy.restitution, 2),
    )
    headings = (
        heading("temperature", "°C"),
        heading("mean height", "cm"),
        heading("energy before", "J"),
        heading("energy after", "J"),
        heading("energy transferred", "J"),
        heading("energy kept", "%"),
        "coefficient of restitution",
    )
    notes = (
        "Before: gravitational potential energy at the drop height; after: at the mean rebound "
        "height. What is transferred goes to the surroundings and the ball, mostly by heating.",
        "Coefficient of restitution: the square root of rebound height ÷ drop height (air "
        "resistance left out).",
    )
    caption = "Energy before and after the bounce"
    return Table(caption, headings, _rows(columns), (*notes, *_cut_short(summary)))


def _rows(columns: tuple[tuple[str, ...], ...]) -> tuple[tuple[str, ...], ...]:
    return tuple(zip(*(column[:MOST_ROWS] for column in columns), strict=True))


def _texts(values: FloatArray, places: int) -> tuple[str, ...]:
    """Write the values of the rows that are shown."""
    return tuple(fixed(float(value), places) for value in values[:MOST_ROWS])


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
    yield wording.conclusion(summary.trend)
    yield from (f"Not said: {reason}" for reason in summary.cannot_say)
    yield from (f"Noticed: {notice}" for notice in summary.notices)
