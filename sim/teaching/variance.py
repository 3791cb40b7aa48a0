"""Where the spread of the repeats comes from: each source switched off in turn.

A cohort carries out one plan several times under the same random numbers: as it is, with
one source switched off, and with all of them switched off. What a source adds is how much
the variance of the repeats falls without it. What is left with all off is the rest; what
the parts and the rest do not add up to is the interaction: it is there because rounding,
say, does less where the readings are spread out anyhow.

Shown as a table, in sentences, and as stacked bars that are told apart by their hatching.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from analysis.paper.document import Table
from analysis.quantity.headings import heading_text
from analysis.quantity.units import (
    FloatArray,
    celsius,
    centimetres,
    fixed,
    kelvin,
    percent,
    plain,
    plus_minus,
)
from sim.actions import NotPossible
from sim.procedure import Procedure
from sim.state import Setup
from sim.student import cohort
from sim.teaching.demonstration import NAMES

if TYPE_CHECKING:
    from matplotlib.axes import Axes

SPLIT_TEMPERATURES_K = tuple(kelvin(each) for each in (20.0, 40.0, 60.0))
SPLIT_PLAN = Procedure(temperatures_k=SPLIT_TEMPERATURES_K)
SPLIT_MEMBERS = 8000
"""Students in each run, as many as one block of `sim.chance` holds: the parts are then known
to better than a hundredth of the variance."""

LEAST_COOLING = 0.05
"""Cooling is switched off by taking a twentieth of it, the least that `physics.ball` allows:
a four-hundredth of the variance that it makes stays."""
STILL_FRAMES_PER_S = 1_000_000
"""A camera so fast that it does not miss the apex."""


class Case(NamedTuple):
    """A bench and a plan."""

    setup: Setup
    procedure: Procedure


def _no_cooling(case: Case) -> Case:
    factor = LEAST_COOLING * case.setup.model.cooling_factor
    model = replace(case.setup.model, cooling_factor=max(factor, LEAST_COOLING))
    return case._replace(setup=replace(case.setup, model=model))


def _steady_hand(case: Case) -> Case:
    return case._replace(setup=replace(case.setup, hand_sd_m=0.0))


def _read_with(**errors: float) -> Callable[[Case], Case]:
    """What gives whoever reads these errors, as far as reader or camera has them."""

    def switched(case: Case) -> Case:
        observer = case.procedure.observer
        own: dict[str, Any] = {
            name: each for name, each in errors.items() if hasattr(observer, name)
        }
        return case._replace(procedure=replace(case.procedure, observer=replace(observer, **own)))

    return switched


SOURCES: Mapping[str, Callable[[Case], Case]] = MappingProxyType(
    {
        "ball cooling": _no_cooling,
        "hand": _steady_hand,
        "eye: instant": _read_with(timing_sd_s=0.0, frames_per_second=STILL_FRAMES_PER_S),
        "eye: place": _read_with(place_sd_m=0.0),
        "rounding": _read_with(graduation_m=0.0, digit_preference=0.0),
        "slips": _read_with(misreading_chance=0.0),
    }
)
"""Each source by name, and how it is switched off."""
REST = "rest"
"""With all sources off: the eye that is not yet level with the bounce (parallax), and the water
that is not quite as warm each time."""
INTERACTION = "interaction"


class Part(NamedTuple):
    """A variance with its standard uncertainty from the finite cohort, both m², shape (T,)."""

    variance_m2: FloatArray
    uncertainty_m2: FloatArray


@dataclass(frozen=True)
class Split:
    """The variance of the repeats of one procedure, taken apart."""

    name: str
    temperatures_k: tuple[float, ...]
    members: int
    total: Part
    parts: Mapping[str, Part]
    """The sources, the rest and the interaction: they add up to the total."""


def split(setup: Setup, procedure: Procedure, members: int = SPLIT_MEMBERS) -> Split:
    """Take the variance of the repeats apart for one procedure.

    The variance is that of one student's repeats at one temperature, averaged over the
    students. Every run uses the same random numbers, so differences are known better than
    the variances themselves; uncertainties come from the scatter between students.

    Args:
        setup: the bench of the first student.
        procedure: the plan, reheated or not; 2 repeats or more.
        members: how many students, 2 or more.

    Raises:
        NotPossible: the plan has no repeats, or there are too few students.

    """
    if procedure.repeats < 2:
        raise NotPossible("The variance of the repeats needs at least two drops a temperature.")
    if members < 2:
        raise NotPossible("The split of the variance needs at least two students.")
    case = Case(setup, procedure)
    with_all = _variances_m2(case, members)
    bare = case
    parts = {}
    for name, switched_off in SOURCES.items():
        parts[name] = with_all - _variances_m2(switched_off(case), members)
        bare = switched_off(bare)
    parts[REST] = _variances_m2(bare, members)
    parts[INTERACTION] = with_all - np.sum(list(parts.values()), axis=0)
    return Split(
        name=NAMES[procedure.reheat],
        temperatures_k=procedure.temperatures_k,
        members=members,
        total=_part(with_all),
        parts=MappingProxyType({name: _part(each) for name, each in parts.items()}),
    )


def splits(
    setup: Setup, procedure: Procedure = SPLIT_PLAN, members: int = SPLIT_MEMBERS
) -> tuple[Split, Split]:
    """The split with the ball left to cool, and with the ball put back."""
    left, back = (
        split(setup, replace(procedure, reheat=reheat), members) for reheat in (False, True)
    )
    return left, back


def _variances_m2(case: Case, members: int) -> FloatArray:
    """The variance of each student's repeats, shape (members, T)."""
    heights_m = cohort(case.setup, case.procedure, members).heights_m
    variances: FloatArray = heights_m.var(axis=-1, ddof=1)
    return variances


def _part(by_student_m2: FloatArray) -> Part:
    members = len(by_student_m2)
    return Part(by_student_m2.mean(axis=0), by_student_m2.std(axis=0, ddof=1) / np.sqrt(members))


CM2_PER_M2 = centimetres(1.0) ** 2
TOTAL = "all together"
HATCHES = {
    "ball cooling": ("0.35", ""),
    "hand": ("1.0", "xxx"),
    "eye: instant": ("1.0", "///"),
    "eye: place": ("1.0", "..."),
    "rounding": ("1.0", "---"),
    "slips": ("1.0", "+++"),
    REST: ("1.0", ""),
}
"""Grey of the ground and hatching of each source; no colour."""
BAR, GAP = 0.8, 0.25
LEAST_SHARE = 0.09
"""A part smaller than this share of the tallest bar is named in the key alone."""


def split_table(splits: Sequence[Split]) -> Table:
    """One row a procedure, temperature and source; headings "quantity / unit"."""
    rows = [
        (split.name, plain(celsius(temperature_k)), name, *_figures(part, split.total, row))
        for split in splits
        for row, temperature_k in enumerate(split.temperatures_k)
        for name, part in ((TOTAL, split.total), *split.parts.items())
    ]
    headings = (
        "procedure",
        heading_text("temperature", "°C"),
        "source",
        heading_text("variance", "cm²"),
        heading_text("standard uncertainty", "cm²"),
        heading_text("share", "%"),
    )
    return Table("", headings, tuple(rows))


def _figures(part: Part, total: Part, row: int) -> tuple[str, str, str]:
    variance = float(part.variance_m2[row])
    share = percent(variance / float(total.variance_m2[row]))
    return (
        fixed(variance * CM2_PER_M2, 3),
        fixed(float(part.uncertainty_m2[row]) * CM2_PER_M2, 3),
        fixed(share, 1),
    )


def split_sentences(splits: Sequence[Split]) -> tuple[str, ...]:
    """What the split teaches, a sentence a procedure."""
    return tuple(map(_sentence, splits))


def _sentence(split: Split) -> str:
    cooling = split.parts["ball cooling"].variance_m2 / split.total.variance_m2
    shares = ", ".join(
        f"{fixed(percent(max(float(share), 0.0)), 0)} % at {plain(celsius(temperature_k))} °C"
        for share, temperature_k in zip(cooling, split.temperatures_k, strict=True)
    )
    return f"Ball {split.name}: its cooling makes {shares} of the variance of the repeats."


def draw_splits(splits: tuple[Split, Split], title: str) -> Figure:
    """Two bars a temperature, left to cool and put back; on each the variance in its parts.

    A part that came out below zero, as chance has it, is left out of the bar; the sum and the
    interaction stand over it as numbers.
    """
    figure = Figure(figsize=(11.0, 7.2), facecolor="white")
    axes = figure.add_axes((0.08, 0.17, 0.63, 0.73))
    tallest = max(float(split.total.variance_m2.max()) for split in splits) * CM2_PER_M2
    for side, split in enumerate(splits):
        for row in range(len(split.temperatures_k)):
            left = row * (2 * BAR + 3 * GAP) + side * (BAR + GAP / 2)
            _bar(axes, split, row, (left, tallest))
    _lettered(axes, splits[0], tallest)
    axes.set_title(title, fontsize=15, pad=12)
    _key(figure)
    return figure


def _bar(axes: Axes, split: Split, row: int, place: tuple[float, float]) -> None:
    left, tallest = place
    height = 0.0
    for name in (*SOURCES, REST):
        part = float(split.parts[name].variance_m2[row]) * CM2_PER_M2
        if part <= 0.0:
            continue
        grey, hatch = HATCHES[name]
        axes.add_patch(
            Rectangle((left, height), BAR, part, fc=grey, ec="black", hatch=hatch, lw=1.2)
        )
        if part > LEAST_SHARE * tallest:
            _name_part(axes, name, (left + BAR / 2, height + part / 2))
        height += part
    total, uncertainty = (float(each[row]) * CM2_PER_M2 for each in split.total)
    both = float(split.parts[INTERACTION].variance_m2[row]) * CM2_PER_M2
    axes.text(
        left + BAR / 2,
        height + 0.015 * tallest,
        f"{plus_minus(total, uncertainty).replace(' ±', chr(10) + '±')}\n({fixed(both, 2)})",
        ha="center",
        va="bottom",
        fontsize=11,
    )
    axes.text(
        left + BAR / 2, -0.02 * tallest, split.name.replace(" to ", "\nto "), ha="center",
        va="top", fontsize=12,
    )  # fmt: skip


def _name_part(axes: Axes, name: str, at: tuple[float, float]) -> None:
    box = {"fc": "white", "ec": "none", "pad": 1.5}
    axes.text(
        *at,
        name.removeprefix("eye: ").removeprefix("ball "),
        ha="center",
        va="center",
        fontsize=11,
        bbox=box,
    )


def _lettered(axes: Axes, split: Split, tallest: float) -> None:
    """The axes' numbers and titles; each pair of bars named by its temperature."""
    step = 2 * BAR + 3 * GAP
    axes.set_xlim(-GAP, len(split.temperatures_k) * step - GAP)
    axes.set_ylim(0.0, 1.2 * tallest)
    axes.set_xticks([])
    for row, temperature_k in enumerate(split.temperatures_k):
        axes.text(
            row * step + BAR + GAP / 4,
            -0.135 * tallest,
            f"{plain(celsius(temperature_k))} °C",
            ha="center",
            va="top",
            fontsize=16,
            weight="bold",
        )
    axes.set_ylabel("variance of the repeats / cm²", fontsize=14)
    axes.tick_params(labelsize=13)
    axes.spines[["top", "right"]].set_visible(False)


def _key(figure: Figure) -> None:
    """The hatchings from the top of the bars down, and what the numbers over them are."""
    names = [*SOURCES, REST][::-1]
    signs = [
        Rectangle((0, 0), 1, 1, fc=HATCHES[name][0], ec="black", hatch=HATCHES[name][1])
        for name in names
    ]
    figure.legend(
        signs, names, loc="upper left", bbox_to_anchor=(0.725, 0.9), fontsize=13, frameon=False,
        handlelength=2.2, handleheight=1.6,
    )  # fmt: skip
    words = (
        "Over each bar: the whole variance\nand, in brackets, the interaction\n"
        "(what the parts do not add up to).\n\n"
        "Rest: with all sources off, such as\nthe eye not level with the bounce."
    )
    figure.text(0.735, 0.47, words, fontsize=11, va="top", linespacing=1.4)
