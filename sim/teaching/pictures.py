"""The demonstration as a picture on paper: after any number of drops.

Strips of readings at the left, one row a temperature; at the right the ball's true
temperature against time. Circles: left to cool; crosses: put back; never told apart by
colour. `sim.teaching.pictures` makes the moving picture out of the same parts.

The demonstration as a moving picture: a frame a drop, through matplotlib's writers.
"""

from __future__ import annotations

import math
import tempfile
import textwrap
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.lines import Line2D

from analysis.quantity.text import fixed, significant, temperature_text
from analysis.quantity.units import celsius, centimetres, minutes
from sim.refusal import NotPossible
from sim.teaching.demonstration import (
    Demonstration,
    Standing,
    centres_cm,
    lifts,
    plain_sentence,
    window_cm,
)

if TYPE_CHECKING:
    from matplotlib.animation import AbstractMovieWriter
    from matplotlib.axes import Axes
    from numpy.typing import NDArray

SIGNS = ("o", "x")
NAMED = "○ left to cool     × put back"
LINE_LETTERS = 105
LIFT = 0.3
"""How much higher each of several equal readings stands, in strips."""


@dataclass(frozen=True, eq=False)
class Paper:
    """What is printed before any drop has landed."""

    figure: Figure
    strips: tuple[Axes, ...]
    curves: tuple[Axes, Axes]


def draw_moment(shown: Demonstration, drops: int) -> Figure:
    """The demonstration after so many drops; after the last it says what happened."""
    paper = blank(shown)
    marks(paper, shown, drops)
    return paper.figure


def blank(shown: Demonstration) -> Paper:
    """The paper with its axes and names, ready for the first drop."""
    figure = Figure(figsize=(13.0, 7.6), facecolor="white")
    rows = len(shown.temperatures_k)
    height = 0.70 / rows
    strips = tuple(
        figure.add_axes((0.095, 0.91 - (row + 0.92) * height, 0.34, 0.62 * height))
        for row in range(rows)
    )
    for row, axes in enumerate(strips):
        _lettered_strip(axes, shown, row)
    first, second = (figure.add_axes((0.625, 0.62 - 0.375 * side, 0.355, 0.24)) for side in (0, 1))
    for side, axes in enumerate((first, second)):
        _lettered_curve(axes, shown, side)
    figure.text(0.02, 0.94, NAMED, fontsize=18)
    figure.text(0.265, 0.152, "rebound height / cm", fontsize=14, ha="center")
    return Paper(figure, strips, (first, second))


def marks(paper: Paper, shown: Demonstration, drops: int) -> list[Artist]:
    """Put what has landed on the paper, and give what was put there."""
    standing = shown.standing(drops)
    put: list[Artist] = []
    for row, axes in enumerate(paper.strips):
        for side in (0, 1):
            put += _strip(axes, standing, row, side)
    for side, axes in enumerate(paper.curves):
        put += _curve(axes, shown, side, drops)
    return put + _words(paper.figure, shown, standing)


def _lettered_strip(axes: Axes, shown: Demonstration, row: int) -> None:
    centre, width_cm = centres_cm(shown)[row], window_cm(shown)
    axes.set_xlim(centre - width_cm / 2, centre + width_cm / 2)
    axes.set_ylim(-0.55, 2.0)
    axes.set_yticks([])
    axes.tick_params(labelsize=12)
    axes.spines[["top", "left", "right"]].set_visible(False)
    axes.text(
        -0.03, 0.5, temperature_text(shown.temperatures_k[row]),
        transform=axes.transAxes, ha="right", va="center", fontsize=18, weight="bold",
    )  # fmt: skip


def _lettered_curve(axes: Axes, shown: Demonstration, side: int) -> None:
    every_k = celsius(np.concatenate([each.curve_k for each in shown.sides]))
    axes.set_ylim(every_k.min() - 3.0, every_k.max() + 3.0)
    axes.set_xlim(0.0, minutes(shown.sides[side].landings[-1].time_s) * 1.03)
    axes.set_title(
        f"true temperature of the ball {shown.sides[side].name}", fontsize=15, loc="left"
    )
    axes.tick_params(labelsize=12)
    axes.set_ylabel("°C", fontsize=14)
    axes.set_xlabel("time / min", fontsize=13)
    axes.grid(color="0.88")
    axes.spines[["top", "right"]].set_visible(False)


def _strip(axes: Axes, standing: Standing, row: int, side: int) -> list[Artist]:
    """One procedure at one temperature: its readings, their range and their half-range."""
    level = 1.0 - side
    heights_cm = centimetres(standing.heights_m[side][row])
    known = heights_cm[~np.isnan(heights_cm)]
    up = level + LIFT * lifts(known)
    put: list[Artist] = [_signs(axes, known, up, side, 11.0)]
    half_cm = float(centimetres(standing.half_range_m[side][row]))
    if not math.isfinite(half_cm):
        return put
    bar = Line2D([known.min(), known.max()], [level, level], color="0.7", lw=9, zorder=1)
    axes.add_line(bar)
    said = axes.text(
        1.03, 0.7 - 0.48 * side, f"{'○×'[side]} ± {fixed(half_cm, 2)} cm",
        transform=axes.transAxes, va="center", fontsize=15,
    )  # fmt: skip
    return [*put, bar, said]


def _curve(axes: Axes, shown: Demonstration, side: int, drops: int) -> list[Artist]:
    """The ball's true temperature so far, and a mark at every release."""
    one = shown.sides[side]
    times_s, temperatures_k = one.trace(one.clock_s(drops))
    line = Line2D(minutes(times_s), celsius(temperatures_k), color="black", lw=1.4)
    axes.add_line(line)
    landed = one.landings[:drops]
    at_min = minutes([each.time_s for each in landed])
    return [line, _signs(axes, at_min, celsius([each.ball_k for each in landed]), side, 8.0)]


def _signs(axes: Axes, across: np.ndarray, up: np.ndarray, side: int, size: float) -> Line2D:
    line = Line2D(
        across, up, ls="none", marker=SIGNS[side], color="black", mfc="white", ms=size, mew=2.0,
        zorder=3, clip_on=False,
    )  # fmt: skip
    axes.add_line(line)
    return line


def _words(figure: Figure, shown: Demonstration, standing: Standing) -> list[Artist]:
    put: list[Artist] = [
        figure.text(0.36, 0.94, f"drop {standing.drops} of {shown.drops}", fontsize=18)
    ]
    if math.isfinite(standing.spreads.ratio):
        ratio = significant(standing.spreads.ratio, 2)
        words = f"spread put back ÷ left to cool: {ratio}"
        put.append(figure.text(0.575, 0.94, words, fontsize=18, weight="bold"))
    if standing.drops == shown.drops:
        said = textwrap.fill(plain_sentence(shown), LINE_LETTERS)
        put.append(figure.text(0.02, 0.02, said, fontsize=15.5, va="bottom", linespacing=1.35))
    return put


Kind = Literal["gif", "mp4"]
KINDS: tuple[Kind, ...] = ("gif", "mp4")

FRAMES_PER_S = 2
HELD_FRAMES = 12
"""How long the last frame stays: six seconds, to be read."""
MOST_DROPS = 200
DOTS_PER_INCH = 80


def frame_count(shown: Demonstration) -> int:
    """How many frames there are."""
    return shown.drops + 1 + HELD_FRAMES


def film(
    shown: Demonstration, kind: Kind, after_frame: Callable[[], object] = lambda: None
) -> bytes:
    """The demonstration drop by drop, as the content of a GIF or MP4 file.

    `after_frame` is called after each of the `frame_count` frames, for a progress bar.

    Raises:
        NotPossible: MP4 is asked for and ffmpeg is not found, or there are too many drops.

    """
    if shown.drops > MOST_DROPS:
        raise NotPossible(
            f"An animation shows {MOST_DROPS} drops at most, not {shown.drops}: ask for fewer "
            "temperatures or repeats."
        )
    writer = _writer(kind)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"demonstration.{kind}"
        screen = None
        for frame in frames(shown):
            if screen is None:
                height, width = frame.shape[:2]
                size = (width / DOTS_PER_INCH, height / DOTS_PER_INCH)
                screen = Figure(figsize=size, dpi=DOTS_PER_INCH)
                picture = screen.figimage(frame)
                writer.setup(screen, str(path), DOTS_PER_INCH)
            picture.set_data(frame)
            writer.grab_frame()
            after_frame()
        writer.finish()
        return path.read_bytes()


def frames(shown: Demonstration) -> Iterator[NDArray[np.uint8]]:
    """The frames as pictures, shape (height, width, 4); the last one again and again.

    The paper is printed once and the marks are drawn over it: some ten times as quick as
    drawing all of it for every frame.
    """
    paper = blank(shown)
    paper.figure.set_dpi(DOTS_PER_INCH)
    canvas: Any = FigureCanvasAgg(paper.figure)  # it carries no types
    canvas.draw()
    clean = canvas.copy_from_bbox(paper.figure.bbox)
    for drops in range(shown.drops + 1):
        canvas.restore_region(clean)
        for mark in sorted(marks(paper, shown, drops), key=Artist.get_zorder):
            paper.figure.draw_artist(mark)
            mark.remove()
        frame = np.asarray(canvas.buffer_rgba()).copy()
        yield frame
    for _ in range(HELD_FRAMES):
        yield frame


def _writer(kind: Kind) -> AbstractMovieWriter:
    from matplotlib.animation import FFMpegWriter, PillowWriter

    if kind == "gif":
        return PillowWriter(fps=FRAMES_PER_S)
    if not FFMpegWriter.isAvailable():
        raise NotPossible(
            "An MP4 needs the program ffmpeg, which is not found here: install it, or ask for "
            "--animation gif."
        )
    return FFMpegWriter(fps=FRAMES_PER_S)
