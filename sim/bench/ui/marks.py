"""A page once it is set: every line, frame and rule at its place, and what is asked of it.

Places are in pixels of the page, from its upper left corner, not of the window.
"""

from __future__ import annotations

from enum import Enum
from functools import cached_property
from typing import NamedTuple

from msgspec import Struct

from sim.bench.ui.blocks import Block, PaperBox
from sim.bench.ui.box import Box
from sim.bench.ui.graph_paper import PaperView
from sim.bench.ui.theme import Colour
from sim.bench.ui.wrapping import Lines

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


class Ruling(NamedTuple):
    """A ruled line, as the thin box that it fills."""

    box: Box
    ink: Colour


class Look(Enum):
    """What a frame looks like."""

    FIELD = "field"
    BUTTON = "button"
    CAUTION = "caution"
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
