"""Everything that can be said about one set of readings, worked out once.

Graph, report, table and JSON all read the one frozen `Summary`, so no two outputs can disagree.
"""

import csv
import io
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from analysis.quantity.text import FloatArray, fixed, heading, mean_places, plain, resolution_m
from analysis.quantity.units import celsius, centimetres
from analysis.readings.readings import Grid, Readings, grid
from analysis.report.sentences import extremes_reason, spread_reason, trend_reason
from analysis.statistics import spread as drift
from analysis.statistics import trend as straightness
from analysis.statistics.energy import (
    USUAL_MASS_KG,
    Energies,
    Uncertainties,
    energies,
    energies_from_weight,
)
from analysis.statistics.spread import Drift, Spread, spread
from analysis.statistics.trend import Trend, trend

if TYPE_CHECKING:
    import pandas as pd

MOST_NAMED = 12
"""Temperatures that one sentence names before it counts the rest."""


@dataclass(frozen=True)
class Weighed:
    """How heavy the ball is: its mass, or its weight where a newton meter was used."""

    mass_kg: float = USUAL_MASS_KG
    weight_n: float | None = None
    assumed: bool = True  # nobody gave it: the report then says so


@dataclass(frozen=True)
class Summary:
    """One set of readings and all that follows from it. Arrays run over the temperatures, (T,)."""

    source: str
    decimal_places: int  # of the readings in cm, as written
    mean_places: int  # of the means in cm, as far as the readings justify
    grid: Grid
    spread: Spread
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
    step_m = resolution_m(table.heights_m, readings.decimal_places)
    spreads = _in_order_of_drops(table, spread(table.heights_m, step_m))
    trends = trend(table.temperatures_k, spreads)
    return Summary(
        source=readings.source,
        decimal_places=readings.decimal_places,
        mean_places=mean_places(
            readings.decimal_places, centimetres(spreads.standard_uncertainty_m)
        ),
        grid=table,
        spread=spreads,
        trend=trends,
        curve=_second_degree(table, spreads),
        energies=_energies(table, spreads, weighed),
        weighed=weighed,
        notices=readings.notices,
        cannot_say=_cannot_say(table, spreads, trends),
    )


def summary_frame(summary: Summary) -> "pd.DataFrame":
    """One row a temperature, headings "quantity / unit", text to the places it deserves."""
    import pandas as pd

    return pd.DataFrame(dict(summary_columns(summary)))


def summary_columns(
    summary: Summary, most: int | None = None
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Give the columns of the summary table: heading and texts, blank where nothing can be said.

    All temperatures, or the first `most` of them.
    """
    spreads, energy = summary.spread, summary.energies
    readings, means = summary.decimal_places, summary.mean_places

    def texts(values: FloatArray, places: int) -> tuple[str, ...]:
        return _texts(values[:most], places)

    def heights(values_m: FloatArray, places: int) -> tuple[str, ...]:
        return texts(centimetres(values_m), places)

    return (
        (heading("temperature", "°C"), summary.temperature_texts[:most]),
        ("readings", tuple(str(int(n)) for n in spreads.n[:most])),
        (heading("mean rebound height", "cm"), heights(spreads.mean_m, means)),
        (heading("smallest", "cm"), heights(spreads.smallest_m, readings)),
        (heading("largest", "cm"), heights(spreads.largest_m, readings)),
        (heading("range", "cm"), heights(2 * spreads.half_range_m, readings)),
        (heading("half-range uncertainty", "cm"), heights(spreads.half_range_m, readings + 1)),
        (heading("percentage uncertainty", "%"), texts(spreads.percentage, 1)),
        (heading("standard deviation", "cm"), heights(spreads.standard_deviation_m, means + 1)),
        (
            heading("standard uncertainty of the mean", "cm"),
            heights(spreads.standard_uncertainty_m, means + 1),
        ),
        ("anomalies", tuple(str(int(n)) for n in spreads.anomalies.flagged[:most].sum(axis=-1))),
        (
            heading("drift", "cm per repeat"),
            heights(spreads.drift.slope_m_per_repeat, means + 1),
        ),
        (heading("energy before", "J"), texts(np.full(spreads.n.shape, energy.before_j), 4)),
        (heading("energy after", "J"), texts(energy.after_j, 4)),
        (heading("energy transferred", "J"), texts(energy.transferred_j, 4)),
        ("coefficient of restitution", texts(energy.restitution, 3)),
    )


def summary_csv(summary: Summary) -> bytes:
    """Give the summary table as a CSV file that spreadsheets open with its degree signs (BOM)."""
    headings, columns = zip(*summary_columns(summary), strict=True)
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(headings)
    writer.writerows(zip(*columns, strict=True))
    return text.getvalue().encode("utf-8-sig")


def _texts(values: FloatArray, places: int) -> tuple[str, ...]:
    """Write each value to `places` decimal places; blank, not a word, where there is none."""
    return tuple(fixed(float(v), places) if np.isfinite(v) else "" for v in np.asarray(values))


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
    """Fit the curve of second degree to the means, weighted as in straightness.py; in °C."""
    if len(table.temperatures_k) < 3:
        return None
    weights = np.sqrt(spreads.n)
    return np.polyfit(celsius(table.temperatures_k), spreads.mean_m, 2, w=weights)[::-1]


def _energies(table: Grid, spreads: Spread, weighed: Weighed) -> Energies:
    doubt = Uncertainties(rebound_m=np.nan_to_num(spreads.uncertainty_m, nan=0.0))
    if weighed.weight_n is not None:
        return energies_from_weight(weighed.weight_n, table.drop_height_m, spreads.mean_m, doubt)
    return energies(weighed.mass_kg, table.drop_height_m, spreads.mean_m, doubt)


def _cannot_say(table: Grid, spreads: Spread, trends: Trend) -> tuple[str, ...]:
    """Collect, in plain sentences, what could not be said and why."""
    said = [
        *_spread_reasons(table, spreads),
        trend_reason(trends),
        extremes_reason(trends.extremes),
    ]
    if table.students > 1:
        said.append(
            f"The readings of {table.students} students are pooled, so the order of the drops is "
            "not known and no drift over the repeats can be told."
        )
    elif drift.suggests(spreads.pooled_drift) == "cannot be told":
        said.append("Too few repeats to tell whether the readings drift from drop to drop.")
    return tuple(dict.fromkeys(sentence for sentence in said if sentence))


def _spread_reasons(table: Grid, spreads: Spread) -> list[str]:
    """One sentence for each reason, naming the temperatures that it holds for."""
    places: dict[str, list[str]] = {}
    for index, temperature_c in enumerate(celsius(table.temperatures_k)):
        reason = spread_reason(spreads, index)
        if reason:
            places.setdefault(reason, []).append(plain(float(temperature_c), 2))
    return [
        f"At {_named(where)}: {reason[0].lower()}{reason[1:]}" for reason, where in places.items()
    ]


def _named(temperatures: list[str]) -> str:
    """Name the temperatures, or the first of them and how many more there are."""
    more = len(temperatures) - MOST_NAMED
    if more <= 0:
        return f"{', '.join(temperatures)} °C"
    return f"{', '.join(temperatures[:MOST_NAMED])} °C and {more} more temperatures"
