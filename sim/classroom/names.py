"""The names file of a class: csv, xlsx or ods, with a heading or one name a line.

Names are kept as they are written, on one line; nothing about them is taken for an order, a
formula or a path. In the name of a file a student's number comes first, so no file is called after
a device (CON, NUL), begins with a dot or equals another, not even where capitals or accents are not
told apart. The name follows for the reader's sake, without a sign that any file system reads as
more than a letter.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

from analysis.quantity.units import normalised
from analysis.quantity.written import name, tidied
from analysis.readings.sheets import sheets
from analysis.refusal import Refused

if TYPE_CHECKING:
    from pathlib import Path

    from analysis.quantity.written import Cell
    from analysis.readings.sheets import Sheet

MOST_NAMES = 200_000
LONGEST_NAME = 200
"""Letters. A longer name is cut, and said to be."""
LONGEST_BYTES = 100
"""Of a name's part in a file name. With suffix and lock, a file name stays below the 255 bytes of
the common file systems."""
MOST_HEADING_ROWS = 10
"""How far down a heading is looked for: school lists begin with a title."""

_WHOLE = ("name", "names", "student", "students", "pupil", "pupils", "full name", "student name")
_FIRST = ("first name", "forename", "given name", "first names", "forenames")
_LAST = ("surname", "last name", "family name")
_BY_HAND = "no name"
_NO_NAME = re.compile("[0-9:]")
"""What hardly a name has, and what stands below a list (a count, a date) does."""
_SUM = re.compile(
    r"totals?|count|sum|(?:total|count|number|sum|printed|page|boys|girls)\b.*[0-9:].*"
)
"""What stands right below a list."""
_STROKES = " ,;|-_."
"""A line of nothing else holds no name."""
_KEPT = {"L", "M", "N"}
"""Unicode's letters, marks and numbers; in a file name all else becomes a space or a hyphen."""


@dataclass(frozen=True)
class Names:
    """The names of a class in the order of the file, and what was noticed on the way."""

    names: tuple[str, ...]
    notices: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Columns:
    """Where the names stand: below a row (0 is the first), in these columns, joined by a space."""

    row: int
    columns: tuple[int, ...]


def read_names(path: Path) -> Names:
    """The names of a class.

    Under a heading ("name", "student", or "first name" and "surname") the names are the cells of
    that column; a row with other cells but no name, among the others, gets a number in its place.
    Without a heading each line is one name, commas and all. Blank rows are left out. The list ends
    with its last name: rows below that have none, a total, and a line with a digit or a colon that
    stands apart below names without ("28 pupils", "room: 4"), are no students.

    Raises Refused, in one sentence, for a file that cannot be read, holds no name or too many.
    """
    found: list[Sheet] = []
    try:
        for sheet in sheets(path):
            columns = _columns(sheet)
            if columns is not None:
                return _named(path.name, sheet, columns)
            found.append(sheet)
    except Refused:
        if not found:  # else a quotation mark only stood in the way of another separator
            raise
    if not found:
        raise Refused(f"{path.name} has no table in it: save the list of names as csv or xlsx.")
    return _listed(path.name, _joining(found))


def _joining(found: list[Sheet]) -> Sheet:
    """A csv by the separator that cuts it up least; of a workbook the first table in use."""
    if found[0].typed:
        return min(found, key=lambda sheet: sum(map(len, sheet.rows)))
    return next((sheet for sheet in found if sheet.rows), found[0])


def _columns(sheet: Sheet) -> _Columns | None:
    for row, cells in enumerate(islice(sheet.rows, MOST_HEADING_ROWS)):
        texts = [normalised(str(cell)) for cell in cells]
        whole = [column for column, text in enumerate(texts) if text in _WHOLE]
        if whole:
            return _Columns(row, (whole[0],))
        parts = [
            [column for column, text in enumerate(texts) if text in words]
            for words in (_FIRST, _LAST)
        ]
        found = tuple(columns[0] for columns in parts if columns)
        if found:
            return _Columns(row, found)
    return None


def _named(source: str, sheet: Sheet, place: _Columns) -> Names:
    rows: list[tuple[int, str]] = []
    for number, cells in enumerate(sheet.rows[place.row + 1 :], start=place.row + 2):
        if any(_shown(cell) for cell in cells):
            parts = [_shown(cells[column]) for column in place.columns if column < len(cells)]
            rows.append((number, " ".join(part for part in parts if part)))
    listed, below = _ended(rows)
    nameless = [number for number, written in listed if not written]
    said = (
        (f"Rows without a name in {source}: {_few(nameless)}; each gets a practical all the same.",)
        if nameless
        else ()
    )
    names = [written or f"{_BY_HAND}, row {number}" for number, written in listed]
    return _checked(source, names, (*sheet.notices, *said, *_below(source, below)))


def _listed(source: str, sheet: Sheet) -> Names:
    rows = ([_shown(cell) for cell in cells] for cells in sheet.rows)
    names = [", ".join(cell for cell in cells if cell.strip(_STROKES)) for cells in rows]
    listed, below = _ended([(row, one) for row, one in enumerate(names, start=1) if one])
    said = "No heading names the column of names, so every line is taken for one name."
    notices = (*sheet.notices, said, *_below(source, below))
    return _checked(source, [one for _, one in listed], notices)


def _ended(rows: list[tuple[int, str]]) -> tuple[list[tuple[int, str]], list[int]]:
    """The rows of a list, by number and name, up to its last name; and the numbers of the rest."""
    end = len(rows)
    while end and (not rows[end - 1][1] or _SUM.fullmatch(normalised(rows[end - 1][1]))):
        end -= 1
    for place in range(1, end):
        apart = rows[place][0] > rows[place - 1][0] + 1
        if _NO_NAME.search(rows[place - 1][1]):
            break
        if apart and _NO_NAME.search(rows[place][1]):
            end = place
            break
    return (rows[:end] or rows), [number for number, _ in rows[end:] if end]


def _below(source: str, numbers: list[int]) -> tuple[str, ...]:
    """What is said of rows below the names."""
    if not numbers:
        return ()
    return (f"Rows below the names in {source}, left out: {_few(numbers)}.",)


def _checked(source: str, names: list[str], notices: tuple[str, ...]) -> Names:
    if not names:
        raise Refused(f"{source} holds no name: write one name a line, under the heading 'name'.")
    if len(names) > MOST_NAMES:
        raise Refused(
            f"{source} holds {len(names):,} names and a class set has {MOST_NAMES:,} at most: "
            "split the list."
        )
    cut = sum(len(one) > LONGEST_NAME for one in names)
    said = (f"Names cut to {LONGEST_NAME} letters: {cut}.",) if cut else ()
    again = len(names) - len(set(names))
    if again:
        said = (*said, f"Names that stand there more than once: {again}; their numbers differ.")
    return Names(tuple(one[:LONGEST_NAME] for one in names), (*notices, *said))


def _shown(cell: Cell) -> str:
    """A cell as one line of text in the composed form, without what cannot be printed."""
    text = unicodedata.normalize("NFC", name(cell))
    return tidied("".join(letter for letter in text if not 0xD800 <= ord(letter) < 0xE000))


def _few(numbers: list[int]) -> str:
    more = f" and {len(numbers) - 5} more" if len(numbers) > 5 else ""
    return ", ".join(map(str, numbers[:5])) + more


def number_in(file_name: str) -> int | None:
    """The student's number at the beginning of a file name, or None."""
    found = re.match(r"([0-9]{1,9})(?![0-9])", file_name)
    return int(found[1]) if found else None


def safe_name(name: str) -> str:
    """What of a name can stand in a file name, after a number."""
    text = unicodedata.normalize("NFC", name)
    letters = [letter if _is_kept(letter) else _instead(letter) for letter in text]
    words = " ".join("".join(letters).split())
    return _cut(words).strip(" -")


def _is_kept(letter: str) -> bool:
    return unicodedata.category(letter)[0] in _KEPT


def _instead(letter: str) -> str:
    if unicodedata.category(letter) == "Cf":  # joiners, and marks that turn the text around
        return ""
    return "-" if unicodedata.category(letter) == "Pd" else " "


def _cut(text: str) -> str:
    return text.encode()[:LONGEST_BYTES].decode(errors="ignore")
