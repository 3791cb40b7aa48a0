"""A scripted student works through the exercise book, from the own rough page alone.

The student knows what a person knows: the readings, the drop height, the mass of the ball. All
that is written is worked from these; the sentences stand in `sim.bookwork_words`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from analysis.marking.questions import CONCLUSION, ENERGY, EVALUATION, METHOD, TABLE
from analysis.marking.study import ReadingSet, picked_temperature_c, reading_sets
from analysis.marking.work import Work
from analysis.paper.scales import LARGE_ACROSS, LARGE_UP, Scale, choose_scale
from analysis.quantity.text import fixed, mean_places, plain, rounded, significant
from analysis.statistics.energy import energies
from analysis.statistics.line import Line, fit_line
from analysis.statistics.spread import spread
from sim import actions as act
from sim.bookwork_words import SENTENCES, repeatable_words
from sim.marking import work_of
from sim.state import State

ACROSS_TITLE, UP_TITLE = "temperature / °C", "mean rebound height / cm"
TENTHS = 100
"""Ends of the line are laid at a tenth of a small square: so many to a large one."""


@dataclass(frozen=True)
class Figures:
    """What the student works out of the rough page; lengths in cm, temperatures in °C."""

    work: Work

    @cached_property
    def sets(self) -> tuple[ReadingSet, ...]:
        """The repeats at each temperature, coolest first."""
        return reading_sets(self.work)

    @cached_property
    def places(self) -> int:
        """The decimal places that the readings were written to."""
        return max((one.decimal_places for one in self.work.rough or ()), default=0)

    @cached_property
    def _heights_cm(self) -> np.ndarray:
        repeats = max(len(one.standing_cm) for one in self.sets)
        rows = [
            (*one.standing_cm, *[np.nan] * (repeats - len(one.standing_cm))) for one in self.sets
        ]
        return np.array(rows)

    @cached_property
    def means(self) -> tuple[str, ...]:
        """The means, to the places that their spread justifies."""
        found = spread(self._heights_cm / 100.0)
        places = mean_places(self.places, found.standard_uncertainty_m * 100.0)
        return tuple(fixed(float(mean_m) * 100.0, places) for mean_m in found.mean_m)

    @cached_property
    def points(self) -> tuple[tuple[float, float], ...]:
        """Temperature and mean, as they are plotted."""
        pairs = zip(self.sets, self.means, strict=True)
        return tuple((one.temperature_c, float(mean)) for one, mean in pairs)

    @cached_property
    def scales(self) -> tuple[Scale, Scale]:
        """The scales across and up."""
        across, up = zip(*self.points, strict=True)
        return (
            choose_scale(min(across), max(across), LARGE_ACROSS),
            choose_scale(min(up), max(up), LARGE_UP),
        )

    @cached_property
    def line(self) -> tuple[tuple[float, float], ...]:
        """The line of best fit by its ends, laid where the pencil can lie."""
        across, up = zip(*self.points, strict=True)
        fitted = fit_line(across, up)
        step = self.scales[1].per_large_square / TENTHS
        ends = (min(across), max(across))
        return tuple((end, rounded(round(float(fitted.at(end)) / step) * step, 6)) for end in ends)

    @cached_property
    def named_c(self) -> float:
        """The temperature that the book's questions name."""
        return picked_temperature_c(self.work)

    @cached_property
    def named(self) -> ReadingSet:
        """The readings at that temperature."""
        return next(one for one in self.sets if one.temperature_c == self.named_c)

    @property
    def named_mean(self) -> str:
        """The mean at that temperature."""
        return self.means[self.sets.index(self.named)]

    @property
    def laid(self) -> Line:
        """The line that was laid, as a line again."""
        (left, low), (right, high) = self.line
        return fit_line((left, right), (low, high))

    @property
    def half_range_cm(self) -> float:
        """Half the range at the temperature named."""
        return (max(self.named.standing_cm) - min(self.named.standing_cm)) / 2.0


def book_actions(state: State) -> tuple[act.Action, ...]:
    """All that the student writes and draws, page by page, for a practical with its readings."""
    figures = Figures(work_of(state))
    return (*_sentences(), *_method(figures), *_table(figures), *_graph(figures), *_rest(figures))


def _answers(page: str, answers: dict[str, str]) -> tuple[act.Action, ...]:
    return tuple(act.WriteAnswer(page, question, text) for question, text in answers.items())


def _sentences() -> tuple[act.Action, ...]:
    return tuple(act.WriteAnswer(*question, text) for question, text in SENTENCES.items())


def _method(figures: Figures) -> tuple[act.Action, ...]:
    temperatures = [one.temperature_c for one in figures.sets]
    interval = (temperatures[-1] - temperatures[0]) / max(len(temperatures) - 1, 1)
    return _answers(
        METHOD,
        {
            "lowest temperature": f"{plain(temperatures[0])} °C",
            "highest temperature": f"{plain(temperatures[-1])} °C",
            "interval": f"{plain(interval, 1)} °C",
            "repeats": str(min(len(one.standing_cm) for one in figures.sets)),
        },
    )


def _table(figures: Figures) -> tuple[act.Action, ...]:
    repeats = max(len(one.standing_cm) for one in figures.sets)
    headings = [f"rebound height {n} / cm" for n in range(1, repeats + 1)]
    rows = [[ACROSS_TITLE, *headings, UP_TITLE]]
    for one, mean in zip(figures.sets, figures.means, strict=True):
        read = [fixed(height, figures.places) for height in one.standing_cm]
        rows.append([plain(one.temperature_c), *read, *[""] * (repeats - len(read)), mean])
    size = {
        what: str(count)
        for what, count, least in (("rows", len(rows), 6), ("columns", repeats + 2, 7))
        if count > least
    }
    written = tuple(
        act.WriteCell(row, column, text)
        for row, cells in enumerate(rows)
        for column, text in enumerate(cells)
        if text
    )
    return (*_answers(TABLE, size), *written)


def _graph(figures: Figures) -> tuple[act.Action, ...]:
    across, up = figures.scales
    return (
        act.SetAxis("across", ACROSS_TITLE, across.start, across.per_large_square),
        act.SetAxis("up", UP_TITLE, up.start, up.per_large_square),
        *(act.PlotPoint(*point) for point in figures.points),
        act.LayLine(figures.line),
    )


def _rest(figures: Figures) -> tuple[act.Action, ...]:
    gradient = float(figures.laid.gradient)
    read_off = float(figures.laid.at(figures.named_c))
    per_degree = f"{significant(gradient, 2)} cm"
    half_range = f"{plain(figures.half_range_cm, 2)} cm"
    return (
        *_answers(
            CONCLUSION,
            {
                "relationship": "As the temperature of the ball increases, the rebound height "
                f"increases, by about {per_degree} for each 1 °C.",
                "shape": "straight",
                "read off": f"{fixed(read_off, 1)} cm",
                "gradient": f"{significant(gradient, 2)} cm/°C",
            },
        ),
        *_answers(EVALUATION, {"half-range": half_range, **repeatable_words(half_range)}),
        *_energy(figures),
    )


def _energy(figures: Figures) -> tuple[act.Action, ...]:
    before_m, after_m = figures.work.drop_height_cm / 100.0, float(figures.named_mean) / 100.0
    found = energies(figures.work.mass_g / 1000.0, before_m, after_m)
    before, after = float(found.before_j), float(found.after_j)
    return _answers(
        ENERGY,
        {
            "height before": f"{fixed(before_m, 2)} m",
            "height after": f"{plain(after_m, 5)} m",
            "energy before": f"{significant(before, 3)} J",
            "energy after": f"{significant(after, 3)} J",
            "energy transferred": f"{significant(before - after, 3)} J",
            "efficiency": f"{significant(after / before * 100.0, 3)} %",
        },
    )
