"""What a workbook's pages are made of, free of any layout: HTML and PDF print the same pages.

Every page is exactly one sheet of A4. Lengths are millimetres on paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from analysis.document import Listing, Paragraph
from analysis.paper import LARGE_SQUARE_MM
from analysis.workbook.drawing import Drawing

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
class Squares:
    """Graph paper in true size: so many large squares across and up."""

    across: int
    up: int
    kind: Literal["squares"] = "squares"

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height."""
        return self.across * LARGE_SQUARE_MM, self.up * LARGE_SQUARE_MM


@dataclass(frozen=True)
class Terms:
    """Words and what they mean."""

    meanings: tuple[tuple[str, str], ...]
    kind: Literal["terms"] = "terms"


Block: TypeAlias = (
    Paragraph | Listing | Heading | Blanks | Answer | Grid | Space | Drawing | Squares | Terms
)


@dataclass(frozen=True)
class Page:
    """One sheet of A4."""

    title: str
    blocks: tuple[Block, ...]


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
