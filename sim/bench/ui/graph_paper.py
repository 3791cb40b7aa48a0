"""Buttons set in rows, and the sheet of graph paper with its tools beside it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from sim.bench.ui.blocks import TAKEN_UP, ButtonBox, PaperAxis, PaperBox, PaperPoint, PaperView
from sim.bench.ui.marks import TEXT, Frame, Look, Placed, SetLine, Setting, TypeStyle
from sim.bench.ui.theme import INK, TYPE_SMALL, Box

NUMBER = TypeStyle(TYPE_SMALL, INK)
USUAL_NUMBER = "00.0"
"""The margin of graph paper has room for this while there are no numbers yet."""
GAP_PX = 5
TOOL_GAP_PX = 6
PAD, TOOL_PAD = 14, 7
"""From the edge of a button to its words; of a tool, of which a row must hold many."""


def set_buttons(
    blocks: tuple[ButtonBox, ...], setting: Setting, y: int, pad_px: int = PAD, gap_px: int = 12
) -> Iterator[Placed]:
    """Side by side, and in a new row where there is no more room."""
    pad, between = setting.px(pad_px), setting.px(gap_px)
    x, bottom = 0, y
    for block in blocks:
        wide = _button_width(block, setting, pad)
        if x and x + wide > setting.width_px:
            x, y = 0, bottom + between
        frame = _button(block, setting, Box(x, y, wide, 0), pad)
        yield Placed(block, frame.box, frames=(frame,))
        x, bottom = x + wide + between, max(bottom, frame.box.bottom)


def _button_width(block: ButtonBox, setting: Setting, pad: int) -> int:
    return min(setting.width_of(block.label, TEXT) + 2 * pad, setting.width_px)


def _button(block: ButtonBox, setting: Setting, place: Box, pad: int) -> Frame:
    """A button at the upper left corner of its place, as wide as that and as high as its words."""
    drop = setting.px(5)
    column = Box(place.x + pad, place.y + drop, place.width - 2 * pad, 0)
    lines = setting.block(block.label, TEXT, column)
    whole = place._replace(height=len(lines) * setting.step_px(TEXT) + 2 * drop)
    return Frame(Look.BUTTON, whole, lines, block.name, focused=setting.focus == block.name)


class _Room(NamedTuple):
    """How a sheet is set: pixels to a small square, and its tools in a column or in rows above."""

    size: int
    column_px: int = 0
    above: tuple[Frame, ...] = ()


def set_paper(block: PaperBox, setting: Setting, y: int) -> Placed:
    """Set a sheet of graph paper: as large as whole pixels for a small square allow.

    Its tools stand in a column beside it, or in rows above it where it can be larger so.
    """
    across, up, _ = block.pencil.squares
    gap, step = setting.px(GAP_PX), setting.step_px(NUMBER)
    size, column, above = _room(block, setting, y)
    top = max((frame.box.bottom + setting.px(TOOL_GAP_PX) for frame in above), default=y)
    left = _widest(block.up, setting) + 2 * gap
    title = _title("↑", block.up, setting, Box(gap, top + gap // 2, setting.width_px - 2 * gap, 0))
    grid = Box(left, top + gap + len(title) * step + step // 2, size * across, size * up)
    view = PaperView(grid, size * block.pencil.zoom, block.pencil.corner)
    below = grid.bottom + gap + step
    foot = _title("→", block.across, setting, Box(left, below, setting.width_px - left, 0))
    bottom = below + len(foot) * step + gap
    tools = above or tuple(_column(block, setting, grid.y, column))
    numbers = (*_numbers_below(block, setting, view), *_numbers_beside(block, setting, view))
    right = setting.width_px - (column + setting.px(TOOL_GAP_PX) if column else 0)
    paper = Frame(
        Look.PAPER,
        Box(0, top, right, bottom - top),
        (*title, *foot, *numbers),
        block.name,
        focused=block.name is not None and setting.focus == block.name,
        paper=(block, view),
    )
    lowest = max([bottom, *(tool.box.bottom for tool in tools)])
    return Placed(block, Box(0, y, setting.width_px, lowest - y), frames=(*tools, paper))


def _room(block: PaperBox, setting: Setting, y: int) -> _Room:
    """The larger of both ways; the column, in reach of the pencil, where they are alike."""
    if not block.tools:
        return _Room(_size(block, setting, y, 0, 0))
    rows = set_buttons(block.tools, setting, y, TOOL_PAD, TOOL_GAP_PX)
    above = tuple(frame for placed in rows for frame in placed.frames)
    high = max(frame.box.bottom for frame in above) - y + setting.px(TOOL_GAP_PX)
    # Whichever tool is taken up, the column stays as wide, and so the sheet as large.
    labels = (setting.width_of(tool.label.removeprefix(TAKEN_UP), TEXT) for tool in block.tools)
    wide = max(labels) + setting.width_of(TAKEN_UP, TEXT) + 2 * setting.px(TOOL_PAD)
    rowed = _size(block, setting, y, 0, high)
    beside = _size(block, setting, y, wide + setting.px(TOOL_GAP_PX), 0)
    return _Room(beside, column_px=wide) if beside >= rowed else _Room(rowed, above=above)


ENOUGH = 0.75
"""A sheet so much smaller is still large enough, if the fields of its axes are seen beside it."""


def _size(block: PaperBox, setting: Setting, y: int, wide: int, high: int) -> int:
    """Pixels to a small square beside so much else.

    Where it is known how much is seen at once, the sheet is, and what stands above it on the page
    too if that leaves it large enough.
    """
    across, up, _ = block.pencil.squares
    gap, step = setting.px(GAP_PX), setting.step_px(NUMBER)
    left = _widest(block.up, setting) + 2 * gap
    size = max((setting.width_px - left - wide - 1) // across, 1)
    if setting.height_px is None:
        return size
    room = setting.height_px - high - 3 * gap - 3 * step - step // 2
    alone = min(size, max(room // up, LEAST_SQUARE_PX))
    with_all = min(size, (room - y) // up)
    return with_all if with_all >= ENOUGH * alone else alone


LEAST_SQUARE_PX = 3
"""A small square is not drawn smaller to show the whole sheet at once: the page is scrolled."""


def _column(block: PaperBox, setting: Setting, y: int, wide: int) -> Iterator[Frame]:
    """The tools under one another at the right edge."""
    for tool in block.tools:
        place = Box(setting.width_px - wide, y, wide, 0)
        frame = _button(tool, setting, place, setting.px(TOOL_PAD))
        yield frame
        y = frame.box.bottom + setting.px(TOOL_GAP_PX)


def _widest(axis: PaperAxis | None, setting: Setting) -> int:
    """The width of the widest number that stands along an axis."""
    numbers = axis.numbers if axis else (USUAL_NUMBER,)
    return max(setting.width_of(number, NUMBER) for number in numbers)


def _title(
    arrow: str, axis: PaperAxis | None, setting: Setting, column: Box
) -> tuple[SetLine, ...]:
    return setting.block(f"{arrow} {axis.title}", NUMBER, column) if axis else ()


def _numbers_below(block: PaperBox, setting: Setting, view: PaperView) -> Iterator[SetLine]:
    """The numbers at the large squares that are seen; every second where they are too wide."""
    if block.across is None:
        return
    room, large = _widest(block.across, setting) + setting.px(GAP_PX), block.pencil.squares.in_large
    every = next((n for n in (1, 2, 4) if n * large * view.px_per_square >= room), 8)
    for square, text in list(enumerate(block.across.numbers))[::every]:
        at, wide = view.to_px(PaperPoint(square * large, 0.0))[0], setting.width_of(text, NUMBER)
        if view.grid.x <= at <= view.grid.right:
            x = min(round(at) - wide // 2, setting.width_px - wide)
            yield setting.line(text, NUMBER, x, view.grid.bottom + setting.px(GAP_PX))


def _numbers_beside(block: PaperBox, setting: Setting, view: PaperView) -> Iterator[SetLine]:
    for square, text in enumerate(block.up.numbers if block.up else ()):
        at = view.to_px(PaperPoint(0.0, square * block.pencil.squares.in_large))[1]
        if view.grid.y <= at <= view.grid.bottom:
            x = max(view.grid.x - setting.px(GAP_PX) - setting.width_of(text, NUMBER), 0)
            yield setting.line(text, NUMBER, x, round(at) - setting.step_px(NUMBER) // 2)
