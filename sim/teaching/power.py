"""How many repeats? The chance that a class sees what putting the ball back does.

Every student of a class carries out both procedures, with other luck in each. Two rules
are asked, one that a class can use with a show of hands and one that a statistician would:

- `HANDS`: more than half of the students find a smaller half-range (the mean over the
  temperatures of the table) with the ball put back. A tie is no finding.
- `TEST`: the variances of all the class's sets, pooled, differ by the 95 % F interval of
  `analysis.statistics.two_procedures` (normal readings), and the smaller one is that with the ball
  put back.

A pool of students is simulated once for each number of repeats. Classes are dealt from it
like cards, without putting a student back until the pool is through; it is shuffled and
dealt again until there are enough. Dealing again tells less than new students would, so the
interval goes by the number of independent classes that the dealing is worth at least:
1/(1/classes + size/students), after W. Hoeffding, "A class of statistics with
asymptotically normal distribution", 1948 (the variance of a U statistic; from memory).

Shown as a small table and a small chart.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from matplotlib.figure import Figure
from numpy.typing import NDArray
from scipy.special import ndtri

from analysis.paper.document import Table
from analysis.quantity.units import FloatArray, counted, fixed
from analysis.statistics.spread import LEVEL
from analysis.statistics.two_procedures import variance_interval
from sim.actions import NotPossible
from sim.chance import BLOCK
from sim.procedure import Procedure
from sim.state import Setup
from sim.student import cohort

if TYPE_CHECKING:
    from matplotlib.axes import Axes

HANDS, TEST = "show of hands", "test of the pooled readings"
RULES = (HANDS, TEST)
CLASS_SIZES = (1, 5, 15, 30)
REPEATS = (2, 3, 5, 8)
SMALLEST_M2 = 1e-12
"""A micrometre squared: stands for the variance of readings that are not rounded and agree."""
STUDENTS = 3 * BLOCK
"""Whole blocks of `sim.chance`: more would be drawn for a few less anyhow."""
CLASSES = 20_000
DEALING = 7
"""The purpose of the shuffles in the address of their random numbers (`sim.chance`)."""


@dataclass(frozen=True)
class Amount:
    """How much is simulated: students in the pool, and classes dealt from it."""

    students: int = STUDENTS
    classes: int = CLASSES


class Seen(NamedTuple):
    """A chance with its 95 % interval (Wilson)."""

    class_size: int
    repeats: int
    rule: str
    chance: float
    low: float
    high: float


@dataclass(frozen=True)
class Pool:
    """What each student of a pool found. Arrays of shape (students,)."""

    smaller: NDArray[np.bool_]
    """Whether the mean half-range came out smaller with the ball put back."""
    left_m2: FloatArray
    """Variance of the repeats, pooled over the temperatures, left to cool."""
    back_m2: FloatArray
    """The same with the ball put back."""
    degrees: int
    """Degrees of freedom of one student's variance."""
    least_m2: float
    """The variance of rounding: no class's pooled variance counts as smaller."""


def chances(
    setup: Setup,
    procedure: Procedure,
    sizes: Sequence[int] = CLASS_SIZES,
    repeats: Sequence[int] = REPEATS,
    amount: Amount | None = None,
) -> Iterator[Seen]:
    """The chance of seeing it for each number of repeats, class size and rule, in this order.

    Args:
        setup: whose seed the students' luck grows from, the ball and the room.
        procedure: the plan; its repeats and whether it reheats do not matter.
        sizes: students in a class, each 1 or more and no more than the pool.
        repeats: drops at each temperature, each 2 or more.
        amount: how much is simulated.

    Raises:
        NotPossible: fewer than two repeats, or a class that the pool cannot fill.

    """
    amount = amount or Amount()
    if min(repeats) < 2:
        raise NotPossible("A spread needs at least two repeats at each temperature.")
    if not 1 <= min(sizes) <= max(sizes) <= amount.students:
        raise NotPossible(
            f"A class has from 1 to {amount.students} students here, not {min(sizes)} to "
            f"{max(sizes)}."
        )
    for number in repeats:
        students = pool(setup, replace(procedure, repeats=number), amount.students)
        for size in sizes:
            # So many independent classes is the dealing worth at least.
            worth = 1.0 / (1.0 / amount.classes + size / amount.students)
            counted = _asked(students, _dealt(setup.seed, size, amount), size)
            for rule, count in counted.items():
                chance = count / amount.classes
                yield Seen(size, number, rule, chance, *wilson(chance, worth))


def pool(setup: Setup, procedure: Procedure, students: int) -> Pool:
    """Students who carry out both procedures, with independent luck in the two."""
    apart = BLOCK * -(-students // BLOCK)
    first = setup.member or 1
    left_m, back_m = (
        cohort(
            replace(setup, member=first + apart * reheat),
            replace(procedure, reheat=reheat),
            students,
        ).heights_m
        for reheat in (False, True)
    )
    left_range_m, back_range_m = (np.ptp(each, axis=-1).sum(axis=-1) for each in (left_m, back_m))
    # Readings in half centimetres differ by whole micrometres or not at all.
    smaller = back_range_m < left_range_m - 1e-6
    left_m2, back_m2 = (each.var(axis=-1, ddof=1).mean(axis=-1) for each in (left_m, back_m))
    sets, repeats = left_m.shape[1:]
    least_m2 = max(procedure.observer.graduation_m**2 / 12.0, SMALLEST_M2)
    return Pool(smaller, left_m2, back_m2, sets * (repeats - 1), least_m2)


def _dealt(seed: int, size: int, amount: Amount) -> Iterator[NDArray[np.intp]]:
    """Classes as rows of students' numbers, a shuffled pool at a time."""
    counter = np.array([0, 0, size, DEALING], dtype=np.uint64)
    shuffles = np.random.Generator(np.random.Philox(key=seed, counter=counter))
    left = amount.classes
    per_shuffle = amount.students // size
    while left > 0:
        order = shuffles.permutation(amount.students)[: per_shuffle * size]
        classes = order.reshape(per_shuffle, size)[:left]
        yield classes
        left -= len(classes)


def _asked(students: Pool, classes: Iterator[NDArray[np.intp]], size: int) -> dict[str, int]:
    """How many of the classes see the effect, by rule."""
    seen = dict.fromkeys(RULES, 0)
    degrees = size * students.degrees
    for numbers in classes:
        seen[HANDS] += int((2 * students.smaller[numbers].sum(axis=1) > size).sum())
        left_m2, back_m2 = (
            np.maximum(each[numbers].mean(axis=1), students.least_m2)
            for each in (students.left_m2, students.back_m2)
        )
        _, high = variance_interval(back_m2 / left_m2, degrees, degrees)
        seen[TEST] += int((high < 1.0).sum())
    return seen


def wilson(share: float, trials: float) -> tuple[float, float]:
    """The 95 % interval of a chance from a share of independent trials.

    E. B. Wilson, "Probable inference, the law of succession, and statistical inference", 1927.
    """
    z2 = float(ndtri(1.0 - LEVEL / 2.0)) ** 2
    middle = (share + z2 / (2.0 * trials)) / (1.0 + z2 / trials)
    half = (z2 * share * (1.0 - share) / trials + z2 * z2 / (4.0 * trials * trials)) ** 0.5
    half /= 1.0 + z2 / trials
    return max(middle - half, 0.0), min(middle + half, 1.0)


LUCK = {HANDS: 0.5, TEST: 0.025}
"""What luck alone gives where there is nothing to see: by symmetry at most a half, and the
upper tail of a 95 % interval."""
LUCK_SAID = {HANDS: "luck alone: this at most", TEST: "luck alone: about this"}
SAID = {
    HANDS: "Show of hands: more than half the class\nfind a smaller half-range",
    TEST: "Test: the 95 % interval of all readings\npooled says the spread is smaller",
}
SIGNS = ("o", "^", "s", "x", "D", "+")
DASHES = ("-", "--", ":", "-.", (0, (6, 2, 1, 2, 1, 2)), (0, (1, 3)))


def power_table(seen: Sequence[Seen]) -> Table:
    """One row a rule and class size, one column a number of repeats: chance and interval."""
    found = {(each.rule, each.class_size, each.repeats): each for each in seen}
    sizes = sorted({each.class_size for each in seen})
    repeats = sorted({each.repeats for each in seen})
    rows = [
        (rule, str(size), *(_chance(found[rule, size, number]) for number in repeats))
        for rule in RULES
        for size in sizes
    ]
    headings = ("rule", "students", *(f"{number} repeats" for number in repeats))
    return Table("", headings, tuple(rows))


def draw_power(seen: Sequence[Seen], title: str) -> Figure:
    """Chance against repeats, a panel a rule, a line a class size with its 95 % bars."""
    figure = Figure(figsize=(11.0, 6.6), facecolor="white")
    figure.suptitle(title, fontsize=15, y=0.975)
    for column, rule in enumerate(RULES):
        axes = figure.add_axes((0.075 + 0.47 * column, 0.2, 0.43, 0.61))
        _panel(axes, [each for each in seen if each.rule == rule], rule)
        if column == 0:
            axes.set_ylabel("chance that the class sees the effect", fontsize=13)
    handles, names = figure.axes[0].get_legend_handles_labels()
    figure.legend(
        handles, names, loc="lower center", ncols=len(names), fontsize=13, frameon=False,
        handlelength=3.2,
    )  # fmt: skip
    return figure


def _panel(axes: Axes, seen: Sequence[Seen], rule: str) -> None:
    sizes = sorted({each.class_size for each in seen})
    repeats = sorted({each.repeats for each in seen})
    for place, size in enumerate(sizes):
        row = sorted(
            (each for each in seen if each.class_size == size), key=lambda each: each.repeats
        )
        middle = [each.chance for each in row]
        bars = [
            [max(each.chance - each.low, 0.0) for each in row],
            [max(each.high - each.chance, 0.0) for each in row],
        ]
        axes.errorbar(
            # Beside one another, so that no bar hides another's.
            [each.repeats + 0.07 * (place - (len(sizes) - 1) / 2) for each in row],
            middle, yerr=bars, color="black", lw=1.6, capsize=4, ms=9, mfc="white",
            marker=SIGNS[place % len(SIGNS)], ls=DASHES[place % len(DASHES)],
            label=counted(size, "student"),
        )  # fmt: skip
    axes.axhline(LUCK[rule], color="0.45", lw=1.0)
    axes.text(repeats[-1] + 0.4, LUCK[rule] + 0.012, LUCK_SAID[rule], fontsize=11, ha="right")
    axes.set_ylim(-0.02, 1.04)
    axes.set_xlim(repeats[0] - 0.5, repeats[-1] + 0.5)
    axes.set_xticks(repeats)
    axes.tick_params(labelsize=13)
    axes.grid(axis="y", color="0.88")
    axes.spines[["top", "right"]].set_visible(False)
    axes.set_xlabel("repeats at each temperature", fontsize=13)
    axes.set_title(SAID[rule], fontsize=12.5)


def _chance(seen: Seen) -> str:
    return f"{fixed(seen.chance, 2)} ({fixed(seen.low, 2)} to {fixed(seen.high, 2)})"
