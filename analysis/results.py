"""The tables of the report: readings and means, spread, energies."""

import numpy as np

from analysis.document import Table
from analysis.gaps import FloatArray
from analysis.quantity import MISSING, centimetres, fixed, heading, significant
from analysis.summary import Summary
from analysis.wording import anomaly_sentences

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
        middle = _readings(summary, index) if raw else (str(int(spreads.n[index])),)
        rows.append((temperature, *middle, means[index], halves[index]))
    return Table(
        "Rebound heights as read, their mean and half-range",
        headings,
        tuple(rows),
        _notes(summary, raw),
    )


def _readings(summary: Summary, index: int) -> tuple[str, ...]:
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
        _texts(100 * energy.fraction, 0),
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
