"""Every figure of a summary as one JSON-ready object, made from the catalogue.

A figure is {"value": number, "unit": text}; one that cannot be given is {"value": null, "unit":
text, "reason": sentence}. NaN and infinity never appear.
"""

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from analysis.report import sentences
from analysis.report.figures import CATALOGUE, FILES, ROW, FigureEntry
from analysis.report.summary import Summary

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
