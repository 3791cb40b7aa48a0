"""What our pages are made of, free of any layout: one vocabulary for screen and print.

A report, a workbook, a feedback page, a class page and a printed sheet are each a `Document` of
sections, and a section is a row of blocks. `analysis.paper.html` paints every block, and
`analysis.paper.pdf` those that stand on printed pages; a table alone is given here as plain text,
for a terminal and as a CSV file. Lengths are millimetres on paper.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache
from math import ceil
from typing import TYPE_CHECKING, TypeAlias

from analysis.quantity.units import MISSING, UNITS, restated

if TYPE_CHECKING:
    from matplotlib.figure import Figure

PAPER_MM = (210.0, 297.0)
MARGIN_MM = 15.0
LINE_MM = 8.0
"""Distance of ruled lines, wide enough for handwriting."""

_UNITS = "|".join(re.escape(unit) for unit in UNITS if unit != "in")  # a word as well
_NUMBER_AND_UNIT = re.compile(rf"(?<=\d) (?=(?:{_UNITS})(?!\w))")
_MINUS = re.compile(r"(?<![^\s(“])-(?=\d)")


@lru_cache(maxsize=4096)
def typeset(text: str) -> str:
    """Give negative numbers a true minus, and keep a number or a heading's "/" beside its unit."""
    held = _NUMBER_AND_UNIT.sub("\u00a0", text).replace(" / ", " /\u00a0")
    return _MINUS.sub("−", held)


LETTERS, SMALL_LETTERS = 80, 105
"""About so many stand on a printed line."""


class Block:
    """A piece of a section."""

    @property
    def kept_mm(self) -> float:
        """About how much of a page is kept free for it, so that it is not parted.

        Rather too much than too little; of what may be parted, so much as begins it.
        """
        return 10.0


# To be read.


@dataclass(frozen=True)
class Subheading(Block):
    """A heading inside a section."""

    text: str


@dataclass(frozen=True)
class Paragraph(Block):
    """One paragraph of running text; a leading one is set larger, a small one smaller."""

    text: str
    leading: bool = False
    small: bool = False

    @property
    def kept_mm(self) -> float:  # noqa: D102
        return 5.2 * ceil(len(self.text) / LETTERS) + 2.0


@dataclass(frozen=True)
class Quote(Block):
    """What somebody else wrote."""

    text: str


@dataclass(frozen=True)
class Listing(Block):
    """Short points, one a line."""

    items: tuple[str, ...]

    @property
    def kept_mm(self) -> float:  # noqa: D102
        return 5.0


@dataclass(frozen=True)
class Terms(Block):
    """Words and what they mean."""

    meanings: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Working(Block):
    """Lines that belong together under a title of their own, as the steps of a calculation."""

    title: str
    lines: tuple[str, ...]

    @property
    def kept_mm(self) -> float:  # noqa: D102
        return 12.0 + 5.5 * len(self.lines)


class Fill(Enum):
    """How a piece of a bar is filled: told apart without colour."""

    SOLID = "solid"
    HATCHED = "hatched"
    CROSSED = "crossed"
    OPEN = "open"
    DOTTED = "dotted"
    GREY = "grey"


Bar: TypeAlias = tuple[tuple[float, Fill], ...]
"""Pieces of a bar from left to right, each with its share of the whole."""


@dataclass(frozen=True)
class Table(Block):
    """A table: its first column names the row. Units stand in the headings only.

    `bars`, where there are any, stand one to a row in a column of their own, which has the last
    of the headings.
    """

    caption: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()
    bars: tuple[Bar, ...] = ()

    @property
    def kept_mm(self) -> float:  # noqa: D102
        return 20.0 + 6.5 * len(self.rows)


@dataclass(frozen=True)
class Legend(Block):
    """Signs or fills, each with what it stands for."""

    entries: tuple[tuple[str | Fill, str], ...]


@dataclass(frozen=True)
class Picture(Block):
    """The graph; `text` says in words what it shows, for a reader who cannot see it."""

    caption: str
    text: str
    figure: Figure

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height in true size."""
        width, height = (
            float(side) * restated(1.0, "in", "mm") for side in self.figure.get_size_inches()
        )
        return width, height

    @property
    def kept_mm(self) -> float:  # noqa: D102
        return self.size_mm[1] + 8.0


@dataclass(frozen=True)
class Judgement:
    """One thing that was judged: its sign, what is asked for, and what is said of it.

    Without a sign it has a box, to be ticked by whoever judges it.
    """

    sign: str
    asks: str
    said: tuple[Paragraph, ...] = ()
    worked: str = ""


@dataclass(frozen=True)
class Judgements(Block):
    """Things that were judged, one under the other; slim ones take less room."""

    judgements: tuple[Judgement, ...]
    slim: bool = False


# To be written on.


@dataclass(frozen=True)
class Blanks(Block):
    """Short answers side by side: each label with a line behind it, all lines equally long."""

    labels: tuple[str, ...]


@dataclass(frozen=True)
class RuledLines(Block):
    """A question, a hint on conventions under it, and lines to write the answer on."""

    question: str
    lines: int
    hint: str = ""

    @property
    def kept_mm(self) -> float:  # noqa: D102
        words = 5.2 * ceil(len(self.question) / LETTERS)
        hint = 4.5 * ceil(len(self.hint) / SMALL_LETTERS)
        return words + hint + LINE_MM * self.lines + 3.5


@dataclass(frozen=True)
class EmptyTable(Block):
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

    @property
    def kept_mm(self) -> float:  # noqa: D102
        return 6.5 + self.heading_mm + self.rows * self.row_mm + 4.0


@dataclass(frozen=True)
class Space(Block):
    """A frame to draw in."""

    label: str
    height_mm: float

    @property
    def kept_mm(self) -> float:  # noqa: D102
        return 6.0 + self.height_mm + 4.0


# To be looked at, or plotted on.


@dataclass(frozen=True)
class Segment:
    """A straight line from one point to another; its grey is from 0 (black) to 255."""

    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    width_mm: float = 0.25
    dashed: bool = False
    grey: int = 0


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
class Drawing(Block):
    """Lines, circles and labels, in millimetres from the top left corner.

    `text` says in words what is drawn, for a reader who cannot see it.
    """

    text: str
    size_mm: tuple[float, float]
    segments: tuple[Segment, ...]
    rings: tuple[Ring, ...] = ()
    labels: tuple[Label, ...] = ()


@dataclass(frozen=True)
class Section:
    """A heading and what stands under it; without a title it stands under the document's own.

    Attributes:
        title: the heading.
        blocks: what stands under it.
        owner: whose sheet it is, on a line under the heading.
        aside: a few words at the right of the heading.
        new_page: whether it begins a page where the document is printed.
        framed: whether it stands apart in a frame.

    """

    title: str
    blocks: tuple[Block, ...]
    owner: str = ""
    aside: str = ""
    new_page: bool = False
    framed: bool = False


@dataclass(frozen=True)
class Document:
    """A whole document, whose sections follow one another or have a sheet of A4 each.

    Attributes:
        title: what it is, at its head and on the browser's tab.
        sections: what it says, in order.
        subtitle: what it is about, under the title.
        sheets: whether each section is exactly one sheet of A4, on paper and on screen.
        name_line: whether every sheet with a heading of its own asks for a name beside it.
        numbered: whether the pages are numbered.

    """

    title: str
    sections: tuple[Section, ...]
    subtitle: str = ""
    sheets: bool = False
    name_line: bool = False
    numbered: bool = True


_NUMBER = re.compile(rf"[-+0-9.]+|{MISSING}")


def table_csv(table: Table) -> bytes:
    """Give a table as a CSV file that spreadsheets open with its degree signs (BOM).

    What cannot be given is blank there.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(table.headings)
    writer.writerows(["" if cell == MISSING else cell for cell in row] for row in table.rows)
    return text.getvalue().encode("utf-8-sig")


def plain_lines(table: Table) -> Iterator[str]:
    """Yield a table for a terminal, without colour; columns of numbers stand right."""
    columns = list(zip(table.headings, *table.rows, strict=True))
    widths = [max(map(len, column)) for column in columns]
    right = [all(map(_NUMBER.fullmatch, column[1:])) for column in columns]
    for row in zip(*columns, strict=True):
        cells = zip(row, widths, right, strict=True)
        yield "  ".join(t.rjust(w) if r else t.ljust(w) for t, w, r in cells).rstrip()
