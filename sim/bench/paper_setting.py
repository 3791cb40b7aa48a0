"""Graph paper set on a page: where its window is, its numbers and its titles. No pygame."""

from __future__ import annotations

from sim.bench.boxes import PaperBox
from sim.bench.graph_paper import (
    SMALL,
    SQUARES_ACROSS,
    SQUARES_UP,
    Place,
    View,
    value_at,
    view_of,
)
from sim.bench.layout import Box
from sim.bench.marks import Frame, Graph, Look, Placed, SetLine
from sim.bench.setting import Setting, Style
from sim.bench.theme import INK, TYPE_SMALL
from sim.state import Axis

NUMBER = Style(TYPE_SMALL, INK)
USUAL_NUMBER = "00.0"
"""The margin at the left has room for this while there are no numbers yet."""
GAP_PX = 5
UNTITLED = "(no title yet)"


def set_paper(box: PaperBox, setting: Setting, y: int) -> Placed:
    """Set a sheet of graph paper: as large as whole pixels for a small square allow."""
    gap, step = setting.px(GAP_PX), setting.step_px(NUMBER)
    left = _widest(box, setting) + 2 * gap
    size = max((setting.width_px - left - 1) // SQUARES_ACROSS, 1)
    title = _title(box, "up", setting, Box(gap, y + gap // 2, setting.width_px - 2 * gap, 0))
    top = y + gap + len(title) * step + step // 2
    grid = Box(left, top, size * SQUARES_ACROSS, size * SQUARES_UP)
    view = view_of(box.paper, grid, size)
    below = grid.bottom + gap + step
    across = _title(box, "across", setting, Box(left, below, setting.width_px - left, 0))
    bottom = below + len(across) * step + gap
    whole = Box(0, y, setting.width_px, bottom - y)
    lines = title + across + _numbers(box, setting, view)
    frame = Frame(
        Look.PAPER,
        whole,
        lines,
        box.name,
        focused=box.focused,
        graph=Graph(box, view),
    )
    return Placed(box, whole, frames=(frame,))


def _widest(box: PaperBox, setting: Setting) -> int:
    """The width of the widest number that stands beside the sheet."""
    if box.axes is None:
        return setting.width_of(USUAL_NUMBER, NUMBER)
    numbers = (_text(box.axes.up, at) for at in range(0, SQUARES_UP + 1, SMALL))
    return max(setting.width_of(number, NUMBER) for number in numbers)


def _title(box: PaperBox, which: str, setting: Setting, column: Box) -> tuple[SetLine, ...]:
    if box.axes is None:
        return ()
    axis: Axis = getattr(box.axes, which)
    arrow = "↑ " if which == "up" else "→ "
    return setting.block(arrow + (axis.title or UNTITLED), NUMBER, column)


def _numbers(box: PaperBox, setting: Setting, view: View) -> tuple[SetLine, ...]:
    """The numbers at the large squares that are seen; every second where they are too wide."""
    if box.axes is None:
        return ()
    lines = []
    for across in _labelled(box.axes.across, SQUARES_ACROSS, setting, view):
        text = _text(box.axes.across, across)
        x = round(view.to_px(Place(across, 0.0))[0]) - setting.width_of(text, NUMBER) // 2
        widest = setting.width_px - setting.width_of(text, NUMBER)
        line = setting.line(text, NUMBER, min(x, widest), view.grid.bottom + setting.px(GAP_PX))
        if view.grid.x <= view.to_px(Place(across, 0.0))[0] <= view.grid.right:
            lines.append(line)
    for up in range(0, SQUARES_UP + 1, SMALL):
        at = view.to_px(Place(0.0, up))[1]
        if view.grid.y <= at <= view.grid.bottom:
            text = _text(box.axes.up, up)
            x = max(view.grid.x - setting.px(GAP_PX) - setting.width_of(text, NUMBER), 0)
            lines.append(setting.line(text, NUMBER, x, round(at) - setting.step_px(NUMBER) // 2))
    return tuple(lines)


def _labelled(axis: Axis, squares: int, setting: Setting, view: View) -> range:
    """Which places along the lower edge get a number, so that neighbours stay apart."""
    widest = max(
        setting.width_of(_text(axis, at), NUMBER) for at in range(0, squares + 1, SMALL)
    ) + setting.px(GAP_PX)
    every = next((n for n in (1, 2, 4) if n * SMALL * view.px_per_square >= widest), 8)
    return range(0, squares + 1, every * SMALL)


def _text(axis: Axis, squares: float) -> str:
    return f"{value_at(axis, squares):.6g}".replace("-", "−")
