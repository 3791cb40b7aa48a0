"""The teacher's answer key: what each student's printed readings come to, one row a student.

The same functions work it out that judge any readings, for all students in one call.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from analysis.cells import guarded
from analysis.energy import energies
from analysis.formats import OutColumn
from analysis.quantity import centimetres, heading, temperature_text
from analysis.resolution import resolution_m
from analysis.spread import spread
from analysis.summary import USUAL_MASS_KG
from analysis.trend import trend
from sim.classroom.class_key import procedure_of_key

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from analysis.spread import Spread
    from analysis.trend import Trend
    from sim.classroom.class_key import ClassKey

GRADIENT_PLACES, ENERGY_PLACES = 3, 4
ABOUT = (
    "These are the answers to the printed readings. Rounding differs between schools, and a line "
    "drawn by eye differs from the least-squares line: take a gradient between the shallowest and "
    "the steepest line through all bars as right.",
    "A student at the bench has readings of their own; 'collect' marks that work against them.",
)


def answer_columns(key: ClassKey, heights_m: NDArray[np.float64]) -> tuple[OutColumn, ...]:
    """The columns of the key for heights of shape (students, temperatures, repeats)."""
    procedure = procedure_of_key(key)
    places = procedure.observer.decimal_places_cm
    spreads = spread(heights_m, resolution_m=resolution_m(heights_m, places))
    trends = trend(np.array(procedure.temperatures_k), spreads)
    numbers = [float(number) for number in range(1, len(key.names) + 1)]
    return (
        OutColumn("practical", numbers),
        OutColumn("name", [guarded(name) for name in key.names]),
        *_of_spread(procedure.temperatures_k, spreads, places),
        *_of_trend(trends),
        *_of_energy(procedure.temperatures_k, procedure.drop_height_m, spreads.mean_m),
    )


def _of_spread(temperatures_k: tuple[float, ...], spreads: Spread, places: int) -> list[OutColumn]:
    columns = []
    for row, temperature_k in enumerate(temperatures_k):
        at = f"at {temperature_text(temperature_k)}"
        mean, half = (each[:, row] for each in (spreads.mean_m, spreads.half_range_m))
        flagged = spreads.anomalies.flagged[:, row].sum(axis=-1)
        columns += [
            _heights(heading(f"mean {at}", "cm"), mean, places + 1),
            _heights(heading(f"half-range {at}", "cm"), half, places + 1),
            OutColumn(f"anomalies {at}", flagged.astype(float).tolist()),
        ]
    return columns


def _of_trend(trends: Trend) -> list[OutColumn]:
    gradients = {
        "gradient": trends.line.gradient,
        "shallowest gradient": trends.extremes.shallowest_gradient,
        "steepest gradient": trends.extremes.steepest_gradient,
    }
    lines = [
        _heights(heading(name, "cm per °C"), values, GRADIENT_PLACES)
        for name, values in gradients.items()
    ]
    at_zero = trends.line.intercept
    return [*lines, _heights(heading("line at 0 °C", "cm"), at_zero, GRADIENT_PLACES)]


def _of_energy(
    temperatures_k: tuple[float, ...], drop_height_m: float, mean_m: NDArray[np.float64]
) -> list[OutColumn]:
    found = energies(USUAL_MASS_KG, drop_height_m, np.minimum(mean_m, drop_height_m))
    before = np.full(len(mean_m), found.before_j)
    columns = [OutColumn(heading("energy before", "J"), before.tolist(), ENERGY_PLACES)]
    for row, temperature_k in enumerate(temperatures_k):
        at = f"at {temperature_text(temperature_k)}"
        for name, values, unit in (
            ("energy after", found.after_j, "J"),
            ("energy transferred", found.transferred_j, "J"),
            ("efficiency", 100.0 * found.fraction, "%"),
        ):
            places = ENERGY_PLACES if unit == "J" else 1
            shown = _rounded(values[:, row], places)
            columns.append(OutColumn(heading(f"{name} {at}", unit), shown, places))
    return columns


def _heights(title: str, values_m: NDArray[np.float64], places: int) -> OutColumn:
    return OutColumn(title, _rounded(centimetres(values_m), places), places)


def _rounded(values: NDArray[np.float64], places: int) -> list[float]:
    """Half away from zero, as `analysis.quantity.fixed` rounds, for a whole column."""
    tens = 10.0**places
    nudged = np.abs(values) * tens * (1.0 + 1e-12)
    rounded: list[float] = (np.sign(values) * np.floor(nudged + 0.5) / tens).tolist()
    return rounded
