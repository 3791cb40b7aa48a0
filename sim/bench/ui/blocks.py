"""What a page is made of: blocks in reading order, as values, and the order of focus on them.

A page is a tuple of these; `sim.bench.ui.typeset` gives each its place. `name` is what focus,
clicks and the page's own code know a thing by, and must be unique on a page. Which name has the
focus is told when the page is set: no block knows it.

The sheet of graph paper brings a pencil. A place on it is counted in small squares from its lower
left corner; what it stands for is the affair of whoever chose the axes.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import Enum
from typing import Literal, NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from sim.bench.ui.fields import TextLine
from sim.bench.ui.theme import Box


class Words(Struct, frozen=True):
    """Printed words.

    The title of a page or of a part of it, running text, a note beside the matter, or a
    caution: that has its own ground, a sign and the word, so that no colour has to say it. A
    refusal says why what was wanted at the thing before it could not be done.
    """

    text: str
    kind: Literal["title", "part", "text", "note", "caution", "refusal"] = "text"


class FieldBox(Struct, frozen=True):
    """Something to write: a line, a number or a long answer (`TextArea`), and its label.

    `letters` asks for a field of about so many letters beside its label; without it the field
    goes below, as wide as the page. A long answer has `rows` ruled lines at least, more as it
    grows. Without a label it is a cell of a table. A `refusal` stands below it.
    """

    name: str
    field: TextLine
    label: str = ""
    letters: int | None = None
    rows: int = 4
    refusal: str = ""


class ButtonBox(Struct, frozen=True):
    """Something to press; buttons that follow one another stand side by side."""

    name: str
    label: str


Cell = str | FieldBox


class TableRow(Struct, frozen=True):
    """A row of a table. `struck_out` holds the reason.

    A row with a name is one of several to pick from: it can have the focus, and its words begin
    at the left.
    """

    cells: tuple[Cell, ...]
    struck_out: str | None = None
    name: str | None = None


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


TAKEN_UP = "✎ "
"""What stands before the tool that is in the hand."""


class PaperAxis(Struct, frozen=True):
    """What is written along an axis: its title, and the number at each large square."""

    title: str
    numbers: tuple[str, ...]


class PaperBox(Struct, frozen=True):
    """A sheet of graph paper with the student's own axes, crosses and line.

    Without a `name` it is only shown. The axes are None until the student has chosen both.
    `line` and `laying`, a line on its way, are drawn from point to point. The `tools` are kept
    beside the sheet.
    """

    name: str | None
    pencil: Pencil
    across: PaperAxis | None = None
    up: PaperAxis | None = None
    crosses: tuple[PaperPoint, ...] = ()
    line: tuple[PaperPoint, ...] = ()
    laying: tuple[PaperPoint, ...] = ()
    tools: tuple[ButtonBox, ...] = ()


class Gap(Struct, frozen=True):
    """Empty space, in pixels at 100 % text."""

    height: int = 12


Block = Words | FieldBox | ButtonBox | TableBox | PaperBox | Gap


def with_refusal(blocks: tuple[Block, ...], name: str, words: str) -> tuple[Block, ...]:
    """The blocks with a refusal beside what has a name; as they are where nothing has it."""
    at = next((n for n, block in enumerate(blocks) if name in focus_order((block,))), None)
    if at is None:
        return blocks
    block = blocks[at]
    if isinstance(block, FieldBox):
        return (*blocks[:at], replace(block, refusal=words), *blocks[at + 1 :])
    return (*blocks[: at + 1], Words(words, "refusal"), *blocks[at + 1 :])


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
        for row in (TableRow(block.headings), *block.rows):
            if row.name is not None:
                yield row.name
            yield from (cell.name for cell in row.cells if isinstance(cell, FieldBox))
    elif isinstance(block, FieldBox | ButtonBox | PaperBox):
        yield from (tool.name for tool in block.tools) if isinstance(block, PaperBox) else ()
        if block.name is not None:
            yield block.name


SNAP = 0.1
"""Places are told apart to a tenth of a small square, finer than any pencil."""
ZOOMS = (1, 2, 4)
NEAR = 1.5
"""A cross is at the pencil's point when it is no more small squares away than this."""
KEPT_IN_VIEW = 4.0
"""The pencil's point keeps so many small squares, at full view, from the edge of a closer one."""


class PaperPoint(NamedTuple):
    """A place on the sheet, in small squares from its lower left corner."""

    across: float
    up: float


CORNER = PaperPoint(0.0, 0.0)


class Squares(NamedTuple):
    """How large a sheet is: its small squares across and up, and how many make a large one."""

    across: int
    up: int
    in_large: int


class Tool(Enum):
    """What the pencil does where it is put down."""

    CROSSES = "Crosses"
    LINE = "Line"
    CURVE = "Curve"
    RUB_OUT = "Rub out"


class Pencil(Struct, frozen=True):
    """The pencil over a sheet, and how close the sheet is looked at.

    Attributes:
        squares: how large the sheet is.
        point: where the pencil's point is.
        tool: what it does there.
        laid: the points so far of a line that is being laid.
        zoom: how much closer than the whole sheet it is seen.
        corner: the lower left corner of what is seen.

    """

    squares: Squares
    point: PaperPoint
    tool: Tool = Tool.CROSSES
    laid: tuple[PaperPoint, ...] = ()
    zoom: int = 1
    corner: PaperPoint = CORNER

    def taken_up(self, tool: Tool) -> Pencil:
        """The pencil for another use; a line half laid is given up."""
        return replace(self, tool=tool, laid=())

    def laying(self, laid: tuple[PaperPoint, ...]) -> Pencil:
        """The pencil with these points of a line laid."""
        return replace(self, laid=laid)

    def moved_to(self, place: PaperPoint) -> Pencil:
        """The pencil's point at the nearest tenth of a square, the view gone along with it."""
        point = self._snapped(place)
        keep = KEPT_IN_VIEW if self.zoom > 1 else 0.0
        corner = PaperPoint(
            *(
                min(max(at, where + keep - size / self.zoom), where - keep)
                for at, where, size in zip(self.corner, point, self.squares[:2], strict=True)
            )
        )
        return replace(self, point=point, corner=self._within(corner, self.zoom))

    def zoomed(self, by: int) -> Pencil:
        """A step closer (1) or further (-1), about the pencil's point."""
        zoom = ZOOMS[min(max(ZOOMS.index(self.zoom) + by, 0), len(ZOOMS) - 1)]
        corner = PaperPoint(
            *(at - size / zoom / 2.0 for at, size in zip(self.point, self.squares[:2], strict=True))
        )
        return replace(self, zoom=zoom, corner=self._within(corner, zoom))

    def _snapped(self, place: PaperPoint) -> PaperPoint:
        return PaperPoint(
            *(
                round(min(max(at, 0.0), float(size)) / SNAP) / (1 / SNAP)
                for at, size in zip(place, self.squares[:2], strict=True)
            )
        )

    def _within(self, corner: PaperPoint, zoom: int) -> PaperPoint:
        """The corner moved so that no view reaches beyond the sheet; it lies on whole squares."""
        return PaperPoint(
            *(
                float(round(min(max(at, 0.0), size - size / zoom)))
                for at, size in zip(corner, self.squares[:2], strict=True)
            )
        )


def nearest(places: tuple[PaperPoint, ...], point: PaperPoint) -> int | None:
    """Which place lies at the pencil's point; None where none is near enough."""
    far = [max(abs(p.across - point.across), abs(p.up - point.up)) for p in places]
    if not far or min(far) > NEAR:
        return None
    return far.index(min(far))


class PaperView(Struct, frozen=True):
    """Where the sheet is seen: `grid` is its window on the page, squares are truly square."""

    grid: Box
    px_per_square: int
    corner: PaperPoint

    def to_px(self, place: PaperPoint) -> tuple[float, float]:
        """The point of the page at which a place is drawn."""
        return (
            self.grid.x + (place.across - self.corner.across) * self.px_per_square,
            self.grid.bottom - (place.up - self.corner.up) * self.px_per_square,
        )

    def shows(self, place: PaperPoint) -> bool:
        """Whether a place lies in what is seen."""
        x, y = self.to_px(place)
        return self.grid.x <= x <= self.grid.right and self.grid.y <= y <= self.grid.bottom

    def to_place(self, x: float, y: float) -> PaperPoint:
        """The place under a point of the page; it may lie off the sheet."""
        return PaperPoint(
            self.corner.across + (x - self.grid.x) / self.px_per_square,
            self.corner.up + (self.grid.bottom - y) / self.px_per_square,
        )
