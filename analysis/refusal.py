"""What the program answers when it cannot go on: what is wrong, where, and how to mend it.

Every refusal is a `Refused`, raised where the fact is known. Its sentence is made here, and a
command prints it once, at its edge.
"""

from __future__ import annotations

import errno
import re
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


class Refused(ValueError):
    """An input or a wish that cannot be followed; as text it is one sentence for the reader.

    `what` is wrong, `where` (a file, a row and column of one; "" where `what` names it), and how
    to `mend` it ("" where nothing can).
    """

    def __init__(self, what: str, *, where: str = "", mend: str = "") -> None:
        """Make the sentence of its parts."""
        self.what, self.where, self.mend = what, where, mend
        said = f"In {where}: {what}" if where else what
        said = f"{said}: {mend}" if mend else said
        super().__init__(harmless(said if said.endswith(".") else f"{said}."))


class Fault(NamedTuple):
    """One cell at fault. `row` counts from 1, as in a spreadsheet; `column` from 0.

    `turned`: of a table on its side, whose rows are the columns of the sheet.
    """

    row: int
    column: int
    heading: str
    saying: str
    turned: bool = False


def refuse_if_any(source: str, faults: Sequence[Fault]) -> None:
    """Raise the refusal of cells at fault, if there are any."""
    if faults:
        raise refused(source, *faults)


def refused(source: str, *faults: Fault) -> Refused:
    """The refusal that names the first cell at fault in reading order and counts the others."""
    first = min(faults)
    others = len(faults) - 1
    more = f" ({others} more {'cell is' if others == 1 else 'cells are'} at fault)" * bool(others)
    across = "row" if first.turned else "column"
    where = f"{source}, {line_name(first.row, turned=first.turned)}, {across} '{first.heading}'"
    return Refused(f"{first.saying}{more}", where=where)


# What steers a terminal, ends a line, turns text around, or is half a sign.
_HARMFUL = re.compile(
    "[\x00-\x08\x0a-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]"
)


def harmless(text: str, instead: str = "?") -> str:
    """Text from outside, a file's name say, on one line and without power over who shows it."""
    return _HARMFUL.sub(instead, text)


def harmless_lines(text: str) -> str:
    """The same for a text of several lines."""
    return "\n".join(map(harmless, text.splitlines()))


def quoted(text: object) -> str:
    """Content of a cell for a sentence: on one line, in quotes, cut after 40 characters."""
    line = " ".join(str(text).split())
    line = "".join(letter if letter.isprintable() else "?" for letter in line)
    return f"'{line}'" if len(line) <= 40 else f"'{line[:37]}...'"


def either(words: Iterable[str]) -> str:
    """What may be chosen from, for a sentence: "a, b or c"."""
    *before, last = words
    return f"{', '.join(before)} or {last}" if before else last


def line_name(number: int, *, turned: bool) -> str:
    """What a sheet calls a row of a table, counted from 1; of one on its side it is a column."""
    return f"column {column_letters(number - 1)}" if turned else f"row {number}"


def column_letters(column: int) -> str:
    """Spreadsheet name of the column that counts from 0: A, B, ... Z, AA."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


_REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EFBIG: "the disk takes no more of this file",
    errno.EROFS: "the disk or folder is read-only",
    errno.EACCES: "writing or reading is not allowed there",
    errno.EPERM: "writing or reading is not allowed there",
    errno.ENOENT: "there is no such file or folder",
    errno.ENOTDIR: "its folder is not a folder",
    errno.EEXIST: "a file of this name is in the way",
    errno.EISDIR: "it is a folder",
    errno.ENAMETOOLONG: "its name is too long",
    errno.EIO: "the disk reports a fault",
}
if hasattr(errno, "EDQUOT"):  # Windows has no quota error of this name
    _REASONS[errno.EDQUOT] = "your share of the disk is used up"


def reason(error: OSError | ValueError) -> str:
    """Why the operating system refused, in words that fit into a sentence."""
    number, said = getattr(error, "errno", None), getattr(error, "strerror", None)
    return _REASONS.get(number or 0) or said or str(error) or type(error).__name__
