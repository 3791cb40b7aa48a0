"""Fields that are written in: a line, a number, a long answer; and what can be done to them.

Each field is a value; each edit gives a new one. A field that takes nothing of an edit
gives itself back, so a page can hand the edit on.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable
from enum import Enum
from typing import Self, TypeVar

from msgspec import Struct
from msgspec.structs import replace

from sim.bench.ui.wrapping import Lines, Span, stop_after, stop_before

_NUMBER = re.compile(r"[+\-−]?[0-9]*([.,][0-9]*)?")
_MINUS = "−"


class Motion(Enum):
    """Where the caret goes."""

    LEFT = "left"
    RIGHT = "right"
    WORD_LEFT = "a word to the left"
    WORD_RIGHT = "a word to the right"
    LINE_START = "to the start of the line"
    LINE_END = "to the end of the line"
    UP = "a line up"
    DOWN = "a line down"
    TEXT_START = "to the start of the text"
    TEXT_END = "to the end of the text"


class Reach(Enum):
    """How much is erased where nothing is selected."""

    BACK = Motion.LEFT
    FORWARD = Motion.RIGHT
    WORD_BACK = Motion.WORD_LEFT
    WORD_FORWARD = Motion.WORD_RIGHT


class Typed(Struct, frozen=True):
    """Text as the keyboard gives it; composed characters arrive whole."""

    text: str


class Paste(Struct, frozen=True):
    """Text from the clipboard."""

    text: str


class Move(Struct, frozen=True):
    """Move the caret; with `select`, what it passes over is selected."""

    where: Motion
    select: bool = False


class PlaceCaret(Struct, frozen=True):
    """Put the caret before a letter, as a click does; with `select`, as a drag does."""

    index: int
    select: bool = False


class Erase(Struct, frozen=True):
    """Erase what is selected, or what lies within reach of the caret."""

    reach: Reach


class Cut(Struct, frozen=True):
    """Erase what is selected; whoever sends it takes `selected` to the clipboard first."""


class SelectAll(Struct, frozen=True):
    """Select the whole text."""


Edit = Typed | Paste | Move | PlaceCaret | Erase | Cut | SelectAll


class TextLine(Struct, frozen=True):
    """One line of text. Positions count letters from 0; `anchor` is where selecting began."""

    text: str = ""
    caret: int = 0
    anchor: int | None = None
    longest: int = 200

    def __post_init__(self) -> None:
        """Refuse a caret or an anchor outside the text (ValueError)."""
        for place in (self.caret, self.caret if self.anchor is None else self.anchor):
            if not 0 <= place <= len(self.text):
                raise ValueError(f"place {place} lies outside a text of {len(self.text)} letters")

    @classmethod
    def holding(cls, text: str) -> Self:
        """Make a field of the usual length that holds a text, the caret at its end."""
        return cls().pasted(text)

    @property
    def selection(self) -> Span:
        """What is selected; empty, at the caret, where nothing is."""
        anchor = self.caret if self.anchor is None else self.anchor
        return Span(min(anchor, self.caret), max(anchor, self.caret))

    @property
    def selected(self) -> str:
        """The selected text, as it goes to the clipboard."""
        return self.text[slice(*self.selection)]

    def typed(self, text: str) -> Self:
        """Put what the field takes of the text in place of the selection."""
        start, end = self.selection
        room = self.longest - len(self.text) + (end - start)
        taken = self._taken(text)[: max(room, 0)]
        if not taken:
            return self
        return self._at(self.text[:start] + taken + self.text[end:], start + len(taken))

    def pasted(self, text: str) -> Self:
        """Put a text from the clipboard in place of the selection."""
        return self.typed(text.replace("\r\n", "\n"))

    def erased(self, reach: Reach) -> Self:
        """Erase the selection or, where there is none, within reach of the caret."""
        start, end = self.selection
        if start == end:
            start, end = sorted((self.caret, self._target(reach.value)))
        if start == end:
            return self
        return self._at(self.text[:start] + self.text[end:], start)

    def cut(self) -> Self:
        """Erase the selection; nothing happens where there is none."""
        return self.erased(Reach.BACK) if self.selected else self

    def moved(self, where: Motion, select: bool = False) -> Self:
        """Move the caret. Up and down stay: they need the lines of a `TextArea`."""
        start, end = self.selection
        if start < end and not select and where in (Motion.LEFT, Motion.RIGHT):
            return self.placed(start if where is Motion.LEFT else end)
        return self.placed(self._target(where), select)

    def placed(self, index: int, select: bool = False) -> Self:
        """Put the caret before letter `index`, or at the nearer end of the text."""
        index = min(max(index, 0), len(self.text))
        anchor = self.caret if self.anchor is None else self.anchor
        kept = anchor if select and anchor != index else None
        if (index, kept) == (self.caret, self.anchor):
            return self
        return self._at(self.text, index, kept)

    def all_selected(self) -> Self:
        """Select the whole text, the caret at its end."""
        return self.placed(0).placed(len(self.text), select=True)

    def _at(self, text: str, caret: int, anchor: int | None = None) -> Self:
        return replace(self, text=text, caret=caret, anchor=anchor)

    def _taken(self, text: str) -> str:
        return _cleaned(text).replace("\n", " ")

    def _target(self, where: Motion) -> int:
        targets: dict[Motion, Callable[[], int]] = {
            Motion.LEFT: lambda: stop_before(self.text, self.caret),
            Motion.RIGHT: lambda: stop_after(self.text, self.caret),
            Motion.WORD_LEFT: lambda: _word_start(self.text, self.caret),
            Motion.WORD_RIGHT: lambda: _word_end(self.text, self.caret),
            Motion.LINE_START: lambda: self.text.rfind("\n", 0, self.caret) + 1,
            Motion.LINE_END: lambda: (self.text + "\n").index("\n", self.caret),
            Motion.TEXT_START: lambda: 0,
            Motion.TEXT_END: lambda: len(self.text),
        }
        return targets[where]() if where in targets else self.caret


class NumberField(TextLine, frozen=True):
    """A line that takes one number: digits, a sign, one decimal point or comma."""

    longest: int = 12

    @property
    def value(self) -> float | None:
        """The number written, or None while there is none."""
        text = self.text.replace(_MINUS, "-").replace(",", ".")
        return float(text) if any(letter.isdigit() for letter in text) else None

    @property
    def decimal_places(self) -> int:
        """The decimal places as written: 2 for 0.50."""
        return len(self.text.replace(",", ".").partition(".")[2])

    def typed(self, text: str) -> Self:
        """Put the letters in one by one; each that would make no number is dropped."""
        field = self
        for letter in self._taken(text):
            field = field._if_number(letter)
        return field

    def pasted(self, text: str) -> Self:
        """Take a number from the clipboard whole, or not at all: half of one is another."""
        return self._if_number(self._taken(text.strip()))

    def _if_number(self, text: str) -> Self:
        changed = super().typed(text)
        return changed if _NUMBER.fullmatch(changed.text) and self._whole(text) else self

    def _whole(self, text: str) -> bool:
        return len(self.text) - len(self.selected) + len(text) <= self.longest

    def _taken(self, text: str) -> str:
        plain = super()._taken(text)
        return "".join(_digit(letter) for letter in plain)


class TextArea(TextLine, frozen=True):
    """A long answer in paragraphs. `goal_px` is where up and down try to keep the caret."""

    longest: int = 4000
    goal_px: int | None = None

    def moved_on(self, lines: Lines, where: Motion, select: bool = False) -> Self:
        """Move the caret on the lines as they are shown (of this text, or ValueError)."""
        if lines.text != self.text:
            raise ValueError("the lines are of another text")
        row = lines.row(self.caret)
        if where is Motion.LINE_START:
            return self.placed(lines.spans[row].start, select)
        if where is Motion.LINE_END:
            return self.placed(lines.last_index(row), select)
        if where in (Motion.UP, Motion.DOWN):
            return self._stepped(lines, row + (1 if where is Motion.DOWN else -1), select)
        return self.moved(where, select)

    def _stepped(self, lines: Lines, row: int, select: bool) -> Self:
        if not 0 <= row < len(lines.spans):
            return self.placed(0 if row < 0 else len(self.text), select)
        goal_px = lines.x_px(self.caret) if self.goal_px is None else self.goal_px
        return replace(self.placed(lines.index_at(row, goal_px), select), goal_px=goal_px)

    def _at(self, text: str, caret: int, anchor: int | None = None) -> Self:
        return replace(self, text=text, caret=caret, anchor=anchor, goal_px=None)

    def _taken(self, text: str) -> str:
        return _cleaned(text)


F = TypeVar("F", bound=TextLine)


def edited(field: F, edit: Edit, lines: Lines | None = None) -> F:
    """Give the field after an edit; `lines` are those of a long answer as they are shown."""
    match edit:
        case Typed(text) | Paste(text):
            changed = field.typed(text) if isinstance(edit, Typed) else field.pasted(text)
        case Erase(reach):
            changed = field.erased(reach)
        case Move(where, select) if isinstance(field, TextArea) and lines is not None:
            changed = field.moved_on(lines, where, select)
        case Move(where, select):
            changed = field.moved(where, select)
        case PlaceCaret(index, select):
            changed = field.placed(index, select)
        case _:
            changed = field.cut() if isinstance(edit, Cut) else field.all_selected()
    return changed


def _cleaned(text: str) -> str:
    """Without what no page can show: control characters and halves of surrogate pairs."""
    return "".join(" " if _is_space(a) else a for a in text if a == "\n" or not _is_unseen(a))


def _is_space(letter: str) -> bool:
    return letter == "\t" or unicodedata.category(letter) in ("Zs", "Zl", "Zp")


def _is_unseen(letter: str) -> bool:
    return letter != "\t" and unicodedata.category(letter) in ("Cc", "Cs")


def _digit(letter: str) -> str:
    """Any script's digit as 0 to 9, other letters as they are."""
    return str(unicodedata.decimal(letter)) if letter.isdecimal() else letter


def _word_start(text: str, index: int) -> int:
    before = text[:index].rstrip()
    return len(before) - len(re.split(r"\s", before)[-1])


def _word_end(text: str, index: int) -> int:
    after = re.match(r"\s*\S*", text[index:])
    return index + (after.end() if after else 0)
