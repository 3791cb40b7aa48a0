"""What a report is made of, free of any layout: HTML and PDF print the same document."""

import re
from dataclasses import dataclass
from typing import Literal, TypeAlias

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
