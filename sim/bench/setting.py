"""How lettering is set on a page: styles, steps from line to line, what is in a field."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from sim.bench.fields import TextArea, TextLine
from sim.bench.layout import Box
from sim.bench.marks import SetLine, Writing
from sim.bench.theme import (
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
from sim.bench.wrapping import Measure, on_one_line, wrapped

LEADING = 1.2
"""Lines follow one another at this multiple of the face's own height."""
CARET_PX = 2


class Style(NamedTuple):
    """Lettering of one kind; `size` in pixels at 100 % text."""

    size: int
    ink: Colour
    bold: bool = False


TITLE = Style(TYPE_HEADING, INK, bold=True)
SUBTITLE = Style(TYPE_LARGE, INK, bold=True)
TEXT = Style(TYPE_TEXT, INK)
STRONG = Style(TYPE_TEXT, INK, bold=True)
NOTE = Style(TYPE_SMALL, SOFT_INK)
WRITTEN = Style(TYPE_TEXT, PEN)
PALE = Style(TYPE_TEXT, SOFT_INK)
WARNING = Style(TYPE_TEXT, CAUTION_INK)
WARNING_WORD = Style(TYPE_TEXT, CAUTION_INK, bold=True)


@dataclass(frozen=True)
class Setting:
    """What a page is set with: the measure, the column's width, the text scale."""

    measure: Measure
    width_px: int
    text_scale: float

    def px(self, length: float) -> int:
        """Scale a length that goes with the text."""
        return round(length * self.text_scale)

    def step_px(self, style: Style) -> int:
        """Give the distance from one line to the next."""
        return round(LEADING * self.measure.line_height_px(self.px(style.size), style.bold))

    def width_of(self, text: str, style: Style) -> int:
        """Measure a text on one line."""
        return self.measure.width_px(text, self.px(style.size), style.bold)

    def broken(self, text: str, style: Style, width_px: int) -> tuple[str, ...]:
        """Break a text into lines."""
        size_px = self.px(style.size)
        lines = wrapped(text, self.measure, size_px, max(width_px, 1), style.bold)
        return tuple(lines.shown(row) for row in range(len(lines.spans)))

    def line(self, text: str, style: Style, x: int, y: int) -> SetLine:
        """Set one line in the middle of its step; x and y are the step's corner."""
        size_px = self.px(style.size)
        spare = self.step_px(style) - self.measure.line_height_px(size_px, style.bold)
        return SetLine(text, x, y + spare // 2, size_px, style.ink, style.bold)

    def block(self, text: str, style: Style, column: Box) -> tuple[SetLine, ...]:
        """Set a text from the upper left of a column down, as wide as the column."""
        step = self.step_px(style)
        return tuple(
            self.line(shown, style, column.x, column.y + row * step)
            for row, shown in enumerate(self.broken(text, style, column.width))
        )


class Entry(NamedTuple):
    """A field as it is written in now; what `wraps` is set on as many lines as it needs."""

    field: TextLine
    focused: bool
    composing: str
    style: Style = WRITTEN
    wraps: bool = False


def written(setting: Setting, entry: Entry, inner: Box) -> Writing:
    """Set what is in a field; a line too long for it is drawn aside to show the caret."""
    field, composing = entry.field, entry.composing if entry.focused else ""
    text = field.text[: field.caret] + composing + field.text[field.caret :]
    caret = field.caret + len(composing)
    size_px, step = setting.px(entry.style.size), setting.step_px(entry.style)
    if entry.wraps:
        text = joined(text)
    if entry.wraps or isinstance(field, TextArea):
        lines = wrapped(text, setting.measure, size_px, max(inner.width - CARET_PX, 1))
        aside = 0
    else:
        lines = on_one_line(text, setting.measure, size_px)
        aside = max(0, lines.x_px(caret) + CARET_PX - inner.width) if entry.focused else 0
    writing = Writing(lines, inner.x - aside, inner.y, step)
    if not entry.focused:
        return writing
    row = lines.row(caret)
    at = min(writing.x + lines.x_px(caret), inner.right - CARET_PX)
    stroke = Box(at, inner.y + row * step + 1, CARET_PX, step - 2)
    selected = () if composing else _marked(writing, inner, *field.selection)
    composed = _marked(writing, inner, field.caret, caret)
    return Writing(lines, writing.x, writing.y, step, stroke, selected, composed)


def joined(text: str) -> str:
    """Keep the stroke between quantity and unit on the unit's line."""
    return text.replace("/ ", "/\u00a0")


def lines_of(setting: Setting, writing: Writing, style: Style) -> tuple[SetLine, ...]:
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
