"""The sheet of graph paper in true size under a graph, and any figure as the bytes of a file.

A sheet is for rebound heights against temperatures: its scales are chosen for what is plotted, its
squares ruled, the large ones numbered and the axes titled. What is plotted on it is the affair of
others. Measures are millimetres on paper.
"""

import textwrap
import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
from matplotlib import rc_context
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from numpy.typing import ArrayLike, NDArray
from PIL import Image

from analysis.paper.scales import (
    LARGE_ACROSS,
    LARGE_SQUARE_MM,
    LARGE_UP,
    MM_PER_INCH,
    POINTS_PER_INCH,
    UNDER_LARGE_RULE,
    UNDER_SMALL_RULE,
    Scale,
    choose_scale,
)
from analysis.quantity.headings import REBOUND_HEIGHT, TEMPERATURE, heading_text

if TYPE_CHECKING:
    from matplotlib.axes import Axes

LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM = 16.0, 4.0, 13.0, 14.5
"""With the whole sheet of squares these take 180 mm by 227.5 mm of A4, before the key."""
KEY_LINE_MM = 5.0
TITLE_MM = (7.0, 9.0)  # of the two axes, from their lines
LEAST_WIDTH_MM = 130.0

INK = "black"
FONT_POINTS = 9
TITLE_LETTERS = 56


@dataclass(frozen=True)
class GraphSheet:
    """What is printed on the sheet before anything is plotted."""

    across: Scale
    up: Scale
    title: Sequence[str]  # one text a line, two at most
    key_lines: int  # room left under the axis for the key


def sheet_for(
    temperatures_c: ArrayLike, heights_cm: ArrayLike, title: Sequence[str], key_lines: int = 0
) -> GraphSheet:
    """Choose the sheet on which all these temperatures and heights have their place."""
    across, up = (
        choose_scale(float(np.nanmin(values)), float(np.nanmax(values)), squares)
        for values, squares in ((temperatures_c, LARGE_ACROSS), (heights_cm, LARGE_UP))
    )
    return GraphSheet(across, up, title, key_lines)


def ruled(sheet: GraphSheet) -> "tuple[Figure, Axes]":
    """Give a figure in true size with its one pair of axes, ruled, numbered and titled."""
    width_mm, height_mm = size_mm(sheet)
    figure = Figure(figsize=(width_mm / MM_PER_INCH, height_mm / MM_PER_INCH), facecolor="white")
    drawn_mm = (LARGE_SQUARE_MM * sheet.across.squares, LARGE_SQUARE_MM * sheet.up.squares)
    left_mm = LEFT_MM + (width_mm - LEFT_MM - RIGHT_MM - drawn_mm[0]) / 2
    bottom_mm = BOTTOM_MM + KEY_LINE_MM * sheet.key_lines
    axes = figure.add_axes(
        (
            left_mm / width_mm,
            bottom_mm / height_mm,
            drawn_mm[0] / width_mm,
            drawn_mm[1] / height_mm,
        )
    )
    axes.set_xlim(sheet.across.start, sheet.across.end)
    axes.set_ylim(sheet.up.start, sheet.up.end)
    _rule(axes, sheet)
    _number(axes, sheet)
    _entitle(figure, sheet, height_mm)
    return figure, axes


def size_mm(sheet: GraphSheet) -> tuple[float, float]:
    """Width and height of the whole sheet in millimetres."""
    across_mm = LEFT_MM + LARGE_SQUARE_MM * sheet.across.squares + RIGHT_MM
    up_mm = BOTTOM_MM + LARGE_SQUARE_MM * sheet.up.squares + TOP_MM
    return max(across_mm, LEAST_WIDTH_MM), up_mm + KEY_LINE_MM * sheet.key_lines


def source_line(source: str) -> str:
    """Say on one line of a title where the readings come from; a long name is cut short."""
    named = textwrap.shorten(f"readings: {source}", TITLE_LETTERS, placeholder=" …")
    if len(named) < 12:  # one long word: shorten() leaves nothing of it
        return f"readings: {source[: TITLE_LETTERS - 12]}…"
    return named


def _rule(axes: "Axes", sheet: GraphSheet) -> None:
    """Rule the squares: two artists, one path each, so that they draw as fast as two lines."""
    for lines, rule, order in (
        (Scale.small_lines, UNDER_SMALL_RULE, 0.1),
        (Scale.large_lines, UNDER_LARGE_RULE, 0.2),
    ):
        path = _grid(lines(sheet.across), lines(sheet.up))
        points = rule.width_mm * POINTS_PER_INCH / MM_PER_INCH
        drawn = PathPatch(
            path, fill=False, ec=rule.colour, lw=points, zorder=order, capstyle="butt"
        )
        axes.add_patch(drawn)


def _grid(across: NDArray[np.float64], up: NDArray[np.float64]) -> Path:
    """Lines at every place across and up, each over the whole of the other axis."""
    upright = [end for x in across for end in ((x, up[0]), (x, up[-1]))]
    level = [end for y in up for end in ((across[0], y), (across[-1], y))]
    corners = upright + level
    return Path(corners, [Path.MOVETO, Path.LINETO] * (len(corners) // 2))


def _number(axes: "Axes", sheet: GraphSheet) -> None:
    """Number the large squares, as plain texts: ticks would take four times as long."""
    axes.set_xticks([])
    axes.set_yticks([])
    per_point = 1 / POINTS_PER_INCH * MM_PER_INCH / LARGE_SQUARE_MM
    below = sheet.up.start - 6 * per_point * sheet.up.per_large_square
    before = sheet.across.start - 4 * per_point * sheet.across.per_large_square
    for x, text in zip(sheet.across.large_lines(), sheet.across.numbers(), strict=True):
        axes.text(x, below, text, ha="center", va="top", fontsize=FONT_POINTS)
    for y, text in zip(sheet.up.large_lines(), sheet.up.numbers(), strict=True):
        axes.text(before, y, text, ha="right", va="center_baseline", fontsize=FONT_POINTS)
    axes.spines[["top", "right"]].set_visible(False)
    axes.spines[["left", "bottom"]].set_linewidth(1.1)


def _entitle(figure: Figure, sheet: GraphSheet, height_mm: float) -> None:
    axes = figure.axes[0]
    axes.set_xlabel(heading_text(TEMPERATURE, "°C"), fontsize=FONT_POINTS + 1, va="top")
    axes.set_ylabel(heading_text(REBOUND_HEIGHT, "cm"), fontsize=FONT_POINTS + 1, va="bottom")
    axes.xaxis.set_label_coords(0.5, -TITLE_MM[0] / (LARGE_SQUARE_MM * sheet.up.squares))
    axes.yaxis.set_label_coords(-TITLE_MM[1] / (LARGE_SQUARE_MM * sheet.across.squares), 0.5)
    for line, (text, points) in enumerate(zip(sheet.title, (11, 9), strict=False)):
        figure.text(
            0.5,
            1 - (3.0 + 5.5 * line) / height_mm,
            text,
            ha="center",
            va="top",
            fontsize=points,
            color=INK,
            parse_math=False,  # a file name may hold dollar signs
        )


Format = Literal["png", "svg", "pdf"]

PNG_DOTS_PER_INCH = 150

# Text stays text in SVG, ids do not change from run to run, and no file carries its date.
_REPEATABLE: dict[Any, Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "rebound height",
    "pdf.fonttype": 42,
}
_NO_DATE = {
    "svg": dict.fromkeys(("Date", "Creator", "Format", "Type")),
    "pdf": {"CreationDate": None},
}


def graph_bytes(figure: Figure, suffix: Format) -> bytes:
    """Give the picture as the bytes of a file, the same bytes for the same figure every time."""
    if suffix == "png":
        return picture_png(figure, PNG_DOTS_PER_INCH)
    return _saved(figure, suffix, PNG_DOTS_PER_INCH)


def picture_png(figure: Figure, dots_per_inch: int) -> bytes:
    """Give the picture as a PNG: in shades of grey, a third of the size, if it has no colour."""
    width, height = (int(inches * dots_per_inch) for inches in figure.get_size_inches())
    pixels = _saved(figure, "rgba", dots_per_inch)
    picture = Image.frombytes("RGBA", (width, height), pixels).convert("RGB")
    red, green, blue = picture.split()
    if red == green == blue:
        picture = red
    file = BytesIO()
    picture.save(file, format="png", dpi=(dots_per_inch, dots_per_inch))
    return file.getvalue()


def _saved(figure: Figure, suffix: str, dots_per_inch: int) -> bytes:
    file = BytesIO()
    with rc_context(_REPEATABLE), warnings.catch_warnings():
        # A file may be named in signs that the font lacks; boxes stand for them, and that will do.
        warnings.filterwarnings("ignore", message="Glyph .* missing from font")
        figure.savefig(file, format=suffix, dpi=dots_per_inch, metadata=_NO_DATE.get(suffix))
    return file.getvalue()
