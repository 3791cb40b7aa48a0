"""What the answers of the Energy page may be: heights and energies, right and carried."""

from __future__ import annotations

import math
from dataclasses import dataclass

from analysis.marking.answer import Given, rounds_to
from analysis.marking.copying import copies
from analysis.marking.half_range import picked_row, picked_set, readings_places
from analysis.marking.own_means import mean_checks
from analysis.marking.own_table import own_table
from analysis.marking.picked import reading_sets
from analysis.marking.work import Work

GRAVITIES = (9.8, 9.81, 10.0)
"""Values of g in N/kg that are taught; standard gravity is 9.80665 N/kg (CGPM 1901)."""

CONVERSION = (
    "This looks like the centimetre-to-metre conversion: how many centimetres make one metre?"
)
GRAMS = "This looks like a mass still in grams: which unit of mass goes with N/kg?"
_BOTH = f"{CONVERSION} The mass looks to be still in grams, too."
SLIPS = {CONVERSION: 100.0, GRAMS: 1000.0, _BOTH: 100_000.0}
"""Slips of an energy by the factor that gives them away."""


@dataclass(frozen=True)
class Heights:
    """Heights in metres before and after: what follows from the readings, and the own answers.

    `after_m` are right (the exact mean, and the own mean if it follows), `own_mean_m` is a wrong
    own mean. The own answers are taken as metres whatever stands behind them, and as what they
    say.
    """

    before_m: float
    after_m: tuple[float, ...]
    own_mean_m: tuple[float, ...]
    own_before_m: tuple[float, ...]
    own_after_m: tuple[float, ...]
    after_step_m: float  # one unit of the readings' last place


def heights(work: Work, before: Given | None, after: Given | None) -> Heights:
    """Heights of a piece of work; `before` and `after` are its own answers where given."""
    source = picked_set(work)
    exact = sum(source.standing_cm) / len(source.standing_cm) / 100 if source else math.nan
    own_mean, follows = _own_mean_m(work)
    right = [value for value in (exact, own_mean if follows else math.nan) if value > 0]
    wrong = [] if follows or math.isnan(own_mean) else [own_mean]
    return Heights(
        before_m=work.drop_height_cm / 100,
        after_m=tuple(right),
        own_mean_m=tuple(wrong),
        own_before_m=_as_metres(before),
        own_after_m=_as_metres(after),
        after_step_m=10.0 ** -readings_places(work) / 100,
    )


def _own_mean_m(work: Work) -> tuple[float, bool]:
    """The own mean at the temperature named, and whether it follows from its row."""
    row = picked_row(work)
    if row is None:
        return math.nan, False
    table = own_table(work)
    copied = copies(table, reading_sets(work)) if work.rough is not None else None
    checks = [one for one in mean_checks(table, copied) if one.row == row]
    return row.mean_cm / 100, bool(checks) and checks[0].follows == "yes"


def _as_metres(answer: Given | None) -> tuple[float, ...]:
    return tuple({answer.number, answer.value}) if answer else ()


@dataclass(frozen=True)
class Chain:
    """The own answers read so far, and the weights in newtons that go with each taught g."""

    heights: Heights
    mass_kg: float
    before: Given | None
    after: Given | None

    def energies(self, heights_m: tuple[float, ...], gravities: tuple[float, ...]) -> list[float]:
        """Potential energies in joules, m g h, for every height and g."""
        return [self.mass_kg * g * height for height in heights_m for g in gravities]

    @property
    def gravities(self) -> tuple[float, ...]:
        """The g that the energy before was worked with; all of them where it does not tell."""
        if self.before is None:
            return GRAVITIES
        at = (self.heights.before_m, *self.heights.own_before_m)
        for factor in (1.0, *SLIPS.values()):
            found = tuple(
                g
                for g in GRAVITIES
                if any(rounds_to(self.before, factor * e) for e in self.energies(at, (g,)))
            )
            if found:
                return found
        return GRAVITIES

    @property
    def slip_factor(self) -> float:
        """The factor by which the energy before is off through a known slip; 1 without one."""
        if self.before is None or self.before_is_right:
            return 1.0
        exact = self.energies((self.heights.before_m,), GRAVITIES)
        for factor in SLIPS.values():
            if any(rounds_to(self.before, factor * value) for value in exact):
                return factor
        return 1.0

    @property
    def before_is_right(self) -> bool:
        """Whether the energy before follows from mass and drop height."""
        exact = self.energies((self.heights.before_m,), GRAVITIES)
        return self.before is not None and any(rounds_to(self.before, value) for value in exact)

    @property
    def after_is_right(self) -> bool:
        """Whether the energy after follows from mass and mean height, with the same g."""
        exact = self.energies(self.heights.after_m, self.gravities)
        return self.after is not None and any(rounds_to(self.after, value) for value in exact)


def slips_of(values: list[float]) -> dict[str, tuple[float, ...]]:
    """Values that give a slip of conversion away, by the nudge that names it."""
    return {nudge: tuple(factor * value for value in values) for nudge, factor in SLIPS.items()}
