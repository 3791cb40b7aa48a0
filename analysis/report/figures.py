"""The catalogue of figures: everything that is worked out of a set of readings, each entry once.

An entry says what a figure is called, in which unit it is given, to how many decimal places it is
written, what it means, and where a `Summary` holds it. From the catalogue are made the JSON of
`--json`, the table of its keys in DEVELOPERS.md (`python -m analysis.report.figures` prints it),
summary.csv and the terminal's table, the report's tables, the contrast's table and a teacher's
answer key.

In a key a dot leads into an object, [] into each item of a list. Where a unit is named the JSON
holds {"value", "unit"}, with null and "reason" if there is no number.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from operator import attrgetter
from typing import Any, Literal, NamedTuple

import numpy as np

from analysis.quantity.headings import heading_text
from analysis.quantity.units import centimetres, fixed, grams, percent, significant
from analysis.report import sentences
from analysis.report.summary import Precision, Summary
from analysis.statistics.energy import USUAL_MASS_KG, Energies
from analysis.statistics.spread import Drift, Spread, suggests
from analysis.statistics.trend import Trend, shape, verdict

FORMAT = 2
ROW = "temperatures[]."


@dataclass(frozen=True)
class Places:
    """How far a figure is written: `count` places beyond those of the readings or of the means.

    Without `beyond`, `count` places; or so many significant figures.
    """

    count: int
    beyond: Literal["readings", "means", ""] = ""
    significant: bool = False

    def decimals(self, precision: Precision) -> int:
        """Decimal places of a figure that is not written to significant figures."""
        return self.count + (getattr(precision, self.beyond) if self.beyond else 0)

    def text(self, value: float, precision: Precision) -> str:
        """Write a value; a dash where there is none."""
        if self.significant:
            return significant(value, self.count)
        return fixed(value, self.decimals(precision))


AS_READ = Places(0, "readings")
AS_MEANS, FINER_THAN_MEANS = Places(0, "means"), Places(1, "means")
WHOLE = Places(0)


@dataclass(frozen=True)
class FigureEntry:
    """One figure. `find` leads to it from a `Summary`, or works it out of one.

    Lengths and masses are found in SI; what stands under "temperatures[]" is found for all of
    them, (T,) or (T, repeats). `places` and `name` serve the tables.
    """

    key: str
    unit: str
    meaning: str
    find: str | Callable[[Summary], Any]
    places: Places = WHOLE
    called: str = ""

    @property
    def name(self) -> str:
        """What tables call the figure: its key in words, unless there is a better name."""
        return self.called or self.key.rpartition(".")[2].replace("_", " ")

    def found(self, source: Any) -> Any:
        """The figure in its unit, of a summary or of anything that holds the same parts."""
        found = attrgetter(self.find)(source) if isinstance(self.find, str) else self.find(source)
        conversion = {"cm": centimetres, "g": grams}.get(self.unit.partition(" per ")[0])
        return conversion(found) if conversion else found

    def heading(self, where: str = "") -> str:
        """Heading of a column, "quantity / unit", with what it is told apart by behind the name."""
        return heading_text(self.name + where, self.unit if self.unit not in ("", "1") else None)


class Worked(NamedTuple):
    """What figures are found in where there is no whole `Summary`: other tables than a report's.

    The arrays may have leading axes, such as one for the students of a class.
    """

    spread: Spread
    trend: Trend | None = None
    energies: Energies | None = None


def _row(
    key: str,
    unit: str,
    meaning: str,
    find: str | Callable[[Summary], Any],
    places: Places = WHOLE,
    called: str = "",
) -> FigureEntry:
    """A figure that stands there for each temperature."""
    return FigureEntry(ROW + key, unit, meaning, find, places, called)


def _suggestions(summary: Summary) -> list[str]:
    return [
        suggests(Drift(*each)) for each in zip(*vars(summary.spread.drift).values(), strict=True)
    ]


def _anomalous_repeats(summary: Summary) -> list[list[int]]:
    return [(np.flatnonzero(row) + 1).tolist() for row in summary.spread.anomalies.flagged]


_TEST = ("squared term", "lack of fit")
_VERDICTS = "repeatable, partly repeatable, not repeatable or cannot be told"
_SHAPES = "straight, curves upwards, curves downwards, scattered or cannot be told"
_SUGGESTIONS = "cooling, rising, nothing or cannot be told"

CATALOGUE: tuple[FigureEntry, ...] = (
    FigureEntry(
        "format",
        "",
        "number of this layout; it rises when a key changes its meaning",
        lambda _: FORMAT,
    ),
    FigureEntry("source", "", "name of the readings file", "source"),
    FigureEntry("drop_height", "cm", "height the ball was dropped from", "grid.drop_height_m"),
    FigureEntry(
        "resolution", "cm", "step that the rebound heights were read to", "spread.resolution_m"
    ),
    FigureEntry(
        "students_pooled",
        "",
        "how many students' readings are pooled at one temperature, at most",
        "grid.students",
    ),
    _row("temperature", "°C", "temperature of one set of repeats", "temperature_c"),
    _row(
        "readings",
        "cm",
        "list of the rebound heights by repeat, null for a missing one",
        "grid.heights_m",
    ),
    _row("n", "", "how many readings there are", "spread.n", WHOLE, "readings"),
    _row("mean", "cm", "mean rebound height", "spread.mean_m", AS_MEANS, "mean rebound height"),
    _row("smallest", "cm", "smallest reading", "spread.smallest_m", AS_READ),
    _row("largest", "cm", "largest reading", "spread.largest_m", AS_READ),
    _row("range", "cm", "largest less smallest", lambda of: 2.0 * of.spread.half_range_m, AS_READ),
    _row(
        "half_range",
        "cm",
        "half the range: the uncertainty as taught in school",
        "spread.half_range_m",
        AS_MEANS,
        "half-range uncertainty",
    ),
    _row(
        "uncertainty",
        "cm",
        "the half-range, but never less than half the resolution",
        "spread.uncertainty_m",
        AS_MEANS,
    ),
    _row("percentage_uncertainty", "%", "100 x uncertainty / mean", "spread.percentage", Places(1)),
    _row(
        "standard_deviation",
        "cm",
        "sample standard deviation (divisor n - 1)",
        "spread.standard_deviation_m",
        FINER_THAN_MEANS,
    ),
    _row(
        "standard_uncertainty",
        "cm",
        "standard deviation / square root of n",
        "spread.standard_uncertainty_m",
        FINER_THAN_MEANS,
        "standard uncertainty of the mean",
    ),
    _row(
        "anomalous_repeats",
        "",
        "repeats that Grubbs' test flags at 5 % (still counted)",
        _anomalous_repeats,
    ),
    _row(
        "mean_without_anomaly",
        "cm",
        "mean without the flagged reading, else the mean",
        "spread.anomalies.mean_without_m",
    ),
    _row(
        "drift.slope",
        "cm per repeat",
        "change from one repeat to the next, least squares",
        "spread.drift.slope_m_per_repeat",
        FINER_THAN_MEANS,
        "drift",
    ),
    _row(
        "drift.uncertainty",
        "cm per repeat",
        "standard uncertainty of that slope",
        "spread.drift.uncertainty_m_per_repeat",
    ),
    _row("drift.p", "1", "p value of no drift", "spread.drift.p"),
    _row("drift.suggests", "", _SUGGESTIONS, _suggestions),
    _row(
        "energy_after",
        "J",
        "potential energy at the mean rebound height",
        "energies.after_j",
        Places(4),
    ),
    _row(
        "energy_transferred",
        "J",
        "energy transferred to the surroundings",
        "energies.transferred_j",
        Places(4),
    ),
    _row(
        "energy_kept",
        "%",
        "energy after / energy before",
        lambda of: percent(of.energies.fraction),
        Places(1),
        "efficiency",
    ),
    _row(
        "restitution",
        "1",
        "coefficient of restitution, square root of height / drop height",
        "energies.restitution",
        Places(3),
        "coefficient of restitution",
    ),
    FigureEntry(
        "drift.slope",
        "cm per repeat",
        "one common slope for the temperatures above 25 °C, where a ball can cool",
        "spread.pooled_drift.slope_m_per_repeat",
    ),
    FigureEntry(
        "drift.uncertainty",
        "cm per repeat",
        "standard uncertainty of that slope",
        "spread.pooled_drift.uncertainty_m_per_repeat",
    ),
    FigureEntry("drift.p", "1", "p value of no drift", "spread.pooled_drift.p"),
    FigureEntry("drift.suggests", "", _SUGGESTIONS, lambda of: suggests(of.spread.pooled_drift)),
    FigureEntry(
        "trend.sentence", "", "the conclusion in words", lambda of: sentences.conclusion(of.trend)
    ),
    FigureEntry(
        "trend.gradient",
        "cm per °C",
        "gradient of the straight line of best fit through the means",
        "trend.line.gradient",
        Places(3),
    ),
    FigureEntry(
        "trend.gradient_without_doubtful",
        "cm per °C",
        "the same gradient without the readings that look wrong",
        "doubtful.gradient_without_m_per_k",
    ),
    FigureEntry(
        "trend.gradient_standard_uncertainty",
        "cm per °C",
        "standard uncertainty of the gradient",
        "trend.line.gradient_uncertainty",
    ),
    FigureEntry(
        "trend.gradient_p", "1", "p value of no change with temperature", "trend.gradient_p"
    ),
    FigureEntry(
        "trend.intercept",
        "cm",
        "height of the line at 0 °C",
        "trend.line.intercept",
        Places(3),
        "line at 0 °C",
    ),
    FigureEntry(
        "trend.intercept_standard_uncertainty",
        "cm",
        "standard uncertainty of the intercept",
        "trend.line.intercept_uncertainty",
    ),
    FigureEntry("trend.intercept_p", "1", "p value of 0 cm at 0 °C", "trend.intercept_p"),
    FigureEntry(
        "trend.correlation",
        "1",
        "Pearson's r between temperature and mean height",
        "trend.line.correlation",
    ),
    FigureEntry(
        "trend.r_squared",
        "1",
        "share of the means' variance that the line accounts for",
        "trend.line.r_squared",
    ),
    FigureEntry(
        "trend.residual_standard_deviation",
        "cm",
        "of the means about the line (divisor n - 2)",
        "trend.line.residual_sd",
    ),
    FigureEntry(
        "trend.steepest_gradient",
        "cm per °C",
        "steepest straight line through all the bars",
        "trend.extremes.steepest_gradient",
        Places(3),
    ),
    FigureEntry(
        "trend.shallowest_gradient",
        "cm per °C",
        "shallowest straight line through all the bars",
        "trend.extremes.shallowest_gradient",
        Places(3),
    ),
    FigureEntry(
        "trend.gradient_uncertainty_from_lines",
        "cm per °C",
        "half the difference of these two",
        "trend.extremes.gradient_uncertainty",
    ),
    FigureEntry("straightness.shape", "", _SHAPES, lambda of: shape(of.trend.straightness)),
    FigureEntry(
        "straightness.test",
        "",
        "lack of fit (with repeats) or squared term (without)",
        lambda of: _TEST[int(of.trend.straightness.from_repeats)],
    ),
    FigureEntry("straightness.f", "1", "F of that test", "trend.straightness.statistic"),
    FigureEntry("straightness.p", "1", "p value of that test", "trend.straightness.p"),
    FigureEntry(
        "straightness.curvature",
        "cm per °C²",
        "coefficient of a squared term",
        "trend.straightness.curvature_m_per_k2",
    ),
    FigureEntry(
        "straightness.curvature_standard_uncertainty",
        "cm per °C²",
        "its standard uncertainty",
        "trend.straightness.curvature_uncertainty",
    ),
    FigureEntry("repeatability.verdict", "", _VERDICTS, lambda of: verdict(of.trend.repeatability)),
    FigureEntry(
        "repeatability.neighbours",
        "",
        "pairs of neighbouring temperatures that could be judged",
        "trend.repeatability.pairs",
    ),
    FigureEntry(
        "repeatability.neighbours_apart",
        "",
        "of these, pairs whose bars do not overlap",
        "trend.repeatability.pairs_apart",
    ),
    FigureEntry(
        "repeatability.largest_percentage_uncertainty",
        "%",
        "largest of the table",
        "trend.repeatability.largest_percentage",
    ),
    FigureEntry("energy.mass", "g", "mass of the ball", "energies.mass_kg"),
    FigureEntry(
        "energy.mass_assumed",
        "",
        f"true where no mass was given and {grams(USUAL_MASS_KG):g} g is taken",
        lambda of: of.weighed.assumed and of.energies.mass_kg is not None,
    ),
    FigureEntry(
        "energy.gravitational_field_strength",
        "N/kg",
        "g that the weight is worked with",
        "energies.gravity_n_per_kg",
    ),
    FigureEntry("energy.weight", "N", "weight of the ball", "energies.weight_n"),
    FigureEntry(
        "energy.energy_before",
        "J",
        "potential energy at the drop height",
        "energies.before_j",
        Places(4),
    ),
    FigureEntry(
        "questions", "", "list of questions: which readings look wrong, and why", "questions"
    ),
    FigureEntry(
        "cannot_say", "", "list of sentences: what could not be said, and why", "cannot_say"
    ),
    FigureEntry(
        "notices", "", "list of sentences: what was noticed or mended while reading", "notices"
    ),
)

FILES = FigureEntry("files", "", "list of the files that were written", "")

_ENTRY = {entry.key: entry for entry in CATALOGUE}


def listed(key: str, name: str = "", places: Places | None = None) -> FigureEntry:
    """The entry for a table that calls it by a shorter name or writes it to other places.

    `key` may leave "temperatures[]." out.
    """
    entry = _ENTRY.get(ROW + key) or _ENTRY[key]
    return replace(entry, called=name or entry.called, places=places or entry.places)


ANOMALIES = replace(listed("anomalous_repeats", "anomalies"), find="spread.anomalies.count")
"""How many there are, where a table has no room for which."""


def column_texts(
    entry: FigureEntry, source: Any, precision: Precision, most: int | None = None
) -> tuple[str, ...]:
    """Write a figure of all temperatures, or of the first `most`; a dash where there is none."""
    found = np.broadcast_to(entry.found(source), np.shape(source.spread.n))[:most]
    return tuple(entry.places.text(float(value), precision) for value in found)


def keys_table() -> str:
    """Write DEVELOPERS.md's table of the keys."""
    lines = ["| key | unit | meaning |", "|---|---|---|"]
    lines += [f"| `{one.key}` | {one.unit or '–'} | {one.meaning} |" for one in (*CATALOGUE, FILES)]
    return "\n".join(lines)


if __name__ == "__main__":
    sys.stdout.write(keys_table() + "\n")
