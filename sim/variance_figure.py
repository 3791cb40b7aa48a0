"""The split of the variance as a table and as stacked bars, told apart by their hatching."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from analysis.quantity import celsius, fixed, heading, plain, plus_minus
from sim.variance import INTERACTION, REST, SOURCES, Part, Split

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes

CM2_PER_M2 = 1e4
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


def split_frame(splits: Sequence[Split]) -> pd.DataFrame:
    """One row a procedure, temperature and source; headings "quantity / unit"."""
    import pandas as pd

    rows = [
        (split.name, plain(float(celsius(temperature_k))), name, *_figures(part, split.total, row))
        for split in splits
        for row, temperature_k in enumerate(split.temperatures_k)
        for name, part in ((TOTAL, split.total), *split.parts.items())
    ]
    columns = (
        "procedure",
        heading("temperature", "°C"),
        "source",
        heading("variance", "cm²"),
        heading("standard uncertainty", "cm²"),
        heading("share", "%"),
    )
    return pd.DataFrame(rows, columns=list(columns))


def _figures(part: Part, total: Part, row: int) -> tuple[str, str, str]:
    variance = float(part.variance_m2[row])
    share = 100.0 * variance / float(total.variance_m2[row])
    return (
        fixed(variance * CM2_PER_M2, 3),
        fixed(float(part.uncertainty_m2[row]) * CM2_PER_M2, 3),
        fixed(share, 1),
    )


def split_sentences(splits: Sequence[Split]) -> tuple[str, ...]:
    """What the split teaches, a sentence a procedure."""
    return tuple(_sentence(split) for split in splits)


def _sentence(split: Split) -> str:
    cooling = split.parts["ball cooling"].variance_m2 / split.total.variance_m2
    shares = ", ".join(
        f"{fixed(max(float(share), 0.0) * 100.0, 0)} % at {plain(float(celsius(temperature_k)))} °C"
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
            f"{plain(float(celsius(temperature_k)))} °C",
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
