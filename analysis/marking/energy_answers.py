"""The Energy page: heights in metres, energies, efficiency, each from the student's own numbers.

Rules. Height before: the drop height, to half a per cent. Height after: the own mean at the
temperature named, to half a unit of the readings' last place. An energy is m g h; g may be 9.8,
9.81 or 10 N/kg, but the same throughout; an answer is right when the exact value rounds to it.
Energy transferred and efficiency may be worked from the own answers as written, from the unrounded
values that round to them, or from exact ones.
An earlier answer of the student's, if wrong, is carried: its slip costs one mark; an energy with
another prefix, of which the bare number follows, is taken in joules. Rounding: two
or three significant figures, as mass and heights have.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from operator import sub

from analysis.marking.numbers import Expected, Range, asked, judge
from analysis.marking.questions import ENERGY
from analysis.marking.study import Study
from analysis.marking.work import Criterion, Remark, listed
from analysis.quantity.units import centimetres, kilograms, metres, percent, plain, significant
from analysis.quantity.written import Given, rounds_to

GRAVITIES = (9.8, 9.81, 10.0)
"""Values of g in N/kg that are taught; standard gravity is 9.80665 N/kg (CGPM 1901)."""

CONVERSION = (
    "This looks like the centimetre-to-metre conversion: how many centimetres make one metre?"
)
GRAMS = "This looks like a mass still in grams: which unit of mass goes with N/kg?"
_BOTH = f"{CONVERSION} The mass looks to be still in grams, too."
SLIPS = {CONVERSION: 100.0, GRAMS: 1000.0, _BOTH: 100_000.0}
"""Slips of an energy by the factor that gives them away."""
_OTHER_G = "Another value of g was used here than for the energy before: keep to one."
_NO_PRODUCT = "This does not follow from mass, gravitational field strength and height."

_HEIGHT_BEFORE = asked(ENERGY, "height before", "The drop height is given in metres.")
_HEIGHT_AFTER = asked(ENERGY, "height after", "The own mean height is given in metres.")
_BEFORE = asked(ENERGY, "energy before", "The energy before follows from m g h.", "energy before")
_AFTER = asked(ENERGY, "energy after", "The energy after follows from m g h.", "energy after")
_TRANSFERRED = asked(
    ENERGY,
    "energy transferred",
    "The energy transferred is the difference of the two.",
    "energy transferred",
)
_EFFICIENCY = asked(
    ENERGY, "efficiency", "Efficiency is the energy after as a percentage of before."
)
_ROUNDING = Criterion(ENERGY, "energy.rounding", "Results have two or three significant figures.")
_RESULTS = (_BEFORE, _AFTER, _TRANSFERRED, _EFFICIENCY)
_FEWEST_FIGURES, _MOST_FIGURES = 2, 3


@dataclass(frozen=True)
class Chain:
    """The answers that build on each other; heights in metres, energies in joules.

    `after_m` are right (the exact mean, and the own mean if it follows), `own_mean_m` is an own
    mean that does not follow. The own answers for heights are taken as metres whatever stands
    behind them, and as what they say. `before` and `after` are the own energies.
    """

    mass_kg: float
    before_m: float
    after_m: tuple[float, ...]
    own_mean_m: tuple[float, ...]
    own_before_m: tuple[float, ...]
    own_after_m: tuple[float, ...]
    before: Given | None
    after: Given | None

    def energies(
        self, heights_m: tuple[float, ...], gravities: tuple[float, ...], slip: float = 1.0
    ) -> list[float]:
        """Potential energies in joules, m g h, for every height and g, off by a slip's factor."""
        return [slip * (self.mass_kg * g * height) for height in heights_m for g in gravities]

    @cached_property
    def gravities(self) -> tuple[float, ...]:
        """The g that the energy before was worked with; all of them where it does not tell."""
        at = (self.before_m, *self.own_before_m)
        for slip in (1.0, *SLIPS.values()):
            found = [g for g in GRAVITIES if _follows(self.before, self.energies(at, (g,), slip))]
            if found:
                return tuple(found)
        return GRAVITIES

    @cached_property
    def slip_factor(self) -> float:
        """The factor by which the energy before is off through a known slip; 1 without one."""
        at = (self.before_m,)
        for slip in () if self.before_is_right else SLIPS.values():
            if _follows(self.before, self.energies(at, GRAVITIES, slip)):
                return slip
        return 1.0

    @cached_property
    def before_is_right(self) -> bool:
        """Whether the energy before follows from mass and drop height."""
        return _follows(self.before, self.energies((self.before_m,), GRAVITIES))

    @cached_property
    def after_is_right(self) -> bool:
        """Whether the energy after follows from mass and mean height, with the same g."""
        return _follows(self.after, self.energies(self.after_m, self.gravities))


def _follows(answer: Given | None, values: list[float]) -> bool:
    return answer is not None and any(rounds_to(answer, value) for value in values)


def _chain(study: Study) -> Chain:
    source, row, check = study.named_set, study.named_row, study.named_check
    exact = metres(sum(source.standing_cm) / len(source.standing_cm)) if source else math.nan
    own_mean = metres(row.mean_cm) if row else math.nan
    follows = check is not None and check.follows == "yes"
    right = (exact, own_mean) if follows else (exact,)
    chain = Chain(
        mass_kg=kilograms(study.work.mass_g),
        before_m=metres(study.work.drop_height_cm),
        after_m=tuple(height for height in right if height > 0),
        own_mean_m=() if follows or math.isnan(own_mean) else (own_mean,),
        own_before_m=_as_metres(_HEIGHT_BEFORE.given(study)),
        own_after_m=_as_metres(_HEIGHT_AFTER.given(study)),
        before=None,
        after=None,
    )
    before_m = (chain.before_m, *chain.own_before_m)
    after_m = (*chain.after_m, *chain.own_mean_m, *chain.own_after_m)
    return replace(
        chain,
        before=_in_joules(_BEFORE.given(study), chain.energies(before_m, GRAVITIES)),
        after=_in_joules(_AFTER.given(study), chain.energies(after_m, GRAVITIES)),
    )


def _in_joules(answer: Given | None, energies: list[float]) -> Given | None:
    """The answer, its unit crossed out where only the bare number is one of the energies."""
    if answer is None or _follows(answer, energies):
        return answer
    bare = replace(answer, factor=None)
    return bare if _follows(bare, energies) else answer


def _as_metres(answer: Given | None) -> tuple[float, ...]:
    return tuple({answer.number, answer.value}) if answer else ()


def _slips_of(values: list[float]) -> dict[str, tuple[float, ...]]:
    """Values that give a slip of conversion away, by the nudge that names it."""
    return {nudge: tuple(factor * value for value in values) for nudge, factor in SLIPS.items()}


def mark_energy(study: Study) -> tuple[Remark, ...]:
    """Mark the numbers of the Energy page."""
    chain = _chain(study)
    return (
        *judge(study, _HEIGHT_BEFORE, _height_before(chain)),
        *judge(study, _HEIGHT_AFTER, _height_after(chain, study.reading_places)),
        *judge(study, _BEFORE, _before(chain)),
        *judge(study, _AFTER, _after(chain)),
        *judge(study, _TRANSFERRED, _transferred(chain)),
        *judge(study, _EFFICIENCY, _efficiency(chain)),
        _rounding(study),
    )


def _height_before(chain: Chain) -> Expected:
    exact = chain.before_m
    return Expected(
        right=(exact,),
        worked=f"{plain(centimetres(exact))} cm ÷ 100 = {plain(exact)} m.",
        slips={CONVERSION: (exact, exact * 100, exact * 10, exact / 100)},
        near=lambda answer, height_m: abs(answer.value - height_m) <= 0.005 * height_m,
        nudge="This is not the height that the ball was dropped from.",
    )


def _height_after(chain: Chain, places: int) -> Expected | None:
    if not chain.after_m:
        return None
    step_m = metres(10.0**-places)  # one unit of the readings' last place

    def near(answer: Given, height_m: float) -> bool:
        # A slip is recognised at a hundredfold, so its tolerance is a hundredfold too.
        size = max(1.0, height_m / max(chain.after_m))
        return abs(answer.value - height_m) <= size * step_m / 2 * (1 + 1e-6)

    exact = chain.after_m[-1]
    every = (*chain.after_m, *chain.own_mean_m)
    return Expected(
        right=chain.after_m,
        own=chain.own_mean_m,
        worked=f"{plain(centimetres(exact))} cm ÷ 100 = {plain(exact, 4)} m.",
        slips={CONVERSION: tuple(h * size for h in every for size in (1.0, 10.0, 100.0))},
        near=near,
        nudge="This is not the mean in your table at the temperature named.",
    )


def _before(chain: Chain) -> Expected:
    right = chain.energies((chain.before_m,), GRAVITIES)
    return Expected(
        right=tuple(right),
        own=tuple(chain.energies(chain.own_before_m, GRAVITIES)),
        worked=_product(chain, chain.before_m),
        slips=_slips_of(right),
        nudge=_NO_PRODUCT,
    )


def _product(chain: Chain, height_m: float) -> str:
    energy = chain.mass_kg * 9.81 * height_m
    return (
        f"E = m g h = {plain(chain.mass_kg, 6)} kg × 9.81 N/kg × {plain(height_m, 4)} m = "
        f"{significant(energy, 3)} J."
    )


def _after(chain: Chain) -> Expected | None:
    if not chain.after_m:
        return None
    own_heights = (*chain.own_mean_m, *chain.own_after_m)
    # The same slip again as in the energy before has cost its mark there.
    slipped = chain.energies((*chain.after_m, *own_heights), chain.gravities, chain.slip_factor)
    right = chain.energies(chain.after_m, chain.gravities)
    return Expected(
        right=tuple(right),
        own=(*chain.energies(own_heights, chain.gravities), *slipped),
        worked=_product(chain, chain.after_m[-1]),
        slips={_OTHER_G: tuple(chain.energies(chain.after_m, GRAVITIES)), **_slips_of(right)},
        nudge=_NO_PRODUCT,
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
    after_m = chain.after_m
    if not after_m:
        return None
    right = chain.energies(tuple(chain.before_m - h for h in after_m), chain.gravities)
    worked = _product(chain, chain.before_m - after_m[-1]).removeprefix("E = m g h = ")
    if chain.before and chain.after:
        lost = significant(chain.before.value - chain.after.value, 3)
        worked = f"{plain(chain.before.value, 4)} J − {plain(chain.after.value, 4)} J = "
        worked += f"{lost} J, from your own energies."
    return Expected(
        right=tuple(right),
        right_range=_from_own(chain, sub, right_only=True),
        own_range=_from_own(chain, sub),
        worked=worked,
        nudge="This is not what is missing after the bounce: compare your two energies.",
    )


def _efficiency(chain: Chain) -> Expected | None:
    if not chain.after_m:
        return None
    right = [percent(h / chain.before_m) for h in chain.after_m]
    before = (chain.before_m, *chain.own_before_m)
    own = [
        percent(h / drop)
        for h in (*chain.after_m, *chain.own_mean_m, *chain.own_after_m)
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


def _rounding(study: Study) -> Remark:
    read = {one.where: found for one in _RESULTS if (found := one.given(study))}
    if not read:
        return _ROUNDING.missing("There is no result yet whose rounding could be judged.")
    off = {
        where: one
        for where, one in read.items()
        if not _FEWEST_FIGURES <= one.figures <= _MOST_FIGURES
    }
    if not off:
        return _ROUNDING.right(*(one.text for one in read.values()))
    where = listed(list(off))
    few = any(one.figures < _FEWEST_FIGURES for one in off.values())
    claim = "fewer figures than" if few else "more figures than"
    return _ROUNDING.wrong(
        where,
        f"The result of {where} has {claim} mass and heights justify.",
        "Write two or three significant figures.",
        *(one.text for one in off.values()),
    )
