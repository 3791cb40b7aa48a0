"""What the analysis answers when it cannot go on.

Cells at fault: where each stands and what is wrong, and the one sentence that says so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, NoReturn

if TYPE_CHECKING:
    from collections.abc import Sequence


class Refused(ValueError):
    """An input that cannot be judged. The message is one sentence ready for the reader."""


class Fault(NamedTuple):
    """One cell at fault. `row` counts from 1, as in a spreadsheet; `column` from 0."""

    row: int
    column: int
    heading: str
    saying: str


def refuse_if_any(source: str, faults: Sequence[Fault]) -> None:
    """Raise Refused naming the first fault in reading order and counting the others."""
    if faults:
        refuse(source, faults)


def refuse(source: str, faults: Sequence[Fault]) -> NoReturn:
    """Raise Refused: one sentence with file, row, column, what is wrong and how to mend it."""
    first = min(faults)
    others = len(faults) - 1
    more = f" ({others} more {'cell is' if others == 1 else 'cells are'} at fault)" * bool(others)
    where = f"row {first.row}, column '{first.heading}'"
    raise Refused(f"In {source}, {where}: {first.saying}{more}.")


def quoted(text: object) -> str:
    """Content of a cell for a sentence: on one line, in quotes, cut after 40 characters."""
    line = " ".join(str(text).split())
    line = "".join(letter if letter.isprintable() else "?" for letter in line)
    return f"'{line}'" if len(line) <= 40 else f"'{line[:37]}...'"


def column_letters(column: int) -> str:
    """Spreadsheet name of the column that counts from 0: A, B, ... Z, AA."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
