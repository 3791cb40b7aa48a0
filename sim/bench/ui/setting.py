"""How lettering is set on a page: styles, steps from line to line, what is in a field."""

from __future__ import annotations

from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from sim.bench.ui.blocks import Block, FieldBox, focus_order
from sim.bench.ui.box import Box
from sim.bench.ui.fields import TextArea
from sim.bench.ui.marks import SetLine, Writing
from sim.bench.ui.theme import (
    CAUTION_INK,
    INK,
    PEN,
    SOFT_INK,
    TYPE_HEADING,
    TYPE_LARGE,
    TYPE_SMALL,
    TYPE_TEXT,
    Colour,
)
from sim.bench.ui.wrapping import Measure, on_one_line, wrapped

LEADING = 1.2
"""Lines follow one another at this multiple of the face's own height."""
CARET_PX = 2


class TypeStyle(NamedTuple):
    """Lettering of one kind; `size` in pixels at 100 % text."""

    size: int
    ink: Colour
    bold: bool = False


TITLE = TypeStyle(TYPE_HEADING, INK, bold=True)
SUBTITLE = TypeStyle(TYPE_LARGE, INK, bold=True)
TEXT = TypeStyle(TYPE_TEXT, INK)
NOTE = TypeStyle(TYPE_SMALL, SOFT_INK)
WRITTEN = TypeStyle(TYPE_TEXT, PEN)
WARNING = TypeStyle(TYPE_TEXT, CAUTION_INK)
WARNING_WORD = TypeStyle(TYPE_TEXT, CAUTION_INK, bold=True)


class Setting(Struct, frozen=True):
    """What a page is set with: the measure, the column's width, the text scale, the focus.

    `composing` is text that the keyboard is still putting together where the focus is.
    """

    measure: Measure
    width_px: int
    text_scale: float
    focus: str = ""
    composing: str = ""

    def of(self, block: Block) -> Setting:
        """What one block is set with: all but one know nothing of the focus, and can be kept."""
        return self if self.focus in focus_order((block,)) else self.unfocused

    @property
    def unfocused(self) -> Setting:
        """The same where nothing has the focus."""
        return replace(self, focus="", composing="") if self.focus else self

    def px(self, length: float) -> int:
        """Scale a length that goes with the text."""
        return round(length * self.text_scale)

    def step_px(self, style: TypeStyle) -> int:
        """Give the distance from one line to the next."""
        return round(LEADING * self.measure.line_height_px(self.px(style.size), style.bold))

    def width_of(self, text: str, style: TypeStyle) -> int:
        """Measure a text on one line."""
        return self.measure.width_px(text, self.px(style.size), style.bold)

    def line(self, text: str, style: TypeStyle, x: int, y: int) -> SetLine:
        """Set one line in the middle of its step; x and y are the step's corner."""
        size_px = self.px(style.size)
        spare = self.step_px(style) - self.measure.line_height_px(size_px, style.bold)
        return SetLine(text, x, y + spare // 2, size_px, style.ink, style.bold)

    def block(self, text: str, style: TypeStyle, column: Box) -> tuple[SetLine, ...]:
        """Set a text from the upper left of a column down, as wide as the column."""
        step, wide = self.step_px(style), max(column.width, 1)
        lines = wrapped(text, self.measure, self.px(style.size), wide, style.bold)
        return tuple(
            self.line(lines.shown(row), style, column.x, column.y + row * step)
            for row in range(len(lines.spans))
        )


def written(
    setting: Setting, box: FieldBox, inner: Box, style: TypeStyle = WRITTEN, wraps: bool = False
) -> Writing:
    """Set what is in a field; a line too long for it is drawn aside to show the caret.

    What `wraps` is set on as many lines as it needs.
    """
    field, focused = box.field, setting.focus == box.name
    composing = setting.composing if focused else ""
    text = field.text[: field.caret] + composing + field.text[field.caret :]
    caret = field.caret + len(composing)
    size_px, step = setting.px(style.size), setting.step_px(style)
    if wraps:
        text = joined(text)
    if wraps or isinstance(field, TextArea):
        lines = wrapped(text, setting.measure, size_px, max(inner.width - CARET_PX, 1))
        aside = 0
    else:
        lines = on_one_line(text, setting.measure, size_px)
        aside = max(0, lines.x_px(caret) + CARET_PX - inner.width) if focused else 0
    writing = Writing(lines, inner.x - aside, inner.y, step)
    if not focused:
        return writing
    row = lines.row(caret)
    at = min(writing.x + lines.x_px(caret), inner.right - CARET_PX)
    return replace(
        writing,
        caret=Box(at, inner.y + row * step + 1, CARET_PX, step - 2),
        selected=() if composing else _marked(writing, inner, *field.selection),
        composed=_marked(writing, inner, field.caret, caret),
    )


def joined(text: str) -> str:
    """Keep the stroke between quantity and unit on the unit's line."""
    return text.replace("/ ", "/\u00a0")


def lines_of(setting: Setting, writing: Writing, style: TypeStyle = WRITTEN) -> tuple[SetLine, ...]:
    """Give the lettering of what is written."""
    return tuple(
        setting.line(writing.lines.shown(row), style, writing.x, writing.y + row * writing.step_px)
        for row in range(len(writing.lines.spans))
    )


def _marked(writing: Writing, inner: Box, start: int, end: int) -> tuple[Box, ...]:
    """Find the boxes behind letters `start` to `end`, one on each of their rows."""
    boxes = []
    for row, span in enumerate(writing.lines.spans):
        first, last = max(start, span.start), min(end, span.end)
        if first < last:
            left = max(writing.x + writing.lines.x_on(row, first), inner.x)
            right = min(writing.x + writing.lines.x_on(row, last), inner.right)
            top = writing.y + row * writing.step_px
            boxes.append(Box(left, top, max(right - left, 1), writing.step_px))
    return tuple(boxes)
