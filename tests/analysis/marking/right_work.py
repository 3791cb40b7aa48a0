"""A piece of work without a fault, made from readings of the lunchtime club, and ways to spoil it.

The club is that of the invented Larkmere Vale School. Nothing here asks the marking what is right:
means, scales, line and energies come from the analysis and from plain arithmetic.
"""

from dataclasses import dataclass, field, replace
from types import MappingProxyType

import numpy as np

from analysis.marking.mark import mark
from analysis.marking.questions import (
    CONCLUSION,
    ENERGY,
    EVALUATION,
    GRAPH,
    METHOD,
    TABLE,
)
from analysis.marking.sentences.criteria import load
from analysis.marking.work import Axis, Graph, RoughLine, Work
from analysis.paper.scales import choose_scale
from analysis.quantity.units import fixed, significant
from analysis.statistics.line import fit_line

CLUB = {
    20: (24, 23, 25, 22, 24),
    30: (31, 29, 31, 30, 30),
    40: (36, 37, 35, 37, 36),
    50: (42, 43, 41, 42, 44),
    60: (48, 49, 47, 48, 50),
}
NUMBER_PAGES = (METHOD, TABLE, GRAPH, CONCLUSION, EVALUATION, ENERGY)
IN_SENTENCES = {row.criterion.name for row in load().rows}


@dataclass(frozen=True)
class Style:
    """Choices that are all within the rules."""

    places: int = 0
    mean_places: int = 1
    gravity: float = 9.81
    figures: int = 3
    gradient_figures: int = 2
    unit_style: str = "{} / {}"
    squares: tuple[int, int] = (8, 10)
    answers_from_rounded: bool = True
    units: dict = field(default_factory=dict)


def heading(style, quantity, unit):
    return style.unit_style.format(quantity, unit)


def cells_of(heights_cm, style=None):
    style = style or Style()
    repeats = max(map(len, heights_cm.values()))
    names = ["temperature"] + [f"rebound height {n + 1}" for n in range(repeats)]
    names.append("mean rebound height")
    cells = {
        (0, column): heading(style, name, "cm" if column else "°C")
        for column, name in enumerate(names)
    }
    for row, (temperature, heights) in enumerate(heights_cm.items(), start=1):
        cells[row, 0] = f"{temperature:g}"
        for column, height in enumerate(heights, start=1):
            cells[row, column] = fixed(height, style.places)
        cells[row, repeats + 1] = fixed(sum(heights) / len(heights), style.mean_places)
    return cells


def means_of(heights_cm, style):
    return {t: float(fixed(sum(h) / len(h), style.mean_places)) for t, h in heights_cm.items()}


def graph_of(heights_cm, style=None):
    style = style or Style()
    means = means_of(heights_cm, style)
    x, y = np.array(list(means)), np.array(list(means.values()))
    across = choose_scale(x.min(), x.max(), style.squares[0])
    up = choose_scale(y.min(), y.max(), style.squares[1])
    small_x, small_y = across.per_large_square / 10, up.per_large_square / 10
    line = fit_line(x, y)
    ends = (across.start, across.start + style.squares[0] * across.per_large_square)
    # Crosses and ends are set to the quarter of a small square: half of what is allowed.
    crosses = tuple(
        (round(a / (small_x / 4)) * small_x / 4, round(b / (small_y / 4)) * small_y / 4)
        for a, b in zip(x, y, strict=True)
    )
    return Graph(
        axes=MappingProxyType(
            {
                "across": Axis(
                    heading(style, "temperature", "°C"), across.start, across.per_large_square
                ),
                "up": Axis(heading(style, "rebound height", "cm"), up.start, up.per_large_square),
            }
        ),
        crosses=crosses,
        line=tuple((a, float(line.at(a))) for a in ends),
        squares=style.squares,
    )


def numbers_of(heights_cm, style=None, drop_cm=100.0, mass_g=24.0):
    style = style or Style()
    graph = graph_of(heights_cm, style)
    (x, y), (x_end, y_end) = graph.line
    gradient = (y_end - y) / (x_end - x)
    temperatures = list(heights_cm)
    picked = temperatures[(len(temperatures) - 1) // 2]
    small = graph.axes["up"].large_square / 10
    read = round((y + gradient * (picked - x)) / (small / 2)) * small / 2
    heights = heights_cm[picked]
    mean_m = means_of(heights_cm, style)[picked] / 100
    before, after = (mass_g / 1000 * style.gravity * h for h in (drop_cm / 100, mean_m))
    shown = [significant(energy, style.figures) for energy in (before, after)]
    lost, share = before - after, 100 * after / before
    if style.answers_from_rounded:
        lost = float(shown[0]) - float(shown[1])
        share = 100 * float(shown[1]) / float(shown[0])
    step = temperatures[1] - temperatures[0]
    return {
        (METHOD, "lowest temperature"): f"{temperatures[0]} °C",
        (METHOD, "highest temperature"): f"{temperatures[-1]} °C",
        (METHOD, "interval"): f"{step} °C",
        (METHOD, "repeats"): f"{min(map(len, heights_cm.values()))}",
        (CONCLUSION, "read off"): f"{read:.6g} cm",
        (CONCLUSION, "gradient"): f"{significant(gradient, style.gradient_figures)} cm/°C",
        (EVALUATION, "half-range"): (
            f"{fixed((max(heights) - min(heights)) / 2, style.places + 1)} cm"
        ),
        (ENERGY, "height before"): f"{drop_cm / 100:.2f} m",
        (ENERGY, "height after"): f"{mean_m:.6g} m",
        (ENERGY, "energy before"): f"{shown[0]} J",
        (ENERGY, "energy after"): f"{shown[1]} J",
        (ENERGY, "energy transferred"): f"{significant(lost, style.figures)} J",
        (ENERGY, "efficiency"): f"{significant(share, style.figures)} %",
    }


def rough_of(heights_cm, places=0):
    return tuple(
        RoughLine(float(temperature), float(height), places)
        for temperature, heights in heights_cm.items()
        for height in heights
    )


def right_work(heights_cm=None, style=None, drop_cm=100.0, mass_g=24.0):
    """Work without a fault on the pages that numbers mark."""
    heights_cm = heights_cm or CLUB
    style = style or Style()
    return Work(
        cells=cells_of(heights_cm, style),
        graph=graph_of(heights_cm, style),
        answers=numbers_of(heights_cm, style, drop_cm, mass_g),
        rough=rough_of(heights_cm, style.places),
        drop_height_cm=drop_cm,
        mass_g=mass_g,
    )


def with_cells(work, changes):
    """The work with some cells changed; None empties a cell."""
    cells = {**work.cells, **changes}
    return replace(work, cells={at: text for at, text in cells.items() if text is not None})


def with_answers(work, page, **answers):
    """The work with answers of one page changed; underscores stand for spaces."""
    named = {(page, question.replace("_", " ")): text for question, text in answers.items()}
    return replace(work, answers={**work.answers, **named})


def with_graph(work, **changes):
    return replace(work, graph=replace(work.graph, **changes))


def with_axis(work, which, **changes):
    axes = {**work.graph.axes, which: replace(work.graph.axes[which], **changes)}
    return with_graph(work, axes=axes)


def numeric(work, *pages):
    """Remarks on these pages (or all), without those on answers in sentences."""
    return tuple(
        one
        for one in mark(work).remarks
        if one.criterion not in IN_SENTENCES and one.page in (pages or NUMBER_PAGES)
    )
