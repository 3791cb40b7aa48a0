"""Figures written out: summary.csv, the terminal's, the report's and the contrast's tables, JSON.

A table is a list of entries of the catalogue, some by a shorter name or to fewer places than
elsewhere because paper is narrow. A dash stands where a figure cannot be given. In the JSON a
figure is {"value": number, "unit": text}; one that cannot be given is {"value": null, "unit": text,
"reason": sentence}. NaN and infinity never appear.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from analysis.paper.document import Table, plain_lines, table_csv
from analysis.quantity.headings import TEMPERATURE, heading_text
from analysis.quantity.units import MISSING, celsius, centimetres, fixed, plain, ratio
from analysis.report import sentences
from analysis.report.figures import (
    ANOMALIES,
    AS_READ,
    CATALOGUE,
    FILES,
    ROW,
    FigureEntry,
    Places,
    Worked,
    column_texts,
    listed,
)
from analysis.report.summary import Precision, Summary
from analysis.statistics.two_procedures import Contrast

MOST_REPEATS = 10
"""More columns than this cannot be read on A4."""

MOST_ROWS = 100
"""A longer table is cut here, and says so: the whole of it is in summary.csv."""

ANOMALY_MARK = "*"

IN_THE_TERMINAL = tuple(map(listed, ("n", "mean", "half_range", "percentage_uncertainty")))
IN_THE_SUMMARY = (
    *map(listed, ("n", "mean", "smallest", "largest", "range", "half_range")),
    *map(listed, ("percentage_uncertainty", "standard_deviation", "standard_uncertainty")),
    ANOMALIES,
    *map(listed, ("drift.slope", "energy.energy_before", "energy_after", "energy_transferred")),
    listed("restitution"),
)
_MEAN = listed("mean", "mean height")
_RESULTS = (_MEAN, listed("half_range", "half-range"))
_SPREAD = (
    *map(listed, ("n", "range", "uncertainty")),
    listed("percentage_uncertainty", places=Places(2, significant=True)),
    *map(listed, ("standard_deviation", "standard_uncertainty")),
)
_ENERGY = (
    _MEAN,
    listed("energy.energy_before", places=Places(3)),
    listed("energy_after", places=Places(3)),
    listed("energy_transferred", places=Places(3)),
    listed("energy_kept", "energy kept", Places(0)),
    listed("restitution", places=Places(2)),
)
_OF_EITHER = (
    listed("mean"),
    listed("half_range", "half-range"),
    listed("standard_deviation"),
)


def summary_csv(summary: Summary) -> bytes:
    """Give the summary, a row a temperature, as a CSV file that spreadsheets open."""
    return table_csv(_figures_table(summary, IN_THE_SUMMARY))


def summary_lines(summary: Summary) -> Iterator[str]:
    """Yield the result for a terminal: what looks wrong, a short table, what follows from it."""
    yield summary.source
    yield from summary.questions
    yield from plain_lines(_figures_table(summary, IN_THE_TERMINAL, most=MOST_ROWS))
    more = len(summary.temperature_c) - MOST_ROWS
    if more > 0:
        yield f"… {more} more temperatures in summary.csv"
    yield sentences.conclusion(summary.trend)
    yield from (f"Not said: {reason}" for reason in summary.cannot_say)
    yield from (f"Noticed: {notice}" for notice in summary.notices)


def results_table(summary: Summary) -> Table:
    """Raw repeats with their mean and half-range, anomalies marked by a sign and a note."""
    caption = "Rebound heights as read, their mean and half-range"
    repeats = summary.grid.heights_m.shape[1]
    notes = _anomaly_notes(summary)
    if repeats > MOST_REPEATS:
        note = f"More than {MOST_REPEATS} repeats: the single readings stay in their file."
        entries = (listed("n"), *_RESULTS)
        return _figures_table(summary, entries, MOST_ROWS, caption, (*notes, note))
    if np.isnan(summary.grid.heights_m).any():
        notes = (*notes, f"{MISSING} no reading was taken, or nothing can be said.")
    table = _figures_table(summary, _RESULTS, MOST_ROWS, caption, notes)
    numbered = [heading_text("height", "cm", number) for number in range(1, repeats + 1)]
    return replace(
        table,
        headings=(table.headings[0], *numbered, *table.headings[1:]),
        rows=tuple(
            (row[0], *_readings(summary, index), *row[1:]) for index, row in enumerate(table.rows)
        ),
    )


def spread_table(summary: Summary) -> Table:
    """Range, half-range, percentage, standard deviation and uncertainty at each temperature."""
    note = (
        "Uncertainty: the half-range, but never less than half the step that the readings are "
        "written to."
    )
    return _figures_table(summary, _SPREAD, MOST_ROWS, "Spread of the repeats", (note,))


def energy_table(summary: Summary) -> Table:
    """Energies before and after the bounce at each temperature."""
    notes = (
        "Before: gravitational potential energy at the drop height; after: at the mean rebound "
        "height. What is transferred goes to the surroundings and the ball, mostly by heating.",
        "Coefficient of restitution: the square root of rebound height ÷ drop height (air "
        "resistance left out).",
    )
    caption = "Energy before and after the bounce"
    return _figures_table(summary, _ENERGY, MOST_ROWS, caption, notes)


def contrast_table(contrast: Contrast, names: tuple[str, str], decimal_places: int) -> Table:
    """Both procedures, a row a temperature; `decimal_places` are those of the readings, in cm."""
    precision = Precision(decimal_places, decimal_places + 1)
    temperatures = tuple(plain(float(t)) for t in celsius(contrast.temperatures_k))
    columns = {heading_text(TEMPERATURE, "°C"): temperatures}
    for name, spread in zip(names, (contrast.spread_a, contrast.spread_b), strict=True):
        for entry in _OF_EITHER:
            columns[entry.heading(f", {name}")] = column_texts(entry, Worked(spread), precision)
    deviations = ratio(
        contrast.spread_b.standard_deviation_m, contrast.spread_a.standard_deviation_m
    )
    columns[f"standard deviation, {names[1]} over {names[0]}"] = tuple(
        fixed(float(value), 2) for value in deviations
    )
    return Table("", tuple(columns), tuple(zip(*columns.values(), strict=True)))


def _figures_table(
    summary: Summary,
    entries: Sequence[FigureEntry],
    most: int | None = None,
    caption: str = "",
    notes: tuple[str, ...] = (),
) -> Table:
    """A row a temperature, all of them or the first `most`; then a note says so."""
    texts = [summary.temperature_texts[:most]]
    texts += [column_texts(entry, summary, summary.precision, most) for entry in entries]
    headings = (heading_text(TEMPERATURE, "°C"), *(entry.heading() for entry in entries))
    cut = _cut_short(summary) if most else ()
    return Table(caption, headings, tuple(zip(*texts, strict=True)), (*notes, *cut))


def _readings(summary: Summary, index: int) -> tuple[str, ...]:
    """The readings at one temperature as they were written, those flagged with their sign."""
    flagged = summary.spread.anomalies.flagged[index]
    heights_cm = centimetres(summary.grid.heights_m[index])
    return tuple(
        AS_READ.text(float(height), summary.precision) + ANOMALY_MARK * bool(flag)
        for height, flag in zip(heights_cm, flagged, strict=True)
    )


def _anomaly_notes(summary: Summary) -> tuple[str, ...]:
    grid = summary.grid
    said = sentences.anomaly_sentences(grid.temperatures_k, summary.spread, grid.heights_m)
    return tuple(f"{ANOMALY_MARK} {sentence}" for sentence in said[:MOST_ROWS])


def _cut_short(summary: Summary) -> tuple[str, ...]:
    rows = len(summary.temperature_texts)
    if rows <= MOST_ROWS:
        return ()
    return (f"The first {MOST_ROWS} of {rows} temperatures; all of them are in summary.csv.",)


_DIGITS = 10  # more would only show the dust of binary arithmetic
_UNKNOWN = "It cannot be worked out from these readings."


def json_document(summary: Summary, files: Sequence[str] = ()) -> dict[str, Any]:
    """Give all figures of a summary, and the files written, as one JSON-ready object."""
    document: dict[str, Any] = {}
    rows: list[dict[str, Any]] = [{} for _ in summary.temperature_c]
    for entry in CATALOGUE:
        found = entry.found(summary)
        if not entry.key.startswith(ROW):
            _put(document, entry.key, _given(summary, entry, found))
            continue
        document["temperatures"] = rows
        for index, row in enumerate(rows):
            _put(row, entry.key.removeprefix(ROW), _given(summary, entry, found[index], index))
    return {**document, FILES.key: list(files)}


def _put(document: dict[str, Any], key: str, value: Any) -> None:
    *ways, last = key.split(".")
    for way in ways:
        document = document.setdefault(way, {})
    document[last] = value


def _given(summary: Summary, entry: FigureEntry, found: Any, index: int = 0) -> Any:
    """One figure with its unit; null and the reason where there is no number."""
    if not entry.unit:
        return found.item() if isinstance(found, np.generic | np.ndarray) else _listed(found)
    if np.ndim(found):
        values = [_shown(float(each)) if math.isfinite(each) else None for each in found]
        return {"value": values, "unit": entry.unit}
    number = float(found)
    if math.isfinite(number):
        return {"value": _shown(number), "unit": entry.unit}
    reason = _reason(summary, entry.key.rpartition(".")[0], index)
    return {"value": None, "unit": entry.unit, "reason": reason or _UNKNOWN}


def _listed(found: Any) -> Any:
    return list(found) if isinstance(found, tuple) else found


def _shown(number: float) -> float:
    return float(f"{number:.{_DIGITS}g}")


def _reason(summary: Summary, part: str, index: int) -> str | None:
    """Say why a figure of this part of the document cannot be given."""
    match part:
        case "temperatures[]":
            return sentences.spread_reason(summary.spread, index)
        case "drift" | "temperatures[].drift":
            return sentences.drift_reason(summary.grid.students)
        case "trend":
            return sentences.trend_reason(summary.trend)
        case "straightness" if summary.shape == "cannot be told":
            return sentences.straightness_sentence(summary.trend.straightness)
        case "energy":
            return "The weight was given in place of the mass."
        case _:
            return None
