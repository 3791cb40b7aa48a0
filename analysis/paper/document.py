"""What a report is made of, free of any layout: HTML and PDF print the same document.

What a workbook's pages are made of, free of any layout: HTML and PDF print the same pages.

Every page is exactly one sheet of A4. Lengths are millimetres on paper.

Line drawings as data, and the one on the cover: which heights are meant.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, TypeAlias

from analysis.paper.squares import Squares

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
    rings: tuple[Ring, ...]
    labels: tuple[Label, ...]
    kind: Literal["drawing"] = "drawing"


FLOOR_MM, TOP_MM, RULE_MM, REBOUND_MM = 64.0, 8.0, (34.0, 40.0), 33.0
DROP_X_MM, REBOUND_X_MM, BALL_MM = 52.0, 62.0, 3.2
DROP_ARROW_MM, REBOUND_ARROW_MM = 112.0, 76.0
HEAD_MM = 1.6


def heights() -> Drawing:
    """Draw the rule, the ball before its fall and at the top of its rebound, and both heights."""
    return Drawing(
        text="A metre rule stands upright on the floor. Beside it the ball is drawn twice: before "
        "it falls and at the top of its rebound. Each height is shown from the floor to the "
        "lowest point of the ball.",
        size_mm=(180.0, 72.0),
        strokes=(*_rule(), *_path(), *_arrows()),
        rings=(
            Ring((DROP_X_MM, TOP_MM - BALL_MM), BALL_MM),
            Ring((REBOUND_X_MM, REBOUND_MM - BALL_MM), BALL_MM),
        ),
        labels=(
            Label((RULE_MM[0] - 2, TOP_MM + 1), "100 cm", ends=True),
            Label((RULE_MM[0] - 2, 37.0), "metre rule", ends=True),
            Label((RULE_MM[0] - 2, FLOOR_MM - 1), "0 cm", ends=True),
            Label((DROP_ARROW_MM + 3, 36.0), "drop height"),
            Label((REBOUND_ARROW_MM + 3, 50.0), "rebound height"),
            Label((DROP_ARROW_MM + 3, FLOOR_MM + 5.5), "floor (not to scale)"),
        ),
    )


def _line(x1: float, y1: float, x2: float, y2: float) -> Stroke:
    return Stroke((x1, y1), (x2, y2))


def _rule() -> tuple[Stroke, ...]:
    """The floor and the rule standing on it, with a mark for every ten centimetres."""
    left, right = RULE_MM
    marks = [TOP_MM + n * (FLOOR_MM - TOP_MM) / 10 for n in range(1, 10)]
    return (
        Stroke((10.0, FLOOR_MM), (170.0, FLOOR_MM), 0.5),
        _line(left, TOP_MM, left, FLOOR_MM),
        _line(right, TOP_MM, right, FLOOR_MM),
        _line(left, TOP_MM, right, TOP_MM),
        *(_line(right - 2.5, y, right, y) for y in marks),
    )


def _path() -> tuple[Stroke, ...]:
    """The way down to the floor and up again."""
    foot = ((DROP_X_MM + REBOUND_X_MM) / 2, FLOOR_MM)
    return (
        Stroke((DROP_X_MM, TOP_MM), foot, dashed=True),
        Stroke(foot, (REBOUND_X_MM, REBOUND_MM), dashed=True),
    )


def _arrows() -> tuple[Stroke, ...]:
    """The two heights, each with a line at the level of the ball's lowest point."""
    return (
        _line(DROP_X_MM, TOP_MM, DROP_ARROW_MM + 3, TOP_MM),
        _line(REBOUND_X_MM, REBOUND_MM, REBOUND_ARROW_MM + 3, REBOUND_MM),
        *_arrow(DROP_ARROW_MM, TOP_MM),
        *_arrow(REBOUND_ARROW_MM, REBOUND_MM),
    )


def _arrow(x: float, top: float) -> tuple[Stroke, ...]:
    """A shaft from the floor, with a head at both ends."""
    sides = (x - HEAD_MM / 2, x + HEAD_MM / 2)
    return (
        _line(x, top, x, FLOOR_MM),
        *(_line(side, top + HEAD_MM, x, top) for side in sides),
        *(_line(side, FLOOR_MM - HEAD_MM, x, FLOOR_MM) for side in sides),
    )


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
    Paragraph | Listing | Heading | Blanks | Answer | Grid | Space | Drawing | Squares | Terms
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
