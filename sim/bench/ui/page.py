"""A page once it is set: every line, frame and stroke at its place, and what is asked of it.

Places are in pixels of the page, from its upper left corner, not of the window.

How lettering is set on a page: styles, steps from line to line, what is in a field.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from functools import cached_property
from typing import NamedTuple

from sim.bench.screen.layout import Box
from sim.bench.ui.blocks import PageBox, PaperBox
from sim.bench.ui.fields import TextArea, TextLine
from sim.bench.ui.graph_paper import View
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
from sim.bench.ui.wrapping import Lines, Measure, on_one_line, wrapped

MARGIN_LEFT = 24
"""From the page's edge to the writing, in pixels; the red margin line stands within."""
MARGIN_RIGHT = 14
"""Room for the scroll bar."""
HEAD = 22
"""Height, at 100 % text, of the strips above and below that say there is more."""
CLEAR_PX = 10
"""What is scrolled to keeps this distance from the edge, so that its ring shows too."""


class SetLine(NamedTuple):
    """One line of lettering; x and y are its upper left corner."""

    text: str
    x: int
    y: int
    size_px: int
    ink: Colour
    bold: bool = False


class Stroke(NamedTuple):
    """A ruled line, as the thin box that it fills."""

    box: Box
    ink: Colour


class Look(Enum):
    """What a frame looks like."""

    FIELD = "field"
    BUTTON = "button"
    OPTION = "option"
    GROUP = "group of options"
    TICK = "tick"
    ROW = "row of a table"
    CAUTION = "caution"
    PAPER = "graph paper"


@dataclass(frozen=True)
class Writing:
    """The text in a field: its lines from (x, y) down, the caret, what is marked."""

    lines: Lines
    x: int
    y: int
    step_px: int
    caret: Box | None = None
    selected: tuple[Box, ...] = ()
    composed: tuple[Box, ...] = ()


@dataclass(frozen=True)
class Graph:
    """A sheet of graph paper: what is on it, and the view in which it is seen."""

    source: PaperBox
    view: View


@dataclass(frozen=True)
class Frame:
    """Something with an outline: to write in, to press, to choose, or to heed.

    `part` numbers the options of a choice; `on` says that this one is chosen or ticked.
    """

    look: Look
    box: Box
    lines: tuple[SetLine, ...] = ()
    name: str | None = None
    part: int | None = None
    focused: bool = False
    enabled: bool = True
    on: bool = False
    strokes: tuple[Stroke, ...] = ()
    writing: Writing | None = None
    graph: Graph | None = None


@dataclass(frozen=True)
class Placed:
    """One box of the page, the rectangle it fills and the marks it is made of."""

    source: PageBox
    box: Box
    lines: tuple[SetLine, ...] = ()
    frames: tuple[Frame, ...] = ()
    strokes: tuple[Stroke, ...] = ()


class Hit(NamedTuple):
    """What lies under the pointer, and which of its options."""

    name: str
    part: int | None


@dataclass(frozen=True, eq=False)
class Sheet:
    """A page that is set.

    The same page is set once (`laid_out`), so sheets are told apart by identity: comparing all
    their lines at every frame would take longer than drawing them.
    """

    placed: tuple[Placed, ...]
    width_px: int
    height_px: int
    text_scale: float

    @cached_property
    def names(self) -> tuple[str, ...]:
        """The names that can have the focus, in reading order."""
        frames = (frame for placed in self.placed for frame in placed.frames)
        return tuple(dict.fromkeys(f.name for f in frames if f.name is not None and f.enabled))

    @cached_property
    def caret(self) -> Box | None:
        """Where the caret stands, for the window of an input method; None without one."""
        found = (f.writing.caret for p in self.placed for f in p.frames if f.writing)
        return next((caret for caret in found if caret is not None), None)

    def frame(self, name: str) -> Frame | None:
        """Find the outermost frame of a name."""
        found = self._found(name)
        return found[1] if found else None

    def hit(self, x: int, y: int) -> Hit | None:
        """Find what lies at a point of the page; what lies on top comes first."""
        for placed in self.placed:
            for frame in reversed(placed.frames):
                if frame.name is not None and frame.box.holds((x, y)):
                    return Hit(frame.name, frame.part)
        return None

    def name_at(self, x: int, y: int) -> str | None:
        """Find the name of what lies at a point of the page."""
        hit = self.hit(x, y)
        return hit.name if hit else None

    def lines_of(self, name: str) -> Lines | None:
        """Find the lines of a field as they are shown, for `sim.bench.ui.fields.edited`."""
        frame = self.frame(name)
        return frame.writing.lines if frame and frame.writing else None

    def caret_index(self, name: str, x: int, y: int) -> int:
        """Find the letter of a field before which a click at a point puts the caret."""
        frame = self.frame(name)
        if frame is None or frame.writing is None:
            raise ValueError(f"nothing on this page is called {name!r} and written in")
        writing = frame.writing
        last = len(writing.lines.spans) - 1
        row = min(max((y - writing.y) // writing.step_px, 0), last)
        return writing.lines.index_at(row, x - writing.x)

    def most_scroll_px(self, view_px: int) -> int:
        """Tell how far the page can be scrolled in a view of a height."""
        return max(0, self.height_px - view_px)

    def scrolled(self, scroll_px: int, view_px: int) -> int:
        """Keep a scroll offset within the page."""
        return min(max(scroll_px, 0), self.most_scroll_px(view_px))

    def scrolled_to(self, name: str, scroll_px: int, view_px: int) -> int:
        """Scroll as little as shows a name: with its label, alone, or the caret's line."""
        found = self._found(name)
        if found is None:
            return self.scrolled(scroll_px, view_px)
        placed, frame = found
        caret = frame.writing.caret if frame.writing else None
        choices = [b for b in (placed.box, frame.box, caret) if b is not None]
        fitting = [b for b in choices if b.height + 2 * CLEAR_PX <= view_px]
        box = fitting[0] if fitting else choices[-1]
        lowest, highest = box.bottom + CLEAR_PX - view_px, box.y - CLEAR_PX
        return self.scrolled(min(max(scroll_px, lowest), highest), view_px)

    def _found(self, name: str) -> tuple[Placed, Frame] | None:
        frames = ((placed, frame) for placed in self.placed for frame in placed.frames)
        return next(((p, f) for p, f in frames if f.name == name), None)


def view_box(area: Box, text_scale: float) -> Box:
    """Give the part of a page's area in which its writing is seen."""
    head = round(HEAD * text_scale)
    width = area.width - MARGIN_LEFT - MARGIN_RIGHT
    return Box(area.x + MARGIN_LEFT, area.y + head, width, area.height - 2 * head)


def page_point(view: Box, scroll_px: int, at: tuple[int, int]) -> tuple[int, int]:
    """Turn a point of the window into a point of the page, for `Sheet.hit`."""
    return at[0] - view.x, at[1] - view.y + scroll_px


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
