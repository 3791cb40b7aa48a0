"""How many repeats? The chance that readings show what putting the ball back does.

Every student of a class carries out both procedures, as in the demonstration: at one bench, with
other luck in each. Asked is what every page asks (`analysis.statistics.two_procedures`): whether
the repeats agree better with the ball put back, by their drift or else by their spread. With one
student that is the demonstration itself; the readings of a class are pooled, each student's sets
beside their own.

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
from analysis.statistics.two_procedures import b_steadier
from sim.actions import NotPossible
from sim.chance import BLOCK
from sim.procedure import Procedure
from sim.state import Setup
from sim.student import cohort
from sim.teaching.demonstration import both_ways

if TYPE_CHECKING:
    from matplotlib.axes import Axes

CLASS_SIZES = (1, 5, 15, 30)
REPEATS = (2, 3, 5, 8)
STUDENTS = BLOCK
"""A whole block of `sim.chance`: more would be drawn for a few less anyhow."""
CLASSES = 2000
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
    chance: float
    low: float
    high: float


class Pool(NamedTuple):
    """What each student of a pool read, by both procedures: (students, temperatures, repeats)."""

    left_m: FloatArray
    back_m: FloatArray


def chances(
    setup: Setup,
    procedure: Procedure,
    sizes: Sequence[int] = CLASS_SIZES,
    repeats: Sequence[int] = REPEATS,
    amount: Amount | None = None,
) -> Iterator[Seen]:
    """The chance of seeing it for each number of repeats and class size, in this order.

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
        plan = replace(procedure, repeats=number)
        students = pool(setup, plan, amount.students)
        for size in sizes:
            # So many independent classes is the dealing worth at least.
            worth = 1.0 / (1.0 / amount.classes + size / amount.students)
            chance = float(_settled(students, _dealt(setup.seed, size, amount), plan).mean())
            yield Seen(size, number, chance, *wilson(chance, worth))


def pool(setup: Setup, procedure: Procedure, students: int) -> Pool:
    """Students who carry out both procedures as the demonstration does."""
    bench = replace(setup, member=setup.member or 1)
    left_m, back_m = (
        cohort(bench, way.procedure, students, way.first_drop).heights_m
        for way in both_ways(procedure)
    )
    return Pool(left_m, back_m)


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


def _settled(
    students: Pool, classes: Iterator[NDArray[np.intp]], plan: Procedure
) -> NDArray[np.bool_]:
    """Of which classes the pooled readings say that the ball put back agrees better."""
    temperatures_k, repeats = np.array(plan.temperatures_k), plan.repeats
    found = []
    for numbers in classes:
        left_m, back_m = (each[numbers].reshape(len(numbers), -1, repeats) for each in students)
        rows_k = np.tile(temperatures_k, numbers.shape[1])
        found.append(b_steadier(left_m, back_m, rows_k, plan.observer.graduation_m))
    return np.concatenate(found)


def wilson(share: float, trials: float) -> tuple[float, float]:
    """The 95 % interval of a chance from a share of independent trials.

    E. B. Wilson, "Probable inference, the law of succession, and statistical inference", 1927.
    """
    z2 = float(ndtri(1.0 - LEVEL / 2.0)) ** 2
    middle = (share + z2 / (2.0 * trials)) / (1.0 + z2 / trials)
    half = (z2 * share * (1.0 - share) / trials + z2 * z2 / (4.0 * trials * trials)) ** 0.5
    half /= 1.0 + z2 / trials
    return max(middle - half, 0.0), min(middle + half, 1.0)


SAID = "The drift or the spread of all readings, pooled, shows that the repeats agree better"
SIGNS = ("o", "^", "s", "x", "D", "+")
DASHES = ("-", "--", ":", "-.", (0, (6, 2, 1, 2, 1, 2)), (0, (1, 3)))


def power_table(seen: Sequence[Seen]) -> Table:
    """One row a class size, one column a number of repeats: chance and interval."""
    found = {(each.class_size, each.repeats): each for each in seen}
    sizes = sorted({each.class_size for each in seen})
    repeats = sorted({each.repeats for each in seen})
    rows = [(str(size), *(_chance(found[size, number]) for number in repeats)) for size in sizes]
    headings = ("students", *(f"{number} repeats" for number in repeats))
    return Table("", headings, tuple(rows))


def draw_power(seen: Sequence[Seen], title: str) -> Figure:
    """Chance against repeats, a line a class size with its 95 % bars."""
    figure = Figure(figsize=(10.0, 6.6), facecolor="white")
    figure.suptitle(title, fontsize=15, y=0.975)
    axes = figure.add_axes((0.09, 0.2, 0.88, 0.68))
    _panel(axes, seen)
    handles, names = axes.get_legend_handles_labels()
    figure.legend(
        handles, names, loc="lower center", ncols=len(names), fontsize=13, frameon=False,
        handlelength=3.2,
    )  # fmt: skip
    return figure


def _panel(axes: Axes, seen: Sequence[Seen]) -> None:
    sizes = sorted({each.class_size for each in seen})
    repeats = sorted({each.repeats for each in seen})
    for place, size in enumerate(sizes):
        row = sorted(
            (each for each in seen if each.class_size == size), key=lambda each: each.repeats
        )
        bars = [
            [max(each.chance - each.low, 0.0) for each in row],
            [max(each.high - each.chance, 0.0) for each in row],
        ]
        axes.errorbar(
            # Beside one another, so that no bar hides another's.
            [each.repeats + 0.07 * (place - (len(sizes) - 1) / 2) for each in row],
            [each.chance for each in row], yerr=bars, color="black", lw=1.6, capsize=4, ms=9,
            mfc="white", marker=SIGNS[place % len(SIGNS)], ls=DASHES[place % len(DASHES)],
            label=counted(size, "student"),
        )  # fmt: skip
    axes.axhline(LEVEL, color="0.45", lw=1.0)
    axes.text(
        repeats[-1] + 0.4, LEVEL + 0.012, "luck alone: less than this", fontsize=11, ha="right"
    )
    axes.set_ylim(-0.02, 1.04)
    axes.set_xlim(repeats[0] - 0.5, repeats[-1] + 0.5)
    axes.set_xticks(repeats)
    axes.tick_params(labelsize=13)
    axes.grid(axis="y", color="0.88")
    axes.spines[["top", "right"]].set_visible(False)
    axes.set_xlabel("repeats at each temperature", fontsize=13)
    axes.set_ylabel("chance that the readings show it", fontsize=13)
    axes.set_title(SAID, fontsize=12.5)


def _chance(seen: Seen) -> str:
    return f"{fixed(seen.chance, 2)} ({fixed(seen.low, 2)} to {fixed(seen.high, 2)})"
