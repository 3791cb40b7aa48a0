"""Sheets as teachers make them, with what they hold: layouts, units, decorations, three formats.

A layout draws a grid of cells and its merged ranges for known readings; a decoration adds what
stands around a table in a school's file; a writer makes the file. Nothing here is asked of the
program under test.
"""

from __future__ import annotations

import csv
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from xml.sax.saxutils import escape

import xlsxwriter

from tests.analysis.workbook_seeds import CONTENT, zipped

Cell = str | Decimal
Grid = list[list[Cell]]

UNITS = [("°C", "cm"), ("oC", "mm"), ("K", "m"), ("°F", "in"), ("deg C", "cm")]
PER_METRE = {"cm": Decimal(100), "mm": Decimal(1000), "m": Decimal(1), "in": 1 / Decimal("0.0254")}
PLACES = {"cm": 1, "mm": 0, "m": 3, "in": 2}

UNCERTAINTIES = [
    *("± / {}", "uncertainty ±{}", "uncertainty (± {})", "half range ({})", "error (±)"),
    *("+/- {}", "uncertainty in mean / {}", "abs. uncertainty", "max-min/2", "(max - min)/2 / {}"),
]


@dataclass
class Club:
    """Readings of the invented club: a height for each temperature and repeat, as written."""

    temperatures: list[Decimal]
    heights: list[list[Decimal]]
    warm: str
    long: str
    head: str = "Rebound height"

    @property
    def goes(self) -> range:
        return range(1, len(self.heights[0]) + 1)

    def mean(self, row: list[Decimal]) -> Decimal:
        return round(sum(row, Decimal(0)) / len(row), PLACES[self.long] + 1)

    def truth(self) -> set[tuple[float, int, float]]:
        """Temperature in kelvin (to 1e-9), number of the repeat, height in metres (every bit)."""
        return {
            (round(_kelvin(temperature, self.warm), 9), go, _metres(height, self.long))
            for temperature, row in zip(self.temperatures, self.heights, strict=True)
            for go, height in enumerate(row, start=1)
        }


def _kelvin(value: Decimal, unit: str) -> float:
    if unit == "K":
        return float(value)
    if unit == "°F":
        return float((value + Decimal("459.67")) * 5 / 9)
    return float(value + Decimal("273.15"))


def _metres(value: Decimal, unit: str) -> float:
    return float(value * Decimal("0.0254") if unit == "in" else value / PER_METRE[unit])


def club(seed: int) -> Club:
    """Five temperatures and three to five repeats, no mean among them."""
    drawn = random.Random(seed)
    warm, long = UNITS[seed % len(UNITS)]
    celsius = [Decimal(t) for t in (20, 30, 40, 50, 60)]
    place = Decimal(1).scaleb(-PLACES[long])
    rows = [
        [
            (Decimal(drawn.randrange(-15, 16) + 10 * int(t)) / 1000 * PER_METRE[long]).quantize(
                place
            )
            for _ in range(3 + seed % 3)
        ]
        for t in celsius
    ]
    shown = {"K": lambda t: t + 273, "°F": lambda t: t * 9 / 5 + 32}.get(warm, lambda t: t)
    return Club([shown(t) for t in celsius], rows, warm, long)


@dataclass
class Drawn:
    """A sheet: its cells, its merged ranges (top, left, bottom, right), comments on cells."""

    grid: Grid
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    comments: list[tuple[int, int]] = field(default_factory=list)
    upright: bool = True

    def moved(self, down: int, right: int) -> None:
        self.merged = [(a + down, b + right, c + down, d + right) for a, b, c, d in self.merged]
        self.comments = [(a + down, b + right) for a, b in self.comments]


def _body(of: Club, *, means: bool = True) -> Grid:
    return [
        [temperature, *row, *([of.mean(row)] if means else [])]
        for temperature, row in zip(of.temperatures, of.heights, strict=True)
    ]


def one_row(of: Club) -> Drawn:
    goes = [f"{of.head} {go} / {of.long}" for go in of.goes]
    return Drawn([[f"Temperature / {of.warm}", *goes, f"Mean / {of.long}"], *_body(of)])


def go_names(of: Club) -> Drawn:
    goes = [f"Trial {go} ({of.long})" for go in of.goes]
    return Drawn([[f"Temp. ({of.warm})", *goes, f"Average ({of.long})"], *_body(of)])


def numbers_below(of: Club) -> Drawn:
    n = len(of.goes)
    top: list[Cell] = [f"Temperature ({of.warm})", f"{of.head} ({of.long})", *[""] * (n - 1)]
    below: list[Cell] = ["", *map(Decimal, of.goes), ""]
    grid = [[*top, f"Mean ({of.long})"], below, *_body(of)]
    return Drawn(grid, [(0, 1, 0, n), (0, 0, 1, 0), (0, n + 1, 1, n + 1)])


def trials_below(of: Club) -> Drawn:
    n = len(of.goes)
    top: list[Cell] = ["", f"Height of bounce / {of.long}", *[""] * n]
    below: list[Cell] = [f"Temperature / {of.warm}", *(f"Trial {go}" for go in of.goes), "Average"]
    return Drawn([top, below, *_body(of)], [(0, 1, 0, n + 1)])


def numbers_under_all(of: Club) -> Drawn:
    n = len(of.goes)
    top: list[Cell] = ["", f"{of.head} / {of.long}", *[""] * n]
    below: list[Cell] = [f"Temperature / {of.warm}", *map(Decimal, of.goes), "Mean"]
    return Drawn([top, below, *_body(of)], [(0, 1, 0, n + 1)])


def units_below(of: Club) -> Drawn:
    top: list[Cell] = ["Temperature", *(f"{of.head} {go}" for go in of.goes), "Mean"]
    return Drawn([top, [of.warm, *[of.long] * (len(of.goes) + 1)], *_body(of)])


def units_below_spread(of: Club) -> Drawn:
    n = len(of.goes)
    top: list[Cell] = ["Temperature", of.head, *[""] * (n - 1), "Mean"]
    below: list[Cell] = [f"({of.warm})", *[f"({of.long})"] * (n + 1)]
    return Drawn([top, below, *_body(of)], [(0, 1, 0, n)])


def three_rows(of: Club) -> Drawn:
    n = len(of.goes)
    top: list[Cell] = ["Temperature", of.head, *[""] * (n - 1), "Mean"]
    middle: list[Cell] = ["", *map(Decimal, of.goes), ""]
    below: list[Cell] = [f"/ {of.warm}", *[f"/ {of.long}"] * (n + 1)]
    return Drawn([top, middle, below, *_body(of)], [(0, 1, 0, n), (0, 0, 1, 0)])


def one_merged(of: Club) -> Drawn:
    n = len(of.goes)
    top: list[Cell] = [f"Temperature / {of.warm}", f"{of.head} / {of.long}", *[""] * (n - 1)]
    return Drawn([[*top, f"Mean / {of.long}"], *_body(of)], [(0, 1, 0, n)])


def repeats_merged(of: Club) -> Drawn:
    n = len(of.goes)
    top: list[Cell] = [f"Temperature / {of.warm}", f"Repeats / {of.long}", *[""] * (n - 1)]
    below: list[Cell] = ["", *map(Decimal, of.goes)]
    return Drawn([top, below, *_body(of, means=False)], [(0, 1, 0, n)])


def title_is_heading(of: Club) -> Drawn:
    n = len(of.goes)
    below: list[Cell] = [f"Temperature / {of.warm}", *map(Decimal, of.goes)]
    title: list[Cell] = [f"{of.head} / {of.long}", *[""] * n]
    return Drawn([title, below, *_body(of, means=False)], [(0, 0, 0, n)])


def tidy(of: Club) -> Drawn:
    rows: Grid = [
        [temperature, Decimal(go), height]
        for temperature, row in zip(of.temperatures, of.heights, strict=True)
        for go, height in zip(of.goes, row, strict=True)
    ]
    return Drawn([[f"Temperature / {of.warm}", "Repeat", f"{of.head} / {of.long}"], *rows])


def _across(of: Club) -> Grid:
    return [list(row) for row in zip(*of.heights, strict=True)]


def on_its_side(of: Club) -> Drawn:
    rows: Grid = [
        [f"{of.head} {go} / {of.long}", *row] for go, row in zip(of.goes, _across(of), strict=True)
    ]
    means = [of.mean(row) for row in of.heights]
    grid = [[f"Temperature / {of.warm}", *of.temperatures], *rows, [f"Mean / {of.long}", *means]]
    return Drawn(grid, upright=False)


def on_its_side_merged(of: Club) -> Drawn:
    n = len(of.goes)
    rows: Grid = [
        [f"{of.head} ({of.long})" if go == 1 else "", Decimal(go), *row]
        for go, row in zip(of.goes, _across(of), strict=True)
    ]
    grid = [[f"Temperature ({of.warm})", "", *of.temperatures], *rows]
    return Drawn(grid, [(1, 0, n, 0), (0, 0, 0, 1)], upright=False)


def on_its_side_units(of: Club) -> Drawn:
    rows: Grid = [
        [f"Trial {go}", of.long, *row] for go, row in zip(of.goes, _across(of), strict=True)
    ]
    return Drawn([["Temperature", of.warm, *of.temperatures], *rows], upright=False)


def temperatures_across(of: Club) -> Drawn:
    rows: Grid = [[Decimal(go), *row] for go, row in zip(of.goes, _across(of), strict=True)]
    n = len(of.temperatures)
    title: list[Cell] = [f"{of.head} / {of.long}", *[""] * n]
    top: list[Cell] = ["", f"Temperature / {of.warm}", *[""] * (n - 1)]
    grid = [title, top, ["Repeat", *of.temperatures], *rows]
    return Drawn(grid, [(0, 0, 0, n), (1, 1, 1, n)], upright=False)


READ: list[Callable[[Club], Drawn]] = [
    *(one_row, go_names, numbers_below, trials_below, numbers_under_all, units_below),
    *(units_below_spread, three_rows, one_merged, repeats_merged, title_is_heading, tidy),
    *(on_its_side, on_its_side_merged, on_its_side_units, temperatures_across),
]


def stacked(of: Club) -> Drawn:
    one = one_row(of)
    return Drawn([*one.grid, [""], *one.grid])


def stacked_with_titles(of: Club) -> Drawn:
    head, *rows = one_row(of).grid
    return Drawn([head, ["left to cool"], *rows, ["put back"], *rows])


def stacked_in_two_rows(of: Club) -> Drawn:
    one = numbers_below(of)
    return Drawn([*one.grid, [""], *one.grid], one.merged)


def side_by_side(of: Club) -> Drawn:
    return Drawn([[*row, "", *row] for row in one_row(of).grid])


def side_by_side_close(of: Club) -> Drawn:
    return Drawn([[*row, *row] for row in numbers_below(of).grid])


def two_procedures(of: Club) -> Drawn:
    n = len(of.goes)
    top: list[Cell] = [f"Temperature / {of.warm}", f"left to cool / {of.long}", *[""] * (n - 1)]
    top += [f"put back / {of.long}", *[""] * (n - 1)]
    below: list[Cell] = ["", *map(Decimal, of.goes), *map(Decimal, of.goes)]
    grid = [top, below, *([*row, *row[1:]] for row in _body(of, means=False))]
    return Drawn(grid, [(0, 1, 0, n), (0, n + 1, 0, 2 * n)])


def two_on_their_sides(of: Club) -> Drawn:
    one = on_its_side(of)
    return Drawn([*one.grid, [""], *one.grid], upright=False)


def mean_without_heading(of: Club) -> Drawn:
    n = len(of.goes)
    top: list[Cell] = [f"Temperature / {of.warm}", f"{of.head} / {of.long}", *[""] * n]
    return Drawn([top, *_body(of)], [(0, 1, 0, n)])


def slip_in_a_mean_without_heading(of: Club) -> Drawn:
    sheet = mean_without_heading(of)
    sheet.grid[3][-1] = of.heights[2][0]
    return sheet


REFUSED: dict[Callable[[Club], Drawn], str] = {
    **dict.fromkeys((stacked, stacked_in_two_rows, side_by_side, side_by_side_close), "another at"),
    **dict.fromkeys((two_procedures, two_on_their_sides), "another at"),
    stacked_with_titles: "has two tables of readings, parted by the words in row",
    mean_without_heading: "looks like the mean of the readings: give it a heading",
    slip_in_a_mean_without_heading: "looks like the mean of the readings: give it a heading",
}
"""Layouts that are to be refused, with words of the sentence."""


def _width(sheet: Drawn) -> int:
    return max(map(len, sheet.grid))


def plain(sheet: Drawn, of: Club, seed: int) -> None:
    """Nothing but the table."""


def titled(sheet: Drawn, of: Club, seed: int) -> None:
    sheet.grid[:0] = [
        ["Lunchtime club: how high does it bounce?"],
        ["3 May", "", "dropped from 1 m"],
        [""],
    ]
    sheet.moved(3, 0)


def noted(sheet: Drawn, of: Club, seed: int) -> None:
    sheet.grid += [[""], ["The ball was dried with a towel."], ["We read it at eye level."]]


def averaged(sheet: Drawn, of: Club, seed: int) -> None:
    if sheet.upright:
        sheet.grid.append(["Mean", *[Decimal(33)] * (_width(sheet) - 1)])


def spaced(sheet: Drawn, of: Club, seed: int) -> None:
    """Blank rows, and a blank column before the table."""
    sheet.grid[:] = [["", *row] for row in sheet.grid]
    sheet.grid.insert(len(sheet.grid) - 1, [""])
    sheet.grid.insert(0, [""])
    sheet.moved(1, 1)


def _body_from(sheet: Drawn) -> int:
    return next(place for place, row in enumerate(sheet.grid) if isinstance(row[0], Decimal))


def _squared(sheet: Drawn) -> None:
    width = _width(sheet)
    sheet.grid[:] = [[*row, *[""] * (width - len(row))] for row in sheet.grid]


def remarked(sheet: Drawn, of: Club, seed: int) -> None:
    """A column of remarks, or a row of them; and comments on cells."""
    _squared(sheet)
    sheet.comments.append((len(sheet.grid) - 1, 1))
    if not sheet.upright:
        sheet.grid.append(["Comments", *[""] * (_width(sheet) - 2), "bounced sideways"])
        return
    for place, row in enumerate(sheet.grid):
        remark = "bounced sideways" * isinstance(row[0], Decimal)
        row.append("Comments" if place == 0 else remark)


def uncertain(sheet: Drawn, of: Club, seed: int) -> None:
    """A column, or a row, of uncertainties under one of their many headings."""
    heading = UNCERTAINTIES[seed % len(UNCERTAINTIES)].format(of.long)
    _squared(sheet)
    if not sheet.upright:
        labels = _width(sheet) - len(of.temperatures)
        cells = [Decimal("0.5")] * len(of.temperatures)
        sheet.grid.append([heading, *[""] * (labels - 1), *cells])
        return
    first = _body_from(sheet)
    heads = max(place for place in range(first) if sum(map(bool, sheet.grid[place])) > 1)
    for place, row in enumerate(sheet.grid):
        filled = len([cell for cell in row if cell != ""]) > 1 and place >= first
        row.append(heading if place == heads else Decimal("0.5") if filled else "")


def with_settings(sheet: Drawn, of: Club, seed: int) -> None:
    sheet.grid[:0] = [["drop height / m", Decimal("1.5")], [""]]
    sheet.moved(2, 0)


DECORATIONS = [plain, titled, noted, averaged, spaced, remarked, uncertain, with_settings]


def write(sheet: Drawn, path: Path) -> None:
    """The sheet as a file; in a csv only the first cell of a merged range has its text."""
    {".csv": _csv, ".xlsx": _xlsx, ".ods": _ods}[path.suffix](sheet, path)


def _csv(sheet: Drawn, path: Path) -> None:
    width = _width(sheet)
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([*row, *[""] * (width - len(row))] for row in sheet.grid)


def _xlsx(sheet: Drawn, path: Path) -> None:
    with xlsxwriter.Workbook(path) as book:
        page = book.add_worksheet()
        for place, row in enumerate(sheet.grid):
            for column, cell in enumerate(row):
                if cell != "":
                    page.write(place, column, float(cell) if isinstance(cell, Decimal) else cell)
        for top, left, bottom, right in sheet.merged:
            page.merge_range(top, left, bottom, right, sheet.grid[top][left])
        for place, column in sheet.comments:
            page.write_comment(place, column, "Look again: 99 cm?")


def _ods(sheet: Drawn, path: Path) -> None:
    spans = {(a, b): (c - a + 1, d - b + 1) for a, b, c, d in sheet.merged}
    covered = {
        (row, column)
        for a, b, c, d in sheet.merged
        for row in range(a, c + 1)
        for column in range(b, d + 1)
    } - set(spans)
    rows = ""
    for place, row in enumerate(sheet.grid):
        cells = ""
        for column, cell in enumerate(row):
            kind = "covered-table-cell" if (place, column) in covered else "table-cell"
            down, across = spans.get((place, column), (1, 1))
            span = f' table:number-rows-spanned="{down}" table:number-columns-spanned="{across}"'
            value = f' office:value-type="float" office:value="{cell}"'
            value = (
                value if isinstance(cell, Decimal) else ' office:value-type="string"' * bool(cell)
            )
            note = "<office:annotation><text:p>99 cm?</text:p></office:annotation>"
            text = note * ((place, column) in sheet.comments)
            text += f"<text:p>{escape(str(cell))}</text:p>" if cell != "" else ""
            cells += f"<table:{kind}{span}{value}>{text}</table:{kind}>"
        rows += f"<table:table-row>{cells}</table:table-row>"
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    parts = {"mimetype": kind, "META-INF/manifest.xml": "<manifest/>"}
    path.write_bytes(zipped({**parts, "content.xml": CONTENT.format(rows)}))
