"""The Energy page: heights in metres, energies, efficiency, each from the student's own numbers.

Rules. Height before: the drop height, to half a per cent. Height after: the own mean at the
temperature named, to half a unit of the readings' last place. An energy is m g h; g may be 9.8,
9.81 or 10 N/kg, but the same throughout; an answer is right when the exact value rounds to it.
Energy transferred and efficiency may be worked from the own answers as written, from the unrounded
values that round to them, or from exact ones.
An earlier answer of the student's, if wrong, is carried: its slip costs one mark. Rounding: two
or three significant figures, as mass and heights have.

What the answers of the Energy page may be: heights and energies, right and carried.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from analysis.marking.half_range import picked_row, picked_set, readings_places
from analysis.marking.judging import Asked, Expected, Range, given, judge
from analysis.marking.own_means import copies, mean_checks
from analysis.marking.own_table import own_table, reading_sets
from analysis.marking.questions import ENERGY
from analysis.marking.remark import Criterion, Remark, listed
from analysis.marking.work import Work
from analysis.quantity.text import plain, significant
from analysis.quantity.units import centimetres, kilograms, metres, percent
from analysis.quantity.written import AnswerKind, Given, rounds_to

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
    exact = metres(sum(source.standing_cm) / len(source.standing_cm)) if source else math.nan
    own_mean, follows = _own_mean_m(work)
    right = [value for value in (exact, own_mean if follows else math.nan) if value > 0]
    wrong = [] if follows or math.isnan(own_mean) else [own_mean]
    return Heights(
        before_m=metres(work.drop_height_cm),
        after_m=tuple(right),
        own_mean_m=tuple(wrong),
        own_before_m=_as_metres(before),
        own_after_m=_as_metres(after),
        after_step_m=metres(10.0 ** -readings_places(work)),
    )


def _own_mean_m(work: Work) -> tuple[float, bool]:
    """The own mean at the temperature named, and whether it follows from its row."""
    row = picked_row(work)
    if row is None:
        return math.nan, False
    table = own_table(work)
    copied = copies(table, reading_sets(work)) if work.rough is not None else None
    checks = [one for one in mean_checks(table, copied) if one.row == row]
    return metres(row.mean_cm), bool(checks) and checks[0].follows == "yes"


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


FEWEST_FIGURES, MOST_FIGURES = 2, 3


def _asked(question: str, kind: AnswerKind, unit: str, asks: str) -> Asked:
    name = "energy." + question.removeprefix("energy ").replace(" ", "-")
    with_unit = Criterion(ENERGY, f"{name}-unit", f"The {question} has its unit.")
    return Asked(
        (ENERGY, question),
        kind,
        unit,
        Criterion(ENERGY, name, asks),
        with_unit if kind == "energy" else None,
    )


HEIGHT_BEFORE = _asked("height before", "length", "m", "The drop height is given in metres.")
HEIGHT_AFTER = _asked("height after", "length", "m", "The own mean height is given in metres.")
BEFORE = _asked("energy before", "energy", "J", "The energy before follows from m g h.")
AFTER = _asked("energy after", "energy", "J", "The energy after follows from m g h.")
TRANSFERRED = _asked(
    "energy transferred", "energy", "J", "The energy transferred is the difference of the two."
)
EFFICIENCY = _asked(
    "efficiency", "percentage", "%", "Efficiency is the energy after as a percentage of before."
)
ROUNDING = Criterion(ENERGY, "energy.rounding", "Results have two or three significant figures.")
_RESULTS = (BEFORE, AFTER, TRANSFERRED, EFFICIENCY)


def mark_energy(work: Work) -> tuple[Remark, ...]:
    """Mark the numbers of the Energy page."""
    found = heights(work, given(work, HEIGHT_BEFORE), given(work, HEIGHT_AFTER))
    chain = Chain(found, kilograms(work.mass_g), given(work, BEFORE), given(work, AFTER))
    return (
        *judge(work, HEIGHT_BEFORE, _height_before(found)),
        *judge(work, HEIGHT_AFTER, _height_after(found)),
        *judge(work, BEFORE, _before(chain)),
        *judge(work, AFTER, _after(chain)),
        *judge(work, TRANSFERRED, _transferred(chain)),
        *judge(work, EFFICIENCY, _efficiency(chain)),
        _rounding(work),
    )


def _height_before(found: Heights) -> Expected:
    exact = found.before_m

    def near(answer: Given, height_m: float) -> bool:
        return abs(answer.value - height_m) <= 0.005 * height_m

    return Expected(
        right=(exact,),
        worked=f"{plain(centimetres(exact))} cm ÷ 100 = {plain(exact)} m.",
        slips={CONVERSION: (exact, exact * 100, exact * 10, exact / 100)},
        near=near,
        nudge="This is not the height that the ball was dropped from.",
    )


def _height_after(found: Heights) -> Expected | None:
    if not found.after_m:
        return None

    def near(answer: Given, height_m: float) -> bool:
        # A slip is recognised at a hundredfold, so its tolerance is a hundredfold too.
        size = max(1.0, height_m / max(found.after_m))
        return abs(answer.value - height_m) <= size * found.after_step_m / 2 * (1 + 1e-6)

    exact = found.after_m[-1]
    every = (*found.after_m, *found.own_mean_m)
    return Expected(
        right=found.after_m,
        own=found.own_mean_m,
        worked=f"{plain(centimetres(exact))} cm ÷ 100 = {plain(exact, 4)} m.",
        slips={CONVERSION: tuple(h * size for h in every for size in (1.0, 10.0, 100.0))},
        near=near,
        nudge="This is not the mean in your table at the temperature named.",
    )


def _before(chain: Chain) -> Expected:
    right = chain.energies((chain.heights.before_m,), GRAVITIES)
    return Expected(
        right=tuple(right),
        own=tuple(chain.energies(chain.heights.own_before_m, GRAVITIES)),
        worked=_product(chain, chain.heights.before_m),
        slips=slips_of(right),
        nudge="This does not follow from mass, gravitational field strength and height.",
    )


def _product(chain: Chain, height_m: float) -> str:
    energy = chain.mass_kg * 9.81 * height_m
    return (
        f"E = m g h = {plain(chain.mass_kg, 6)} kg × 9.81 N/kg × {plain(height_m, 4)} m = "
        f"{significant(energy, 3)} J."
    )


def _after(chain: Chain) -> Expected | None:
    if not chain.heights.after_m:
        return None
    own_heights = (*chain.heights.own_mean_m, *chain.heights.own_after_m)
    own = chain.energies(own_heights, chain.gravities)
    # The same slip again as in the energy before has cost its mark there.
    own += [
        chain.slip_factor * energy
        for energy in chain.energies((*chain.heights.after_m, *own_heights), chain.gravities)
    ]
    right = chain.energies(chain.heights.after_m, chain.gravities)
    others = chain.energies(chain.heights.after_m, GRAVITIES)
    return Expected(
        right=tuple(right),
        own=tuple(own),
        worked=_product(chain, chain.heights.after_m[-1]),
        slips={
            "Another value of g was used here than for the energy before: keep to one.": tuple(
                others
            ),
            **slips_of(right),
        },
        nudge="This does not follow from mass, gravitational field strength and height.",
    )


def _from_own(
    chain: Chain, result: Callable[[float, float], float], *, right_only: bool = False
) -> Range | None:
    """Range of a result of the two own energies, whatever was rounded off them.

    With `right_only`, only where both energies are right; None where there is none.
    """
    before, after = chain.before, chain.after
    if before is None or after is None or before.value <= before.value_step / 2:
        return None
    if right_only and not (chain.before_is_right and chain.after_is_right):
        return None
    found = [
        result(b, a)
        for b in (before.value - before.value_step / 2, before.value + before.value_step / 2)
        for a in (after.value - after.value_step / 2, after.value + after.value_step / 2)
    ]
    return min(found), max(found)


def _transferred(chain: Chain) -> Expected | None:
    after_m = chain.heights.after_m
    if not after_m:
        return None
    right = chain.energies(tuple(chain.heights.before_m - h for h in after_m), chain.gravities)

    def difference(before: float, after: float) -> float:
        return before - after

    worked = _product(chain, chain.heights.before_m - after_m[-1]).removeprefix("E = m g h = ")
    if chain.before and chain.after:
        lost = significant(chain.before.value - chain.after.value, 3)
        worked = f"{plain(chain.before.value, 4)} J − {plain(chain.after.value, 4)} J = "
        worked += f"{lost} J, from your own energies."
    return Expected(
        right=tuple(right),
        right_range=_from_own(chain, difference, right_only=True),
        own_range=_from_own(chain, difference),
        worked=worked,
        nudge="This is not what is missing after the bounce: compare your two energies.",
    )


def _efficiency(chain: Chain) -> Expected | None:
    found = chain.heights
    if not found.after_m:
        return None
    right = [percent(h / found.before_m) for h in found.after_m]
    before = (found.before_m, *found.own_before_m)
    own = [
        percent(h / drop)
        for h in (*found.after_m, *found.own_mean_m, *found.own_after_m)
        for drop in before
        if drop > 0
    ]

    def percentage(before: float, after: float) -> float:
        return percent(after / before)

    share = right[0]
    return Expected(
        right=tuple(right),
        own=tuple(own),
        right_range=_from_own(chain, percentage, right_only=True),
        own_range=_from_own(chain, percentage),
        worked=f"Energy after ÷ energy before × 100 % = {significant(share, 3)} %.",
        slips={
            "This looks like a fraction: the question asks for a percentage.": tuple(
                one / 100 for one in right
            ),
            "This looks like before divided by after: which of the two is the useful one?": (
                10_000 / share,
                100 / share,
            ),
            "This looks like the share that was lost, not the share that was kept.": tuple(
                100 - one for one in right
            ),
        },
        nudge="This does not follow from your two energies, nor from the two heights.",
    )


def _rounding(work: Work) -> Remark:
    answers = {asked.question[1]: given(work, asked) for asked in _RESULTS}
    read = {name: one for name, one in answers.items() if one}
    if not read:
        return ROUNDING.missing("There is no result to judge yet.")
    off = {
        name: one for name, one in read.items() if not FEWEST_FIGURES <= one.figures <= MOST_FIGURES
    }
    if not off:
        return ROUNDING.right(*(one.text for one in read.values()))
    where = listed([f"'{name}'" for name in off])
    few = any(one.figures < FEWEST_FIGURES for one in off.values())
    claim = "fewer figures than" if few else "more figures than"
    return ROUNDING.wrong(
        where,
        f"The result of {where} has {claim} mass and heights justify.",
        "Write two or three significant figures.",
        *(one.text for one in off.values()),
    )
