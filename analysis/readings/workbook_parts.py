"""The parts of a workbook (a zip file), read as they stream and counted before they are laid out.

Whatever a file claims of itself (how many strings, how many rows alike, how large a part is) takes
no memory: bytes, elements, nesting, cells and letters are counted as they come, and the reading
ends at the bound. Entities and outside parts are refused, which leaves the parser of the standard
library nothing that grows by itself.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from typing import IO, TYPE_CHECKING, TypeVar
from xml.parsers import expat

if TYPE_CHECKING:
    from collections.abc import Mapping

    from analysis.quantity.written import Cell

MOST_PARTS = 2_000
MOST_UNPACKED_BYTES = 100_000_000
MOST_ELEMENTS = 4_000_000
MOST_CELLS = 1_000_000
"""Of a workbook's tables together, each from its first cell to the last row and column in use."""
MOST_LETTERS = 10_000_000
DEEPEST = 100
MOST_NAMES = 5_000
"""Of elements and attributes; a workbook needs some hundreds."""
LONGEST_TAG_BYTES = 1_000_000
_PIECE_BYTES = 1 << 16
_ENTRY = b"PK\x01\x02"
"""What each entry of a zip file's table of contents begins with."""

# What a torn zip file makes the standard library raise (RuntimeError: an encrypted part).
_TORN = (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, RuntimeError, LookupError)


class NoWorkbook(Exception):
    """The file is damaged, or is no workbook."""


class TooLarge(Exception):
    """The workbook goes beyond a bound; the text says which, after "lays out"."""


class Elements:
    """A listener to the elements of one part; `path` holds the names that are open."""

    def __init__(self) -> None:
        """Hear nothing yet."""
        self.path: list[str] = []
        self.count = 0
        self.text: list[str] | None = None
        """Where text is gathered while somebody wants it."""

    def opened(self, name: str, attributes: Mapping[str, str]) -> None:
        """An element begins; its name has no prefix, its attributes have theirs."""

    def closed(self, name: str) -> None:
        """An element ends; `path` is that of its parent again."""

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        """The parser met a start tag."""
        name = tag[tag.find(":") + 1 :]
        self.path.append(name)
        self.count += 1
        self.opened(name, attributes)

    def end(self, _tag: str) -> None:
        """The parser met an end tag."""
        self.closed(self.path.pop())

    def data(self, text: str) -> None:
        """The parser met text."""
        if self.text is not None:
            self.text.append(text)

    def taken(self) -> str:
        """The text gathered, and an end to the gathering."""
        gathered = "".join(self.text or ())
        self.text = None
        return gathered


Listener = TypeVar("Listener", bound=Elements)


class Parts:
    """The parts of a workbook, all under one allowance."""

    def __init__(self, content: bytes) -> None:
        """Look at the table of contents. Raises NoWorkbook or TooLarge."""
        if content.count(_ENTRY) > MOST_PARTS:
            raise TooLarge(f"more than {MOST_PARTS:,} parts")
        try:
            self._zip = zipfile.ZipFile(io.BytesIO(content))
        except _TORN as error:
            raise NoWorkbook from error
        self._parts = {_plain(info.filename): info for info in self._zip.infolist()}
        self._bytes = self._elements = 0

    def __contains__(self, name: str) -> bool:
        """Whether there is a part of this name, capitals and kind of stroke aside."""
        return _plain(name) in self._parts

    def read(self, name: str, listener: Listener) -> Listener:
        """Let a listener hear the elements of a part. Raises NoWorkbook or TooLarge."""
        info = self._parts.get(_plain(name))
        if info is None or info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise NoWorkbook
        before = self._elements
        try:
            with self._zip.open(info) as stream:
                self._hear(stream, listener, before)
        except (*_TORN, expat.ExpatError) as error:
            raise NoWorkbook from error
        return listener

    def _hear(self, stream: IO[bytes], listener: Elements, before: int) -> None:
        names: dict[str, str] = {}
        parser = expat.ParserCreate(intern=names)
        parser.buffer_text = True
        parser.StartDoctypeDeclHandler = _refuse_entities
        parser.StartElementHandler = listener.start
        parser.EndElementHandler = listener.end
        parser.CharacterDataHandler = listener.data
        read = 0
        while piece := stream.read(_PIECE_BYTES):
            read += len(piece)
            self._bytes += len(piece)
            parser.Parse(piece, False)
            self._elements = before + listener.count
            if self._bytes > MOST_UNPACKED_BYTES or self._elements > MOST_ELEMENTS:
                raise TooLarge(f"more than {MOST_CELLS:,} cells")
            pending = read - parser.CurrentByteIndex
            if len(listener.path) > DEEPEST or len(names) > MOST_NAMES:
                raise NoWorkbook
            if pending > LONGEST_TAG_BYTES:
                raise NoWorkbook
        parser.Parse(b"", True)


def _plain(name: str) -> str:
    return name.replace("\\", "/").lstrip("/").lower()


def _refuse_entities(*_: object) -> None:
    raise NoWorkbook


class Allowance:
    """How many cells and letters the tables of a workbook may still take."""

    def __init__(self) -> None:
        """Nothing is taken yet."""
        self.cells = MOST_CELLS
        self.letters = MOST_LETTERS

    def take_letters(self, count: int) -> None:
        """Raise TooLarge where so many more letters are too many."""
        self.letters -= count
        if self.letters < 0:
            raise TooLarge(f"more than {MOST_LETTERS:,} letters")


class FilledRows:
    """The rows of a table, each as long as it is filled, up to the last row that is."""

    def __init__(self, allowance: Allowance) -> None:
        """Begin with no row."""
        self.rows: list[list[Cell]] = []
        self._allowance = allowance
        self._width = self._taken = 0

    def put(self, row: int, column: int, cell: Cell) -> None:
        """Fill one cell; blank ones before it come of themselves. Raises TooLarge."""
        self._reach(row + 1, column + 1)
        if isinstance(cell, str):
            self._allowance.take_letters(len(cell))
        cells = self.rows[row]
        if len(cells) <= column:
            cells.extend([""] * (column + 1 - len(cells)))
        cells[column] = cell

    def put_rows(self, row: int, cells: list[Cell], times: int) -> None:
        """Fill the same cells into `times` rows that hold nothing yet. Raises TooLarge."""
        self._reach(row + times, len(cells))
        letters = sum(len(cell) for cell in cells if isinstance(cell, str))
        self._allowance.take_letters(letters * times)
        for place in range(row, row + times):
            self.rows[place] = cells.copy()

    def _reach(self, height: int, width: int) -> None:
        """Make room for the table to reach so far, if that is allowed."""
        if height <= len(self.rows) and width <= self._width:
            return
        self._width = max(width, self._width)
        taken = max(height, len(self.rows)) * self._width
        self._allowance.cells -= taken - self._taken
        self._taken = taken
        if self._allowance.cells < 0:
            raise TooLarge(f"more than {MOST_CELLS:,} cells")
        self.rows.extend([] for _ in range(height - len(self.rows)))
