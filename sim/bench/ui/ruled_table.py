"""Tables set on a page: widths of columns, ruled cells, rows that are struck out."""

from __future__ import annotations

import re
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from msgspec.structs import replace

from sim.bench.ui.blocks import Cell, FieldBox, TableBox, TableRow
from sim.bench.ui.marks import (
    CARET_PX,
    NOTE,
    TEXT,
    WRITTEN,
    Frame,
    Look,
    Placed,
    Ruling,
    SetLine,
    Setting,
    TypeStyle,
    field_frame,
    joined,
    written,
)
from sim.bench.ui.theme import FIELD_EDGE, INK, SOFT_INK, STRUCK, TYPE_SMALL, Box

HEAD = TypeStyle(TYPE_SMALL, INK, bold=True)
HEAD_WRITTEN = WRITTEN._replace(size=TYPE_SMALL)
STRUCK_CELL = TEXT._replace(ink=SOFT_INK)
REASON = NOTE._replace(ink=STRUCK)
PAD = 3
"""From the edge of a cell to its lettering, at the sides. It does not grow with the text,
so that more of the width is left for that."""
DROP = 4
"""The same above and below."""
FIELD_WANTED, FIELD_LEAST = "000.00", "00.0"
"""A cell to be written in asks for room for the first, and gets room for the second."""
FIELD_SHARE = 0.4
"""A long word in a cell to be written in may claim this share of the page, and no more."""
KEPT_WHOLE = 8
"""A printed cell of so many letters is kept on one line."""
_CELL_CARET_PX = CARET_PX + 1
"""Room for the caret behind what is written; one more for the rounding of the edges."""
_NUMBER = re.compile(r"[+\-−]?[0-9]+([.,][0-9]*)?( \S+)?")
"""A number, with or without its unit."""
_SMALLER = 0.1
_LEAST = {"head": 0.85, "body": 1.0}
"""How small headings and rows may be set to keep words whole: 11 pixels for a heading, so that
a whole results table has room for "rebound height" in each of its columns."""


class _Columns(NamedTuple):
    """What the rows of a table share.

    `head` sets the headings, `body` the rows; `edges` are where the columns begin, and
    `digits_px` the width of the widest number of each.
    """

    table: TableBox
    head: Setting
    body: Setting
    edges: tuple[int, ...] = ()
    digits_px: tuple[int, ...] = ()


def set_table(table: TableBox, setting: Setting, y: int) -> Placed:
    """Set a table as wide as the page.

    Where whole words do not fit its columns at this text scale, first the headings and
    then the rows are set smaller, down to `_LEAST`; then a table that is only read is laid on its
    side; only then are words broken, numbers last.
    """
    columns = _fitted(_Columns(table, setting, setting))
    if not _fits(columns) and (on_its_side := _turned(table)) is not None:
        sideways = _fitted(_Columns(on_its_side, setting, setting))
        table, columns = (on_its_side, sideways) if _fits(sideways) else (table, columns)
    digits = tuple(_digits_px(columns, column) for column in range(len(table.headings)))
    columns = columns._replace(edges=_edges(columns), digits_px=digits)
    parts = [_row(TableRow(table.headings), columns, y)]
    for row in table.rows:
        parts.append(_row(row, columns, parts[-1].box.bottom))
    bottom = parts[-1].box.bottom
    whole = Box(0, y, setting.width_px, bottom - y + 1)
    return Placed(
        table,
        whole,
        tuple(line for part in parts for line in part.lines),
        tuple(frame for part in parts for frame in part.frames),
        (
            *_grid(parts, columns.edges, bottom),
            *(ruling for part in parts for ruling in part.rulings),
        ),
    )


def _fitted(columns: _Columns) -> _Columns:
    for part in ("head", "body"):
        while not _fits(columns):
            setting = getattr(columns, part)
            if setting.text_scale <= _LEAST[part]:
                break
            smaller = max(round(setting.text_scale - _SMALLER, 4), _LEAST[part])
            columns = columns._replace(**{part: replace(setting, text_scale=smaller)})
    return columns


def _fits(columns: _Columns) -> bool:
    """Whether every column has room for whole words."""
    return sum(each.least for each in _needs(columns)) < columns.body.width_px


def _turned(table: TableBox) -> TableBox | None:
    """The table on its side; None where it is written in, picked from or struck out in."""
    printed = (table.headings, *(row.cells for row in table.rows))
    plain = all(row.name is None and row.struck_out is None for row in table.rows)
    if not plain or not all(isinstance(cell, str) for cells in printed for cell in cells):
        return None
    headings, *rows = zip(*printed, strict=True)
    return TableBox(headings, tuple(TableRow(cells) for cells in rows))


class _Needs(NamedTuple):
    """Widths: with numbers whole, with the longest word whole, with all on a line; in the rows."""

    floor: int
    least: int
    most: int
    rows: int = 0


def _needs(columns: _Columns) -> list[_Needs]:
    """Find what each column needs."""
    table, needs = columns.table, []
    head, body = columns.head.unfocused, columns.body.unfocused
    for column, heading in enumerate(table.headings):
        cells = [_cell_needs(row.cells[column], body, TEXT) for row in table.rows]
        style = HEAD if isinstance(heading, str) else HEAD_WRITTEN
        cells.append(_cell_needs(heading, head, style))
        sides = 2 * PAD + 1
        floor, least, most, _ = (max(width) + sides for width in zip(*cells, strict=True))
        rows = max([least, *(cell.most + sides for cell in cells[:-1])])
        needs.append(_Needs(floor, least, most, rows))
    return needs


@lru_cache(maxsize=4096)
def _cell_needs(cell: Cell, setting: Setting, style: TypeStyle) -> _Needs:
    text = joined(cell.field.text if isinstance(cell, FieldBox) else cell)
    words = max((setting.width_of(word, style) for word in text.split(" ")), default=0)
    whole, least = setting.width_of(text, style), setting.width_of(FIELD_LEAST, style)
    number = whole if _is_number(text) else least
    if isinstance(cell, str):
        words = whole if len(cell) <= KEPT_WHOLE else words
        return _Needs(min(number, words), words, whole)
    wanted = setting.width_of(FIELD_WANTED, style)
    words = max(min(words, int(FIELD_SHARE * setting.width_px)), least)
    caret = _CELL_CARET_PX
    return _Needs(min(number, words) + caret, words + caret, max(wanted, whole) + caret)


def _edges(columns: _Columns) -> tuple[int, ...]:
    """Where the columns begin, and where the last one ends."""
    needs = _needs(columns)
    floor, least, most, rows = (sum(width) for width in zip(*needs, strict=True))
    room = columns.body.width_px - 1
    if most <= room:
        widths = [each.most + (room - most) / len(needs) for each in needs]
    elif rows <= room:
        share = (room - rows) / (most - rows)
        widths = [each.rows + (each.most - each.rows) * share for each in needs]
    elif least <= room:
        share = (room - least) / (rows - least)
        widths = [each.least + (each.rows - each.least) * share for each in needs]
    elif floor <= room:
        widths = _granted(needs, room - floor)
    else:
        widths = [each.floor * room / floor for each in needs]
    edges = [0.0]
    for width in widths:
        edges.append(edges[-1] + width)
    return tuple(round(edge) for edge in edges)


def _granted(needs: list[_Needs], spare: float) -> list[float]:
    """Room for whole words, the shortest first; what is left goes to the columns without."""
    widths = [float(each.floor) for each in needs]
    order = sorted(range(len(needs)), key=lambda n: needs[n].least - needs[n].floor)
    for done, column in enumerate(order):
        want = needs[column].least - needs[column].floor
        given = want if want * _alike(needs, order[done:], want) <= spare else 0.0
        given = given or min(want, spare / (len(order) - done))
        widths[column] += given
        spare -= given
    return widths


def _alike(needs: list[_Needs], columns: list[int], want: int) -> int:
    """How many columns ask for as much: of equals all are served or none."""
    return sum(needs[column].least - needs[column].floor == want for column in columns)


def _row(row: TableRow, columns: _Columns, y: int) -> Placed:
    """One row: its cells, and below them the reason why it is struck out."""
    edges, frames = columns.edges, list[Frame]()
    setting, printed, style = columns.body, TEXT, WRITTEN
    if row.cells is columns.table.headings:
        setting, printed, style = columns.head, HEAD, HEAD_WRITTEN
    elif row.struck_out is not None:
        printed = STRUCK_CELL
    lines, bottom = _cells(row, setting, printed, columns, y)
    for _ in range(2):  # the second time all are as tall as the tallest
        boxes = [Box(a, y, b - a, bottom - y) for a, b in pairwise(edges)]
        frames = [
            _cell_frame(cell, setting.of(cell), style, box)
            for cell, box in zip(row.cells, boxes, strict=True)
            if isinstance(cell, FieldBox)
        ]
        bottom = max([bottom, *(frame.box.bottom + 2 for frame in frames)])
    rulings = [Ruling(Box(edge, y, 1, bottom - y), FIELD_EDGE) for edge in edges[1:-1]]
    if row.struck_out is not None:
        rulings.extend(_strike(line, setting) for line in lines if line.text)
        reason, bottom = _reason(row.struck_out, setting, edges[-1], bottom)
        lines += reason
    whole = Box(0, y, edges[-1], bottom - y)
    if row.name is not None:
        focused = setting.focus == row.name
        frames.insert(0, Frame(Look.ROW, whole, name=row.name, focused=focused))
    return Placed(columns.table, whole, lines, tuple(frames), tuple(rulings))


def _cells(
    row: TableRow, setting: Setting, style: TypeStyle, columns: _Columns, y: int
) -> tuple[tuple[SetLine, ...], int]:
    """Set the printed cells of a row, and say how far down they reach."""
    edges, pad, drop = columns.edges, PAD, setting.px(DROP)
    lines: list[SetLine] = []
    bottom = y + setting.step_px(TEXT) + 2 * drop
    for column, cell in enumerate(row.cells):
        if isinstance(cell, FieldBox):
            continue
        inner = Box(edges[column] + pad, y + drop, edges[column + 1] - edges[column] - 2 * pad, 0)
        block = setting.block(joined(cell), style, inner)
        picked = row.name is not None and not _is_number(cell)
        lines.extend(
            block if picked else _aligned(block, inner, setting, columns.digits_px[column])
        )
        bottom = max(bottom, y + len(block) * setting.step_px(style) + 2 * drop)
    return tuple(lines), bottom


def _reason(reason: str, setting: Setting, right: int, y: int) -> tuple[tuple[SetLine, ...], int]:
    """Set the reason under a row that is struck out, across all its columns."""
    pad, drop = PAD, setting.px(DROP)
    column = Box(pad, y - drop // 2, right - 2 * pad, 0)
    lines = setting.block(f"Struck out: {reason}", REASON, column)
    return lines, column.y + len(lines) * setting.step_px(REASON) + drop


def _digits_px(columns: _Columns, column: int) -> int:
    """Measure the widest number of a column: numbers end at one place, so their digits line up."""
    cells = (row.cells[column] for row in columns.table.rows)
    numbers = (cell for cell in cells if isinstance(cell, str) and _is_number(cell))
    return max((columns.body.width_of(number, TEXT) for number in numbers), default=0)


def _is_number(cell: str) -> bool:
    return _NUMBER.fullmatch(cell) is not None


def _aligned(
    block: tuple[SetLine, ...], inner: Box, setting: Setting, digits_px: int
) -> list[SetLine]:
    """Words in the middle of their cell; numbers to the right of a block in the middle."""
    moved = []
    for line in block:
        wide = setting.measure.width_px(line.text, line.size_px, line.bold)
        spare = (inner.width - wide) // 2
        if _is_number(line.text) and wide <= digits_px <= inner.width:
            spare = (inner.width - digits_px) // 2 + digits_px - wide
        moved.append(line._replace(x=inner.x + max(spare, 0)))
    return moved


def _strike(line: SetLine, setting: Setting) -> Ruling:
    wide = setting.measure.width_px(line.text, line.size_px, line.bold)
    tall = setting.measure.line_height_px(line.size_px, line.bold)
    thick, over = max(2, setting.px(2)), setting.px(3)
    return Ruling(Box(line.x - over, line.y + tall // 2, wide + 2 * over, thick), STRUCK)


@lru_cache(maxsize=1024)
def _cell_frame(cell: FieldBox, setting: Setting, style: TypeStyle, box: Box) -> Frame:
    """Set a cell to be written in: as tall as what is in it, or as the row where that is taller."""
    step, pad = setting.step_px(style), PAD
    inner = Box(box.x + pad, 0, box.width - 2 * pad, step)
    tall = len(written(setting, cell, inner, style).lines.spans) * step
    height = max(box.height, tall + 2 * setting.px(DROP))
    outer = Box(box.x + 1, box.y + 2, box.width - 1, height - 3)
    inner = inner._replace(y=box.y + (height - tall) // 2)
    writing = written(setting, cell, inner, style)
    return field_frame(setting, cell, outer, writing, style)


def _grid(parts: list[Placed], edges: tuple[int, ...], bottom: int) -> list[Ruling]:
    """Rule thin lines about the table and between rows, a thicker one under the headings."""
    top, right = parts[0].box.y, edges[-1]
    across = [Ruling(Box(0, part.box.y, right + 1, 1), FIELD_EDGE) for part in parts]
    across.append(Ruling(Box(0, bottom, right + 1, 1), FIELD_EDGE))
    across.append(Ruling(Box(0, parts[0].box.bottom - 1, right + 1, 2), FIELD_EDGE))
    sides = [Ruling(Box(edge, top, 1, bottom - top), FIELD_EDGE) for edge in (0, right)]
    return across + sides
