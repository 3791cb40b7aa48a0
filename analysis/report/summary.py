"""Everything that can be said about one set of readings, worked out once.

Graph, report, table and JSON all read the one frozen `Summary`, so no two outputs can disagree.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np

from analysis.quantity.units import (
    FloatArray,
    celsius,
    centimetres,
    fixed,
    mean_places,
    resolution_m,
)
from analysis.quantity.written import decimals_needed
from analysis.readings.readings import Grid, Readings, grid
from analysis.report.questions_asked import doubt_sentences
from analysis.report.sentences import cannot_say
from analysis.statistics import trend as straightness
from analysis.statistics.doubtful import Doubtful, Slips, doubtful, find_slips
from analysis.statistics.energy import (
    USUAL_MASS_KG,
    Energies,
    energies,
    energies_from_weight,
)
from analysis.statistics.spread import Drift, Spread, can_cool, spread
from analysis.statistics.trend import Trend, trend


@dataclass(frozen=True)
class Weighed:
    """How heavy the ball is: its mass, or its weight where a newton meter was used."""

    mass_kg: float = USUAL_MASS_KG
    weight_n: float | None = None
    assumed: bool = True  # nobody gave it: the report then says so


class Precision(NamedTuple):
    """Decimal places, in centimetres, of the readings as written, and of means and half-ranges.

    The two stand beside each other, so they have the same: those that the means justify, or one
    more where a half-range of whole steps ends in a half.
    """

    readings: int
    means: int


@dataclass(frozen=True)
class Summary:
    """One set of readings and all that follows from it. Arrays run over the temperatures, (T,)."""

    source: str
    precision: Precision
    grid: Grid
    spread: Spread
    doubtful: Doubtful
    trend: Trend
    curve: FloatArray | None  # height in m = c0 + c1 t + c2 t^2, t in °C; None below 3 temperatures
    energies: Energies
    weighed: Weighed
    notices: tuple[str, ...]
    cannot_say: tuple[str, ...]

    @cached_property
    def temperature_c(self) -> FloatArray:
        """Temperatures in °C, rid of the conversion's noise, (T,)."""
        return np.round(celsius(self.grid.temperatures_k), 6)

    @cached_property
    def temperature_texts(self) -> tuple[str, ...]:
        """The temperatures as text, all to the fewest decimal places that tell them in full."""
        places = next(
            (p for p in (0, 1) if np.allclose(self.temperature_c, np.round(self.temperature_c, p))),
            2,
        )
        return tuple(fixed(float(value), places) for value in self.temperature_c)

    @property
    def questions(self) -> tuple[str, ...]:
        """What is asked of readings that look wrong, before anything else is said."""
        return doubt_sentences(self.doubtful, self.grid, self.trend, self.precision.readings)

    @property
    def shape(self) -> straightness.Shape:
        """Whether a straight line is enough, in a word."""
        return straightness.shape(self.trend.straightness)

    @property
    def curved(self) -> bool:
        """Whether the best fit is drawn as a curve because a straight line is not enough."""
        return self.curve is not None and self.shape in ("curves upwards", "curves downwards")

    @property
    def has_line(self) -> bool:
        """Whether there is a line of best fit at all (two temperatures or more)."""
        return bool(np.isfinite(self.trend.line.gradient))


def summarise(readings: Readings, weighed: Weighed | None = None) -> Summary:
    """Work out everything that the readings allow. Raises Refused where nothing can be said."""
    weighed = weighed or Weighed()
    table = grid(readings)
    slips = find_slips(table.heights_m)
    places = _places_without(slips, table.heights_m, readings.decimal_places)
    step_m = resolution_m(np.where(slips.flagged, np.nan, table.heights_m), places)
    spreads = _in_order_of_drops(
        table, spread(table.heights_m, step_m, can_cool(table.temperatures_k))
    )
    means = mean_places(places, centimetres(spreads.standard_uncertainty_m))
    if _ends_in_halves(spreads.uncertainty_m, places):
        means = places + 1
    trends = trend(table.temperatures_k, spreads)
    return Summary(
        source=readings.source,
        precision=Precision(readings.decimal_places, means),
        grid=table,
        spread=spreads,
        doubtful=doubtful(table.temperatures_k, table.heights_m, slips, spreads.anomalies),
        trend=trends,
        curve=_second_degree(table, spreads),
        energies=_energies(table, spreads, weighed),
        weighed=weighed,
        notices=readings.notices,
        cannot_say=cannot_say(table.temperatures_k, spreads, trends, table.students),
    )


def _ends_in_halves(uncertainty_m: FloatArray, places: int) -> bool:
    """Whether a half-range, in cm, needs one decimal place more than the readings."""
    steps = centimetres(uncertainty_m[np.isfinite(uncertainty_m)]) * 10.0**places
    return bool((np.abs(steps - np.rint(steps)) > 0.25).any())


def _places_without(slips: Slips, heights_m: FloatArray, decimal_places: int) -> int:
    """Decimal places of the readings, those of slips apart: 0.38 among 37 and 38 adds none."""
    if not slips.flagged.any():
        return decimal_places
    others_cm = np.round(centimetres(heights_m[~slips.flagged]), decimal_places)
    known = np.unique(others_cm[~np.isnan(others_cm)]).tolist()
    return max((decimals_needed(each) for each in known), default=decimal_places)


def _in_order_of_drops(table: Grid, spreads: Spread) -> Spread:
    """Take the drift away where students are pooled: their columns are no order of drops."""
    if table.students == 1:
        return spreads

    def unknown(found: Drift) -> Drift:
        return Drift(*(np.full_like(values, np.nan) for values in vars(found).values()))

    return replace(
        spreads, drift=unknown(spreads.drift), pooled_drift=unknown(spreads.pooled_drift)
    )


def _second_degree(table: Grid, spreads: Spread) -> FloatArray | None:
    """Fit the curve of second degree to the means, weighted as in trend.py; in °C."""
    if len(table.temperatures_k) < 3:
        return None
    weights = np.sqrt(spreads.n)
    return np.polyfit(celsius(table.temperatures_k), spreads.mean_m, 2, w=weights)[::-1]


def _energies(table: Grid, spreads: Spread, weighed: Weighed) -> Energies:
    if weighed.weight_n is not None:
        return energies_from_weight(weighed.weight_n, table.drop_height_m, spreads.mean_m)
    return energies(weighed.mass_kg, table.drop_height_m, spreads.mean_m)
