"""A student's work, parsed once: what every part of the marking asks, worked out when first asked.

Table, sets, copies and means are read from the work as it stands; the temperature that the book's
questions name is picked here; the own graph is laid beside the own table; and the readings are
judged, for written answers that must agree with them.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from analysis.marking.own_graph import OwnGraph, own_graph
from analysis.marking.own_table import (
    Copies,
    MeanCheck,
    OwnRow,
    OwnTable,
    allowed_places,
    copies,
    mean_checks,
    own_table,
    school_spread,
    table_sets,
)
from analysis.marking.reading_sets import ReadingSet, named_among, reading_sets
from analysis.marking.work import Graph, Work
from analysis.paper.scales import SMALL_SQUARES
from analysis.quantity.units import KIND_OF, centimetres, kelvin, metres
from analysis.statistics.trend import repeatability, verdict

STRAIGHT, CURVED = "straight", "curved"
_LARGEST, _MOST_PLACES = 1e9, 9
"""Numbers above, and places beyond, which nothing was read off a rule; such sets are left out."""


@dataclass(frozen=True)
class OwnReadings:
    """What the readings say of themselves.

    `verdict` as `analysis.statistics.trend` gives it. `spreads_cm` are the half-ranges,
    uncertainties and ranges, and every difference between two repeats; `percentages` the
    uncertainties in per cent; `others_cm` the other numbers that a reason may quote: readings,
    means and the changes of the mean between neighbours. `means_cm` are the means by temperature in
    °C, `bars_cm` their uncertainties (NaN for one reading), `rate_cm_per_c` is the change of the
    mean per degree over the whole range, NaN for one set.
    """

    verdict: str = "cannot be told"
    spreads_cm: tuple[float, ...] = ()
    percentages: tuple[float, ...] = ()
    others_cm: tuple[float, ...] = ()
    means_cm: Mapping[float, float] = field(default_factory=dict)
    bars_cm: Mapping[float, float] = field(default_factory=dict)
    rate_cm_per_c: float = math.nan


@dataclass(frozen=True)
class Study:
    """One piece of work and all that is read from it, each thing once."""

    work: Work

    def again(self, work: Work) -> Study:
        """The study of this student's work as it stands now.

        Where readings, table and graph are as they were, so is all that was found of them: nothing
        here comes from the answers, but what each earned, and that is kept with what it rests on.
        """
        own, later = self.work, Study(work)
        beside = replace(work, answers=own.answers, tries=own.tries, named_c=own.named_c)
        named = work.named_c == own.named_c or later.named_c == self.named_c
        if named and beside == own:
            vars(later).update({**vars(self), "work": work})
        return later

    @cached_property
    def judged(self) -> dict[Hashable, Any]:
        """What answers earned beside these readings, table and graph; the marking keeps it here."""
        return {}

    def answer(self, page: str, question: str) -> str:
        """The answer as written, without the blanks about it; "" where there is none."""
        return self.work.answers.get((page, question), "").strip()

    @cached_property
    def table(self) -> OwnTable:
        """The own results table."""
        return own_table(self.work)

    @cached_property
    def sets(self) -> tuple[ReadingSet, ...]:
        """The repeats at each temperature, coolest first: of the rough page, or of the table."""
        rough = self.work.rough
        return table_sets(self.table) if rough is None else reading_sets(rough)

    @cached_property
    def standing_sets(self) -> tuple[ReadingSet, ...]:
        """The sets without those of which every reading is struck out."""
        return tuple(one for one in self.sets if one.standing_cm or not one.struck_out_cm)

    @property
    def has_rough(self) -> bool:
        """Whether there is a rough page to hold the table against."""
        return self.work.rough is not None

    @cached_property
    def copies(self) -> Copies:
        """The table's rows beside the sets that they copy."""
        return copies(self.table, self.sets)

    @cached_property
    def mean_checks(self) -> tuple[MeanCheck, ...]:
        """How each row's mean follows."""
        return mean_checks(self.table, self.copies if self.has_rough else None)

    @cached_property
    def mean_places(self) -> tuple[int, ...]:
        """The decimal places, in cm, that the means may be written to, fewest first."""
        return allowed_places(self.table)

    @cached_property
    def reading_places(self) -> int:
        """Decimal places, in cm, that the readings were written to."""
        if self.work.rough is None:
            return self.table.places
        return max((one.decimal_places for one in self.work.rough), default=0)

    @cached_property
    def named_c(self) -> float:
        """The temperature, in °C, that the questions name (`named_among`)."""
        return named_among(self.sets, self.work.named_c)

    @cached_property
    def named_set(self) -> ReadingSet | None:
        """The readings at the temperature named; None while there are none."""
        return next((one for one in self.sets if one.low_c <= self.named_c <= one.high_c), None)

    @cached_property
    def named_row(self) -> OwnRow | None:
        """The own table's row for the temperature named; None where it has none."""
        copy = next((one for one in self.copies.sets if one.source == self.named_set), None)
        return copy.rows[0] if copy and copy.rows else None

    @cached_property
    def named_check(self) -> MeanCheck | None:
        """How the mean in that row follows; None where there is no row."""
        return next((one for one in self.mean_checks if one.row == self.named_row), None)

    @cached_property
    def graph(self) -> OwnGraph | None:
        """The own graph beside the own table; None without two axes with a scale."""
        return own_graph(self.work.graph, self.table) if self.work.graph else None

    @cached_property
    def line(self) -> OwnGraph | None:
        """The own graph where it has a line, and heights that are lengths, to read values from."""
        graph = self.graph
        has_line = graph is not None and len(graph.line) >= 2
        return graph if graph and has_line and KIND_OF[graph.height.unit] == "length" else None

    @cached_property
    def line_shapes(self) -> frozenset[str]:
        """What the own line may be called; nothing where there is none."""
        return _shapes(self.work.graph) if self.work.graph else frozenset()

    @cached_property
    def readings(self) -> OwnReadings:
        """What the readings that stand say: of the rough page, or of the table without one."""
        sets = [one for one in self.sets if one.standing_cm and _is_reading(one)]
        if not sets:
            return OwnReadings()
        spreads = school_spread([one.standing_cm for one in sets], self.standing_places)
        found = repeatability(kelvin([one.temperature_c for one in sets]), spreads)
        wide_m = (spreads.half_range_m, spreads.uncertainty_m, spreads.range_m)
        standing_m = metres(np.concatenate([one.standing_cm for one in sets]))
        changes_m = np.abs(np.diff(spreads.mean_m))
        means_cm = centimetres(spreads.mean_m)
        return OwnReadings(
            verdict(found),
            spreads_cm=(*_known(centimetres(np.concatenate(wide_m))), *_differences_cm(sets)),
            percentages=_known(spreads.percentage),
            others_cm=_known(centimetres(np.concatenate((standing_m, spreads.mean_m, changes_m)))),
            means_cm=_by_temperature(sets, means_cm),
            bars_cm=_by_temperature(sets, centimetres(spreads.uncertainty_m)),
            rate_cm_per_c=_rate(sets, means_cm),
        )

    @property
    def standing_places(self) -> int:
        """Decimal places, in cm, of the readings that stand."""
        if self.work.rough is None:
            return min(self.table.places, _MOST_PLACES)
        places = (one.decimal_places for one in self.work.rough if not one.struck_out)
        return min(max(places, default=0), _MOST_PLACES)


def _shapes(graph: Graph) -> frozenset[str]:
    """Two points lay a straight line.

    A free curve that leaves its chord by no more than half a small square may be called either.
    """
    if len(graph.line) < 2:
        return frozenset()
    if len(graph.line) == 2:
        return frozenset({STRAIGHT})
    x, y = np.array(sorted(graph.line), dtype=np.float64).T
    if not (np.abs(np.stack((x, y))) < _LARGEST).all():
        return frozenset()
    run = x[-1] - x[0]
    if run == 0:
        return frozenset({CURVED})
    chord = y[0] + (y[-1] - y[0]) * (x - x[0]) / run
    up = graph.axes.get("up")
    half_square = up.large_square / SMALL_SQUARES / 2.0 if up else 0.0
    flat = bool(np.max(np.abs(y - chord)) <= half_square)
    return frozenset({STRAIGHT, CURVED} if flat else {CURVED})


def _differences_cm(sets: list[ReadingSet]) -> tuple[float, ...]:
    """The differences between two repeats of one temperature, each once."""
    found: set[float] = set()
    for one in sets:
        heights = np.array(one.standing_cm)
        found |= set(np.abs(heights[:, None] - heights[None, :]).round(6).ravel().tolist())
    return tuple(sorted(found - {0.0}))


def _by_temperature(sets: list[ReadingSet], values_cm: np.ndarray) -> dict[float, float]:
    return {one.temperature_c: float(cm) for one, cm in zip(sets, values_cm, strict=True)}


def _rate(sets: list[ReadingSet], mean_cm: np.ndarray) -> float:
    """Change of the mean in cm for each °C, from the coolest to the warmest set."""
    span_c = sets[-1].temperature_c - sets[0].temperature_c
    return float((mean_cm[-1] - mean_cm[0]) / span_c) if span_c > 0 else math.nan


def _is_reading(one: ReadingSet) -> bool:
    return all(abs(value) < _LARGEST for value in (one.temperature_c, *one.standing_cm))


def _known(values: np.ndarray) -> tuple[float, ...]:
    return tuple(float(value) for value in values if np.isfinite(value))
