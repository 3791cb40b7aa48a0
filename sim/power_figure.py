"""The chance that a class sees the effect, as a small table and a small chart."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from matplotlib.figure import Figure

from analysis.quantity import fixed
from sim.power import HANDS, RULES, TEST, Seen

if TYPE_CHECKING:
    import pandas as pd
    from matplotlib.axes import Axes

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


def power_frame(seen: Sequence[Seen]) -> pd.DataFrame:
    """One row a rule and class size, one column a number of repeats: chance and interval."""
    import pandas as pd

    repeats = sorted({each.repeats for each in seen})
    rows = []
    for rule in RULES:
        for size in sorted({each.class_size for each in seen}):
            row = {each.repeats: each for each in seen if _is(each, rule, size)}
            rows.append([rule, str(size), *(_chance(row[number]) for number in repeats)])
    headings = [f"{number} repeats" for number in repeats]
    return pd.DataFrame(rows, columns=["rule", "students", *headings])


def power_lines(frame: pd.DataFrame) -> list[str]:
    """The table for a terminal."""
    columns = [[str(name), *map(str, frame[name])] for name in frame]
    widths = [max(map(len, column)) for column in columns]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in zip(*columns, strict=True)
    ]


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
        row = sorted((each for each in seen if each.class_size == size), key=_repeats)
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
            label="1 student" if size == 1 else f"{size} students",
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


def _is(seen: Seen, rule: str, size: int) -> bool:
    return seen.rule == rule and seen.class_size == size


def _repeats(seen: Seen) -> int:
    return seen.repeats


def _chance(seen: Seen) -> str:
    return f"{fixed(seen.chance, 2)} ({fixed(seen.low, 2)} to {fixed(seen.high, 2)})"
