"""A page's blocks given their places: `laid_out`. Tables are set in `sim.bench.ui.ruled_table`."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import groupby
from typing import Any

from sim.bench.ui.blocks import (
    Block,
    ButtonBox,
    FieldBox,
    Gap,
    PaperBox,
    TableBox,
    Words,
)
from sim.bench.ui.fields import TextArea
from sim.bench.ui.graph_paper import set_buttons, set_paper
from sim.bench.ui.marks import (
    NOTE,
    REFUSED,
    SUBTITLE,
    TEXT,
    TITLE,
    WARNING,
    WARNING_WORD,
    WRITTEN,
    Frame,
    Look,
    Placed,
    Ruling,
    SetLine,
    SetPage,
    Setting,
    field_frame,
    written,
)
from sim.bench.ui.ruled_table import set_table
from sim.bench.ui.theme import PAGE_RULING, Box
from sim.bench.ui.wrapping import Measure

EDGE = 8
"""Empty space at the head and the foot of a page, for the ring of what stands there."""
STYLES = {"title": TITLE, "part": SUBTITLE, "text": TEXT, "note": NOTE, "refusal": REFUSED}
BEFORE = {
    "title": 16,
    "part": 16,
    "text": 7,
    "note": 7,
    "refusal": 4,
    "caution": 12,
    "line": 10,
    "area": 12,
    ButtonBox: 12,
    TableBox: 12,
    PaperBox: 12,
    Gap: 0,
}
"""Empty space before each kind of block, in pixels at 100 % text."""
PAD = 7
"""From a frame's edge to its lettering."""
CAUTION = "Caution"


@lru_cache(maxsize=16)
def laid_out(  # noqa: PLR0913 (all that a page is set with, and that it is kept by)
    blocks: tuple[Block, ...],
    measure: Measure,
    width_px: int,
    text_scale: float = 1.0,
    focus: str = "",
    composing: str = "",
    *,
    height_px: int | None = None,
) -> SetPage:
    """Give every block its rectangle, its lines and its frames, from the top down.

    `width_px` is the width of the writing (`view_box`), `text_scale` the factor on the
    theme's type sizes; what should be seen at once, with its tools, is no higher than
    `height_px`. The same page asked again is not set again.
    """
    setting = Setting(measure, width_px, text_scale, focus, composing, height_px)
    placed: list[Placed] = []
    y = EDGE
    for kind, group in groupby(blocks, key=_kind):
        together = tuple(group)
        y += setting.px(BEFORE[kind]) if placed else 0
        placed.extend(_together(kind, together, setting, y))
        y = max([y, *(each.box.bottom for each in placed)])
    return SetPage(tuple(placed), width_px, y + EDGE, text_scale)


def _kind(block: Block) -> str | type:
    """What a block is as far as the space before it goes."""
    if isinstance(block, Words):
        return block.kind
    if isinstance(block, FieldBox):
        return "area" if isinstance(block.field, TextArea) else "line"
    return type(block)


def _together(
    kind: str | type, blocks: tuple[Any, ...], setting: Setting, y: int
) -> Iterator[Placed]:
    """Set blocks of one kind that follow one another."""
    if kind is ButtonBox:
        yield from set_buttons(blocks, setting, y)
        return
    column = _label_column(blocks, setting) if kind == "line" else 0
    for number, block in enumerate(blocks):
        y += setting.px(BEFORE[kind]) if number else 0
        placed = _placed(block, setting.of(block), y, column)
        yield placed
        y = placed.box.bottom


@lru_cache(maxsize=512)
def _placed(block: Any, setting: Setting, y: int, column: int) -> Placed:
    """Set one block. A key pressed changes one block of a page; the others are not set again."""
    kind = _kind(block)
    if kind == "line":
        return _line(block, setting, y, column)
    return _SET[kind](block, setting, y)


def _printed(block: Words, setting: Setting, y: int) -> Placed:
    """Set words; the title of a page is underlined."""
    style = STYLES[block.kind]
    lines = setting.block(block.text, style, Box(0, y, setting.width_px, 0))
    height = len(lines) * setting.step_px(style)
    if block.kind != "title":
        return Placed(block, Box(0, y, setting.width_px, height), lines)
    longest = max(setting.width_of(line.text, style) for line in lines)
    rule = Ruling(Box(0, y + height, longest, 2), style.ink)
    return Placed(block, Box(0, y, setting.width_px, height + 4), lines, rulings=(rule,))


def _caution(block: Words, setting: Setting, y: int) -> Placed:
    pad, sign = setting.px(8), setting.px(40)
    column = Box(sign, y + pad, setting.width_px - sign - pad, 0)
    word = setting.block(CAUTION, WARNING_WORD, column)
    below = column.y + len(word) * setting.step_px(WARNING_WORD)
    text = setting.block(block.text, WARNING, column._replace(y=below))
    height = below - y + len(text) * setting.step_px(WARNING) + pad
    whole = Box(0, y, setting.width_px, height)
    return Placed(block, whole, frames=(Frame(Look.CAUTION, whole, word + text),))


def _label_column(blocks: tuple[FieldBox, ...], setting: Setting) -> int:
    """Where the fields beside their labels begin: all at one place, as in a column."""
    widths = [setting.width_of(block.label, TEXT) for block in blocks if block.letters]
    return max(widths, default=0) + setting.px(10)


def _line(block: FieldBox, setting: Setting, y: int, column: int) -> Placed:
    """Set a line to write on, beside its label where both have room, else below it.

    What is longer than the line goes on in the next: a field grows, and shows all of it. It is as
    wide as its longest word.
    """
    step, wide = setting.step_px(TEXT), 0
    if block.letters:
        words = (setting.width_of(f"{word} ", WRITTEN) for word in block.field.text.split())
        wanted = max(block.letters * setting.width_of("0", WRITTEN), *words, 0)
        wide = wanted + 2 * setting.px(PAD) + 2
    beside = 0 < wide <= setting.width_px - column
    wide = min(wide or setting.width_px, setting.width_px)
    drop = setting.px(4) if beside else 0
    label = setting.block(block.label, TEXT, Box(0, y + drop, setting.width_px, 0))
    top = y if beside else y + len(label) * step + setting.px(3)
    rows = len(written(setting, block, Box(0, 0, wide - 2 * setting.px(PAD), 0)).lines.spans)
    height = rows * setting.step_px(WRITTEN) + setting.px(8)
    frame = _framed(setting, block, Box(column if beside else 0, top, wide, height))
    return _with_refusal(setting, block, label, frame, y)


def _area(block: FieldBox, setting: Setting, y: int) -> Placed:
    """Set a long answer below its label, with as many ruled lines as it needs."""
    step, pad = setting.step_px(WRITTEN), setting.px(PAD)
    label = setting.block(block.label, TEXT, Box(0, y, setting.width_px, 0))
    top = y + len(label) * setting.step_px(TEXT) + setting.px(3)
    inner = Box(pad, top + pad // 2, setting.width_px - 2 * pad, 0)
    rows = max(block.rows, len(written(setting, block, inner).lines.spans))
    outer = Box(0, top, setting.width_px, rows * step + 2 * (pad // 2))
    frame = _framed(setting, block, outer)
    return _with_refusal(setting, block, label, frame, y)


def _with_refusal(
    setting: Setting, block: FieldBox, label: tuple[SetLine, ...], frame: Frame, y: int
) -> Placed:
    """Put a field, its label and what was refused there, if anything, together."""
    refused: tuple[SetLine, ...] = ()
    bottom = frame.box.bottom
    if block.refusal:
        column = Box(0, bottom + setting.px(4), setting.width_px, 0)
        refused = setting.block(block.refusal, REFUSED, column)
        bottom = column.y + len(refused) * setting.step_px(REFUSED)
    return Placed(block, Box(0, y, setting.width_px, bottom - y), label + refused, (frame,))


def _framed(setting: Setting, block: FieldBox, outer: Box) -> Frame:
    """Set the frame of a field with what is written in it; a long answer has ruled lines."""
    pad, step = setting.px(PAD), setting.step_px(WRITTEN)
    ruled = isinstance(block.field, TextArea)
    drop = pad // 2 if ruled else setting.px(4)
    inner = Box(outer.x + pad, outer.y + drop, outer.width - 2 * pad, outer.height - 2 * drop)
    writing = written(setting, block, inner)
    rows = inner.height // step - 1 if ruled else 0
    rulings = tuple(
        Ruling(Box(inner.x, inner.y + (row + 1) * step - 2, inner.width, 1), PAGE_RULING)
        for row in range(rows)
    )
    return field_frame(setting, block, outer, writing, rulings=rulings)


def _gap(block: Gap, setting: Setting, y: int) -> Placed:
    return Placed(block, Box(0, y, setting.width_px, setting.px(block.height)))


_SET: dict[str | type, Callable[[Any, Setting, int], Placed]] = {
    **dict.fromkeys(STYLES, _printed),
    "caution": _caution,
    "area": _area,
    TableBox: set_table,
    PaperBox: set_paper,
    Gap: _gap,
}
