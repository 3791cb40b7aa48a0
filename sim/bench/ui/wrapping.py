"""Where a text breaks into lines, and which letter stands where on them.

Widths come from a `Measure`, so lines can be set and tested without a window.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple, Protocol

from msgspec import Struct

_TOKEN = re.compile(r"[^ \t]+[ \t]*|[ \t]+")
"""A word and the spaces after it. A no-break space is a letter like others."""
_JOINERS = "\u200d\ufe0e\ufe0f"
"""Zero width joiner and the variation selectors: they belong to the letter before."""


class Measure(Protocol):
    """How much room lettering takes, in pixels."""

    def width_px(self, text: str, size_px: int, bold: bool = False) -> int:
        """Width of a text set on one line."""
        ...

    def line_height_px(self, size_px: int, bold: bool = False) -> int:
        """Height of one line, from the highest letter to the lowest."""
        ...

    def __hash__(self) -> int:
        """Tell measures apart, so that lines once broken can be kept."""
        ...


class Span(NamedTuple):
    """The letters of one line: from `start` up to, not with, `end`."""

    start: int
    end: int


class Lines(Struct, frozen=True):
    """A text broken into lines.

    Spaces at a break belong to the line before it; a line break itself to no line.
    """

    text: str
    spans: tuple[Span, ...]
    size_px: int
    measure: Measure
    bold: bool = False

    def shown(self, row: int) -> str:
        """Give the text of a row without the spaces at its end."""
        start, end = self.spans[row]
        return self.text[start:end].rstrip()

    def row(self, index: int) -> int:
        """Find the row on which a caret before letter `index` stands."""
        return bisect_right([span.start for span in self.spans], index) - 1

    def last_index(self, row: int) -> int:
        """Find the last place on a row where a caret still stands on that row."""
        start, end = self.spans[row]
        follows = row + 1 < len(self.spans) and self.spans[row + 1].start == end
        return stop_before(self.text, end) if follows and end > start else end

    def x_px(self, index: int) -> int:
        """Tell how far from the left a caret before letter `index` stands."""
        return self.x_on(self.row(index), index)

    def x_on(self, row: int, index: int) -> int:
        """Tell how far from the left letter `index` of a row begins, or the row ends."""
        start = self.spans[row].start
        return self.measure.width_px(self.text[start:index], self.size_px, self.bold)

    def index_at(self, row: int, x_px: int) -> int:
        """Find the caret place of a row that is nearest to `x_px`."""
        low, high = self.spans[row].start, self.last_index(row)
        while low < high:
            middle = stop_after(self.text, (low + high) // 2)
            before = stop_before(self.text, middle)
            if middle > high or 2 * x_px < self.x_on(row, before) + self.x_on(row, middle):
                high = before
            else:
                low = middle
        return min(low, self.last_index(row))


@lru_cache(maxsize=512)
def wrapped(text: str, measure: Measure, size_px: int, width_px: int, bold: bool = False) -> Lines:
    """Break a text into lines no wider than `width_px`; words wider than a line are broken.

    A single letter wider than the line stands alone on it. There is at least one line.
    """
    fits = _Fit(measure, size_px, width_px, bold)
    spans: list[Span] = []
    start = 0
    for paragraph in text.split("\n"):
        spans.extend(_paragraph_spans(text, Span(start, start + len(paragraph)), fits))
        start += len(paragraph) + 1
    return Lines(text, tuple(spans), size_px, measure, bold)


def stop_after(text: str, index: int) -> int:
    """Find the next place where a caret may stand: never between a letter and its accent."""
    index = min(index + 1, len(text))
    while index < len(text) and _leans_on_the_one_before(text[index]):
        index += 1
    return index


def stop_before(text: str, index: int) -> int:
    """Find the place before `index` where a caret may stand."""
    index = max(index - 1, 0)
    while index > 0 and _leans_on_the_one_before(text[index]):
        index -= 1
    return index


def _leans_on_the_one_before(letter: str) -> bool:
    return unicodedata.combining(letter) > 0 or letter in _JOINERS


class _Fit(NamedTuple):
    measure: Measure
    size_px: int
    width_px: int
    bold: bool

    def __call__(self, text: str) -> bool:
        wide = self.measure.width_px(text.rstrip(), self.size_px, self.bold)
        return wide <= self.width_px


def _paragraph_spans(text: str, whole: Span, fits: _Fit) -> Iterator[Span]:
    start = end = whole.start
    for token in _TOKEN.finditer(text, whole.start, whole.end):
        if not fits(text[start : token.end()]):
            if end > start:
                yield Span(start, end)
                start = end
            while not fits(text[start : token.end()]):
                cut = _cut(text, Span(start, token.end()), fits)
                if cut >= token.end():
                    break
                yield Span(start, cut)
                start = cut
        end = token.end()
    yield Span(start, whole.end)


def _cut(text: str, word: Span, fits: _Fit) -> int:
    """How much of a word that is too wide goes on the line: at least one letter."""
    low, high = word.start, word.end
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if fits(text[word.start : middle]) else (low, middle)
    if low < len(text) and _leans_on_the_one_before(text[low]):
        low = stop_before(text, low)
    return max(low, stop_after(text, word.start))
