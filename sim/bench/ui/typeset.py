"""A page's boxes given their places: `laid_out`. Tables are set in `sim.bench.ui.tables`.

Graph paper set on a page: where its window is, its numbers and its titles. No pygame.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import groupby
from typing import Any

from sim.bench.screen.layout import Box
from sim.bench.ui.blocks import (
    AreaBox,
    ButtonBox,
    Caution,
    ChoiceBox,
    FieldBox,
    Gap,
    Heading,
    PageBox,
    PaperBox,
    Paragraph,
    TableBox,
    TickBox,
)
from sim.bench.ui.graph_paper import (
    SMALL,
    SQUARES_ACROSS,
    SQUARES_UP,
    Place,
    View,
    value_at,
    view_of,
)
from sim.bench.ui.page import (
    NOTE,
    PALE,
    STRONG,
    SUBTITLE,
    TEXT,
    TITLE,
    WARNING,
    WARNING_WORD,
    WRITTEN,
    Entry,
    Frame,
    Graph,
    Look,
    Placed,
    SetLine,
    Setting,
    Sheet,
    Stroke,
    Style,
    lines_of,
    written,
)
from sim.bench.ui.tables import set_table
from sim.bench.ui.theme import INK, PAGE_RULING, TYPE_SMALL
from sim.bench.ui.wrapping import Measure
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


EDGE = 8
"""Empty space at the head and the foot of a page, for the ring of what stands there."""
BEFORE: dict[type, int] = {
    Heading: 16,
    Paragraph: 7,
    Caution: 12,
    FieldBox: 10,
    AreaBox: 12,
    ButtonBox: 12,
    ChoiceBox: 12,
    TickBox: 6,
    TableBox: 12,
    PaperBox: 12,
    Gap: 0,
}
"""Empty space before each kind of box, in pixels at 100 % text."""
PAD = 7
"""From a frame's edge to its lettering."""
NOTE_SIGN = "▸ "


@lru_cache(maxsize=16)
def laid_out(
    boxes: tuple[PageBox, ...], measure: Measure, width_px: int, text_scale: float = 1.0
) -> Sheet:
    """Give every box its rectangle, its lines and its frames, from the top down.

    `width_px` is the width of the writing (`view_box`), `text_scale` the factor on the
    theme's type sizes: `Layout.scale` times `Layout.text_scale`. The same page asked
    again is not set again.
    """
    setting = Setting(measure, width_px, text_scale)
    placed: list[Placed] = []
    y = EDGE
    for kind, group in groupby(boxes, key=type):
        together = tuple(group)
        y += setting.px(BEFORE[kind]) if placed else 0
        placed.extend(_together(kind, together, setting, y))
        y = max([y, *(each.box.bottom for each in placed)])
    return Sheet(tuple(placed), width_px, y + EDGE, text_scale)


def _together(kind: type, boxes: tuple[Any, ...], setting: Setting, y: int) -> Iterator[Placed]:
    """Set boxes of one kind that follow one another."""
    if kind is ButtonBox:
        yield from _buttons(boxes, setting, y)
        return
    column = _label_column(boxes, setting) if kind is FieldBox else 0
    for number, box in enumerate(boxes):
        y += setting.px(BEFORE[kind]) if number else 0
        placed = _placed(box, setting, y, column)
        yield placed
        y = placed.box.bottom


@lru_cache(maxsize=512)
def _placed(box: Any, setting: Setting, y: int, column: int) -> Placed:
    """Set one box. A key pressed changes one box of a page; the others are not set again."""
    if isinstance(box, FieldBox):
        return _field(box, setting, y, column)
    return _SET[type(box)](box, setting, y)


def _heading(box: Heading, setting: Setting, y: int) -> Placed:
    style = TITLE if box.level == 1 else SUBTITLE
    lines = setting.block(box.text, style, Box(0, y, setting.width_px, 0))
    height = len(lines) * setting.step_px(style)
    if box.level != 1:
        return Placed(box, Box(0, y, setting.width_px, height), lines)
    longest = max(setting.width_of(line.text, style) for line in lines)
    rule = Stroke(Box(0, y + height, longest, 2), style.ink)
    return Placed(box, Box(0, y, setting.width_px, height + 4), lines, strokes=(rule,))


def _paragraph(box: Paragraph, setting: Setting, y: int) -> Placed:
    style = NOTE if box.small else TEXT
    lines = setting.block(box.text, style, Box(0, y, setting.width_px, 0))
    return Placed(box, Box(0, y, setting.width_px, len(lines) * setting.step_px(style)), lines)


def _caution(box: Caution, setting: Setting, y: int) -> Placed:
    pad, sign = setting.px(8), setting.px(40)
    column = Box(sign, y + pad, setting.width_px - sign - pad, 0)
    word = setting.block(box.word, WARNING_WORD, column)
    below = column.y + len(word) * setting.step_px(WARNING_WORD)
    text = setting.block(box.text, WARNING, column._replace(y=below))
    height = below - y + len(text) * setting.step_px(WARNING) + pad
    whole = Box(0, y, setting.width_px, height)
    return Placed(box, whole, frames=(Frame(Look.CAUTION, whole, word + text),))


def _label_column(boxes: tuple[FieldBox, ...], setting: Setting) -> int:
    """Where the fields beside their labels begin: all at one place, as in a column."""
    widths = [setting.width_of(box.label, TEXT) for box in boxes if box.letters]
    return max(widths, default=0) + setting.px(10)


def _field(box: FieldBox, setting: Setting, y: int, column: int) -> Placed:
    height = setting.step_px(TEXT) + setting.px(8)
    unit = setting.width_of(box.unit, TEXT) + setting.px(6) if box.unit else 0
    wide = setting.width_px - unit
    if box.letters:
        wide = min(box.letters * setting.width_of("0", WRITTEN) + 2 * setting.px(PAD) + 2, wide)
    beside = bool(box.letters) and column + wide + unit <= setting.width_px
    step, drop = setting.step_px(TEXT), setting.px(4)
    label = setting.block(box.label, TEXT, Box(0, y + drop if beside else y, setting.width_px, 0))
    top = y if beside else y + len(label) * step + setting.px(3)
    frame = _entry_frame(setting, box, Box(column if beside else 0, top, wide, height))
    lines = label
    if box.unit:
        lines += (setting.line(box.unit, TEXT, frame.box.right + setting.px(6), top + drop),)
    whole = Box(0, y, setting.width_px, frame.box.bottom - y)
    return _noted(Placed(box, whole, lines, (frame,)), setting)


def _area(box: AreaBox, setting: Setting, y: int) -> Placed:
    step, pad = setting.step_px(WRITTEN), setting.px(PAD)
    label = setting.block(box.label, TEXT, Box(0, y, setting.width_px, 0))
    top = y + len(label) * step + setting.px(3)
    inner = Box(pad, top + pad // 2, setting.width_px - 2 * pad, 0)
    entry = Entry(box.field, box.focused, box.composing)
    rows = max(box.rows, len(written(setting, entry, inner).lines.spans))
    frame = _entry_frame(setting, box, Box(0, top, setting.width_px, rows * step + 2 * (pad // 2)))
    whole = Box(0, y, setting.width_px, frame.box.bottom - y)
    return _noted(Placed(box, whole, label, (frame,)), setting)


def _entry_frame(setting: Setting, box: FieldBox | AreaBox, outer: Box) -> Frame:
    """Set the frame of a field with what is written in it; a long answer has ruled lines."""
    style = WRITTEN if box.enabled else PALE
    pad, step = setting.px(PAD), setting.step_px(style)
    ruled = isinstance(box, AreaBox)
    drop = pad // 2 if ruled else (outer.height - step) // 2
    inner = Box(outer.x + pad, outer.y + drop, outer.width - 2 * pad, outer.height - 2 * drop)
    writing = written(setting, Entry(box.field, box.focused, box.composing, style), inner)
    rows = inner.height // step - 1 if ruled else 0
    rules = tuple(
        Stroke(Box(inner.x, inner.y + (row + 1) * step - 2, inner.width, 1), PAGE_RULING)
        for row in range(rows)
    )
    return Frame(
        Look.FIELD,
        outer,
        lines_of(setting, writing, style),
        box.name,
        focused=box.focused,
        enabled=box.enabled,
        strokes=rules,
        writing=writing,
    )


def _noted(placed: Placed, setting: Setting) -> Placed:
    """Put the note of a field below it, where it has one."""
    note = getattr(placed.source, "note", "")
    if not note:
        return placed
    style = NOTE._replace(ink=STRONG.ink)
    x, y, width, height = placed.box
    top = y + height + setting.px(4)
    lines = setting.block(NOTE_SIGN + note, style, Box(x, top, width, 0))
    bottom = top + len(lines) * setting.step_px(style)
    return Placed(placed.source, Box(x, y, width, bottom - y), placed.lines + lines, placed.frames)


def _buttons(boxes: tuple[ButtonBox, ...], setting: Setting, y: int) -> Iterator[Placed]:
    """Side by side, and in a new row where there is no more room."""
    pad, between = setting.px(14), setting.px(12)
    step, x, bottom = setting.step_px(TEXT), 0, y
    for box in boxes:
        wide = min(setting.width_of(box.button.label, TEXT) + 2 * pad, setting.width_px)
        if x and x + wide > setting.width_px:
            x, y = 0, bottom + between
        column = Box(x + pad, y + setting.px(5), wide - 2 * pad, 0)
        style = TEXT if box.button.enabled else PALE
        lines = setting.block(box.button.label, style, column)
        whole = Box(x, y, wide, len(lines) * step + 2 * setting.px(5))
        frame = Frame(
            Look.BUTTON, whole, lines, box.name, focused=box.focused, enabled=box.button.enabled
        )
        yield Placed(box, whole, frames=(frame,))
        x, bottom = x + wide + between, max(bottom, whole.bottom)


def _choice(box: ChoiceBox, setting: Setting, y: int) -> Placed:
    label = setting.block(box.label, TEXT, Box(0, y, setting.width_px, 0))
    top = y + len(label) * setting.step_px(TEXT) + setting.px(3)
    options: list[Frame] = []
    bottom = top
    for part, option in enumerate(box.choice.options):
        frame = _marked_line(setting, option, Box(0, bottom, setting.width_px, 0))
        chosen = part == box.choice.current
        options.append(Frame(Look.OPTION, frame[0], frame[1], box.name, part, on=chosen))
        bottom = frame[0].bottom
    group = Frame(
        Look.GROUP, Box(0, top, setting.width_px, bottom - top), (), box.name, focused=box.focused
    )
    whole = Box(0, y, setting.width_px, bottom - y)
    return Placed(box, whole, label, (group, *options))


def _tick(box: TickBox, setting: Setting, y: int) -> Placed:
    whole, lines = _marked_line(setting, box.tick.label, Box(0, y, setting.width_px, 0))
    frame = Frame(Look.TICK, whole, lines, box.name, focused=box.focused, on=box.tick.on)
    return Placed(box, whole, frames=(frame,))


def _marked_line(setting: Setting, text: str, at: Box) -> tuple[Box, tuple[SetLine, ...]]:
    """Set a text with room for a mark before it, and the box of both: 26 pixels at least."""
    indent, drop = setting.px(30), setting.px(2)
    column = Box(at.x + indent, at.y + drop, at.width - indent - drop, 0)
    lines = setting.block(text, TEXT, column)
    return at._replace(height=len(lines) * setting.step_px(TEXT) + 2 * drop), lines


def _gap(box: Gap, setting: Setting, y: int) -> Placed:
    return Placed(box, Box(0, y, setting.width_px, setting.px(box.height)))


_SET: dict[type, Callable[[Any, Setting, int], Placed]] = {
    Heading: _heading,
    Paragraph: _paragraph,
    Caution: _caution,
    AreaBox: _area,
    ChoiceBox: _choice,
    TickBox: _tick,
    TableBox: set_table,
    PaperBox: set_paper,
    Gap: _gap,
}
