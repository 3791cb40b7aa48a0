"""A page once it is set: every line, frame and rule at its place, and what is asked of it.

Places are in pixels of the page, from its upper left corner, not of the window. `Setting` is what
lettering is set with, whether it stands in a paragraph, in a field or in a cell of a table.
"""

from __future__ import annotations

from enum import Enum
from functools import cached_property
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from sim.bench.ui.blocks import Block, FieldBox, PaperBox, PaperView, focus_order
from sim.bench.ui.fields import TextArea
from sim.bench.ui.theme import (
    CAUTION_INK,
    INK,
    PEN,
    SOFT_INK,
    STRUCK,
    TYPE_HEADING,
    TYPE_LARGE,
    TYPE_SMALL,
    TYPE_TEXT,
    Box,
    Colour,
)
from sim.bench.ui.wrapping import Lines, Measure, wrapped

MARGIN_LEFT = 16
"""From the page's edge to the writing, in pixels; the red margin line stands within."""
MARGIN_RIGHT = 12
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


class Ruling(NamedTuple):
    """A ruled line, as the thin box that it fills."""

    box: Box
    ink: Colour


class Look(Enum):
    """What a frame looks like."""

    FIELD = "field"
    BUTTON = "button"
    CAUTION = "caution"
    ROW = "row of a table"
    PAPER = "graph paper"


class Writing(Struct, frozen=True):
    """The text in a field: its lines from (x, y) down, the caret, what is marked."""

    lines: Lines
    x: int
    y: int
    step_px: int
    caret: Box | None = None
    selected: tuple[Box, ...] = ()
    composed: tuple[Box, ...] = ()


class Frame(Struct, frozen=True):
    """Something with an outline: to write in, to press, to draw on, or to heed.

    A sheet of graph paper brings itself and the view in which it is seen.
    """

    look: Look
    box: Box
    lines: tuple[SetLine, ...] = ()
    name: str | None = None
    focused: bool = False
    rulings: tuple[Ruling, ...] = ()
    writing: Writing | None = None
    paper: tuple[PaperBox, PaperView] | None = None


class Placed(Struct, frozen=True):
    """One block of the page, the rectangle it fills and the marks it is made of."""

    source: Block
    box: Box
    lines: tuple[SetLine, ...] = ()
    frames: tuple[Frame, ...] = ()
    rulings: tuple[Ruling, ...] = ()


class SetPage(Struct, frozen=True, dict=True, eq=False):
    """A page that is set.

    The same page is set once (`laid_out`), so set pages are told apart by identity: comparing
    all their lines at every frame would take longer than drawing them.
    """

    placed: tuple[Placed, ...]
    width_px: int
    height_px: int
    text_scale: float

    @cached_property
    def caret(self) -> Box | None:
        """Where the caret stands, for the window of an input method; None without one."""
        found = (f.writing.caret for p in self.placed for f in p.frames if f.writing)
        return next((caret for caret in found if caret is not None), None)

    def frame(self, name: str) -> Frame | None:
        """Find the frame of a name."""
        found = self._found(name)
        return found[1] if found else None

    def name_at(self, x: int, y: int) -> str | None:
        """Find the name of what lies at a point of the page."""
        frames = (frame for placed in self.placed for frame in placed.frames)
        return next((f.name for f in frames if f.name is not None and f.box.holds((x, y))), None)

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

    def shows(self, name: str, scroll_px: int, view_px: int) -> bool:
        """Whether any part of what has a name is seen."""
        frame = self.frame(name)
        if frame is None:
            return False
        return scroll_px - frame.box.height < frame.box.y < scroll_px + view_px

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
    """Turn a point of the window into a point of the page, for `SetPage.name_at`."""
    return at[0] - view.x, at[1] - view.y + scroll_px


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
REFUSED = TypeStyle(TYPE_TEXT, STRUCK)
WARNING = TypeStyle(TYPE_TEXT, CAUTION_INK)
WARNING_WORD = TypeStyle(TYPE_TEXT, CAUTION_INK, bold=True)


class Setting(Struct, frozen=True):
    """What a page is set with: the measure, the column's width, the text scale, the focus.

    `composing` is text that the keyboard is still putting together where the focus is;
    `height_px` is how much of a page is seen at once, where that is known.
    """

    measure: Measure
    width_px: int
    text_scale: float
    focus: str = ""
    composing: str = ""
    height_px: int | None = None

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


def written(setting: Setting, box: FieldBox, inner: Box, style: TypeStyle = WRITTEN) -> Writing:
    """Set what is in a field, on as many lines as it needs."""
    field, focused = box.field, setting.focus == box.name
    composing = setting.composing if focused else ""
    text = field.text[: field.caret] + composing + field.text[field.caret :]
    caret = field.caret + len(composing)
    size_px, step = setting.px(style.size), setting.step_px(style)
    if not isinstance(field, TextArea):
        text = joined(text)
    lines = wrapped(text, setting.measure, size_px, max(inner.width - CARET_PX, 1))
    writing = Writing(lines, inner.x, inner.y, step)
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


def field_frame(
    setting: Setting,
    box: FieldBox,
    outer: Box,
    writing: Writing,
    style: TypeStyle = WRITTEN,
    rulings: tuple[Ruling, ...] = (),
) -> Frame:
    """Give the frame of a field about what is written in it."""
    lines = tuple(
        setting.line(writing.lines.shown(row), style, writing.x, writing.y + row * writing.step_px)
        for row in range(len(writing.lines.spans))
    )
    focused = setting.focus == box.name
    return Frame(Look.FIELD, outer, lines, box.name, focused, rulings, writing)


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
