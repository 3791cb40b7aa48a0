"""What a page is made of: blocks in reading order, as values, and the order of focus on them.

A page is a tuple of these; `sim.bench.ui.typeset` gives each its place. `name` is what focus,
clicks and the page's own code know a thing by, and must be unique on a page. Which name has the
focus is told when the page is set: no block knows it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from msgspec import Struct

from sim.bench.ui.fields import TextLine
from sim.bench.ui.graph_paper import PaperPoint, Pencil


class Words(Struct, frozen=True):
    """Printed words.

    The title of a page or of a part of it, running text, a note beside the matter, or a
    caution: that has its own ground, a sign and the word, so that no colour has to say it.
    """

    text: str
    kind: Literal["title", "part", "text", "note", "caution"] = "text"


class FieldBox(Struct, frozen=True):
    """Something to write: a line, a number or a long answer (`TextArea`), and its label.

    `letters` asks for a field of about so many letters beside its label; without it the field
    goes below, as wide as the page. A long answer has `rows` ruled lines at least, more as it
    grows. Without a label it is a cell of a table.
    """

    name: str
    field: TextLine
    label: str = ""
    letters: int | None = None
    rows: int = 4


class ButtonBox(Struct, frozen=True):
    """Something to press; buttons that follow one another stand side by side."""

    name: str
    label: str


Cell = str | FieldBox


class TableRow(Struct, frozen=True):
    """A row of a table. `struck_out` holds the reason."""

    cells: tuple[Cell, ...]
    struck_out: str | None = None


class TableBox(Struct, frozen=True):
    """A ruled table: a heading for each column, then rows of as many cells."""

    headings: tuple[Cell, ...]
    rows: tuple[TableRow, ...]

    def __post_init__(self) -> None:
        """Refuse a row that has not as many cells as there are headings (ValueError)."""
        for number, row in enumerate(self.rows, start=1):
            if len(row.cells) != len(self.headings):
                raise ValueError(
                    f"row {number} has {len(row.cells)} cells under {len(self.headings)} headings"
                )


class PaperAxis(Struct, frozen=True):
    """What is written along an axis: its title, and the number at each large square."""

    title: str
    numbers: tuple[str, ...]


class PaperBox(Struct, frozen=True):
    """A sheet of graph paper with the student's own axes, crosses and line.

    Without a `name` it is only shown. The axes are None until the student has chosen both.
    `line` and `laying`, a line on its way, are drawn from point to point.
    """

    name: str | None
    pencil: Pencil
    across: PaperAxis | None = None
    up: PaperAxis | None = None
    crosses: tuple[PaperPoint, ...] = ()
    line: tuple[PaperPoint, ...] = ()
    laying: tuple[PaperPoint, ...] = ()


class Gap(Struct, frozen=True):
    """Empty space, in pixels at 100 % text."""

    height: int = 12


Block = Words | FieldBox | ButtonBox | TableBox | PaperBox | Gap


def focus_order(blocks: tuple[Block, ...]) -> tuple[str, ...]:
    """The names that can have the focus, in reading order."""
    return tuple(name for block in blocks for name in _names(block))


def next_name(names: tuple[str, ...], current: str, step: int) -> str:
    """The name after (1) or before (-1) another, round; from an unknown one the first or last."""
    if current not in names:
        return names[0 if step > 0 else -1]
    return names[(names.index(current) + step) % len(names)]


def _names(block: Block) -> Iterator[str]:
    if isinstance(block, TableBox):
        for cells in (block.headings, *(row.cells for row in block.rows)):
            yield from (cell.name for cell in cells if isinstance(cell, FieldBox))
    elif isinstance(block, FieldBox | ButtonBox | PaperBox) and block.name is not None:
        yield block.name
