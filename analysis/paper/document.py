"""What a report is made of, free of any layout: HTML and PDF print the same document.

What a workbook's pages are made of, free of any layout: HTML and PDF print the same pages.

Every page is exactly one sheet of A4. Lengths are millimetres on paper.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, TypeAlias

_NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=(?:°C|cm|mm|m|g|kg|N|J|%)(?!\w))")
_MINUS = re.compile(r"(?<![^\s(])-(?=\d)")


def typeset(text: str) -> str:
    """Give negative numbers a true minus, and keep a number or a heading's "/" beside its unit."""
    held = _NUMBER_AND_UNIT.sub("\u00a0", text).replace(" / ", " /\u00a0")
    return _MINUS.sub("−", held)


@dataclass(frozen=True)
class Paragraph:
    """One paragraph of running text; a leading one is set larger."""

    text: str
    leading: bool = False
    kind: Literal["paragraph"] = "paragraph"


@dataclass(frozen=True)
class Listing:
    """Short points, one a line."""

    items: tuple[str, ...]
    kind: Literal["listing"] = "listing"


@dataclass(frozen=True)
class Table:
    """A table: its first column names the row. Units stand in the headings only."""

    caption: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()
    kind: Literal["table"] = "table"


@dataclass(frozen=True)
class Working:
    """A calculation, one step a line."""

    title: str
    lines: tuple[str, ...]
    kind: Literal["working"] = "working"


@dataclass(frozen=True)
class Picture:
    """The graph; `text` says in words what it shows, for a reader who cannot see it."""

    caption: str
    text: str
    kind: Literal["picture"] = "picture"


Block: TypeAlias = Paragraph | Listing | Table | Working | Picture


@dataclass(frozen=True)
class Section:
    """A heading and what stands under it."""

    title: str
    blocks: tuple[Block, ...]
    new_page: bool = False


@dataclass(frozen=True)
class Document:
    """A whole report."""

    title: str
    subtitle: str
    sections: tuple[Section, ...]


@dataclass(frozen=True)
class Stroke:
    """A straight line from one point to another."""

    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    width_mm: float = 0.25
    dashed: bool = False
    grey: int = 0
    """From 0 (black) to 255 (white)."""


@dataclass(frozen=True)
class Ring:
    """A circle, left white inside."""

    centre_mm: tuple[float, float]
    radius_mm: float


@dataclass(frozen=True)
class Label:
    """Text that begins at a point of its own foot line, or ends there."""

    at_mm: tuple[float, float]
    text: str
    ends: bool = False


@dataclass(frozen=True)
class Drawing:
    """Lines, circles and labels, in millimetres from the top left corner.

    `text` says in words what is drawn, for a reader who cannot see it.
    """

    text: str
    size_mm: tuple[float, float]
    strokes: tuple[Stroke, ...]
    rings: tuple[Ring, ...] = ()
    labels: tuple[Label, ...] = ()
    kind: Literal["drawing"] = "drawing"


PAPER_MM = (210.0, 297.0)
MARGIN_MM = 15.0
LINE_MM = 8.0
"""Distance of ruled lines, wide enough for handwriting."""


@dataclass(frozen=True)
class Heading:
    """A heading inside a page."""

    text: str
    kind: Literal["heading"] = "heading"


@dataclass(frozen=True)
class Blanks:
    """Short answers side by side: each label with a line behind it, all lines equally long."""

    labels: tuple[str, ...]
    kind: Literal["blanks"] = "blanks"


@dataclass(frozen=True)
class Answer:
    """A question, a hint on conventions under it, and ruled lines for the answer."""

    question: str
    lines: int
    hint: str = ""
    kind: Literal["answer"] = "answer"


@dataclass(frozen=True)
class Grid:
    """A table to be filled in; an empty heading is left to the student.

    `shares` divides the width among the columns; `numbers` are printed down the first column.
    """

    caption: str
    headings: tuple[str, ...]
    shares: tuple[int, ...]
    rows: int
    row_mm: float
    heading_mm: float
    numbers: tuple[str, ...] = ()
    kind: Literal["grid"] = "grid"


@dataclass(frozen=True)
class Space:
    """A frame to draw in."""

    label: str
    height_mm: float
    kind: Literal["space"] = "space"


@dataclass(frozen=True)
class Terms:
    """Words and what they mean."""

    meanings: tuple[tuple[str, str], ...]
    kind: Literal["terms"] = "terms"


PaperBlock: TypeAlias = (
    Paragraph | Listing | Heading | Blanks | Answer | Grid | Space | Drawing | Terms
)


@dataclass(frozen=True)
class Page:
    """One sheet of A4."""

    title: str
    blocks: tuple[PaperBlock, ...]


@dataclass(frozen=True)
class Workbook:
    """All pages in order, the cover first. `name_line` asks for a name at the top of the others."""

    title: str
    pages: tuple[Page, ...]
    name_line: bool = False


@dataclass(frozen=True)
class Plan:
    """How many readings the pages leave room for."""

    temperatures: int = 5
    repeats: int = 5
    name_line: bool = False
