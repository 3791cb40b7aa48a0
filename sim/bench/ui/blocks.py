"""What a page of the exercise book is made of: boxes in reading order.

A page is a tuple of these values; `sim.bench.ui.typeset` gives each its place. `name` is
what focus, clicks and the page's own code know a thing by, and must be unique on a page.

Things that are chosen or pressed, as values: a button, a choice among options, a tick.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from sim.bench.ui.fields import TextArea, TextLine
from sim.bench.ui.graph_paper import Axes, Paper, Place


@dataclass(frozen=True)
class Button:
    """Something to press; what happens then is the page's affair."""

    label: str
    enabled: bool = True


@dataclass(frozen=True)
class Choice:
    """One of several options; none until the student has chosen."""

    options: tuple[str, ...]
    current: int | None = None

    def __post_init__(self) -> None:
        """Refuse a current option that is not among them (ValueError)."""
        if self.current is not None and not 0 <= self.current < len(self.options):
            raise ValueError(f"there is no option {self.current} among {len(self.options)}")

    @property
    def value(self) -> str | None:
        """The chosen option, or None."""
        return None if self.current is None else self.options[self.current]

    def chosen(self, index: int) -> Choice:
        """Choose an option by its number; one that does not exist changes nothing."""
        return replace(self, current=index) if 0 <= index < len(self.options) else self

    def moved(self, step: int) -> Choice:
        """Go to the next (1) or the one before (-1), stopping at the ends."""
        if self.current is None:
            return self.chosen(0 if step > 0 else len(self.options) - 1)
        return self.chosen(self.current + step)


@dataclass(frozen=True)
class Tick:
    """A statement that is ticked or not."""

    label: str
    on: bool = False

    def toggled(self) -> Tick:
        """Turn it the other way round."""
        return replace(self, on=not self.on)


@dataclass(frozen=True)
class Heading:
    """The title of a page (level 1) or of a part of it (level 2)."""

    text: str
    level: int = 1


@dataclass(frozen=True)
class Paragraph:
    """Running text; `small` for notes beside the matter."""

    text: str
    small: bool = False


@dataclass(frozen=True)
class Caution:
    """A caution: its own ground, a sign and the word, so that no colour has to say it."""

    text: str
    word: str = "Caution"


@dataclass(frozen=True)
class FieldBox:
    """A line or a number to write, its label, and the unit where it is printed.

    `letters` asks for a field of about so many letters beside its label; without it the
    field goes below, as wide as the page. `note` says what is wrong with what is written.
    `composing` is text that the keyboard is still putting together.
    """

    name: str
    label: str
    field: TextLine
    focused: bool = False
    unit: str = ""
    letters: int | None = None
    note: str = ""
    composing: str = ""
    enabled: bool = True


@dataclass(frozen=True)
class AreaBox:
    """A long answer: `rows` ruled lines at least, more as it grows."""

    name: str
    label: str
    field: TextArea
    focused: bool = False
    rows: int = 4
    note: str = ""
    composing: str = ""
    enabled: bool = True


@dataclass(frozen=True)
class ButtonBox:
    """A button; buttons that follow one another stand side by side."""

    name: str
    button: Button
    focused: bool = False


@dataclass(frozen=True)
class ChoiceBox:
    """A question and its options, one below the other."""

    name: str
    label: str
    choice: Choice
    focused: bool = False


@dataclass(frozen=True)
class TickBox:
    """A statement to tick."""

    name: str
    tick: Tick
    focused: bool = False


@dataclass(frozen=True)
class CellField:
    """A cell of a table to be written in."""

    name: str
    field: TextLine
    focused: bool = False
    composing: str = ""


Cell = str | CellField


@dataclass(frozen=True)
class Row:
    """A row of a table; with a `name` it can be chosen. `struck_out` holds the reason."""

    cells: tuple[Cell, ...]
    name: str | None = None
    focused: bool = False
    struck_out: str | None = None


@dataclass(frozen=True)
class TableBox:
    """A ruled table: a heading for each column, then rows of as many cells."""

    headings: tuple[Cell, ...]
    rows: tuple[Row, ...]

    def __post_init__(self) -> None:
        """Refuse a row that has not as many cells as there are headings (ValueError)."""
        for number, row in enumerate(self.rows, start=1):
            if len(row.cells) != len(self.headings):
                raise ValueError(
                    f"row {number} has {len(row.cells)} cells under {len(self.headings)} headings"
                )


@dataclass(frozen=True)
class PaperBox:
    """A sheet of graph paper with the student's own axes, crosses and line.

    Without a `name` it is only shown. `axes` is None until the student has chosen both.
    """

    name: str | None
    paper: Paper
    axes: Axes | None = None
    crosses: tuple[Place, ...] = ()
    line: tuple[Place, ...] = ()
    focused: bool = False


@dataclass(frozen=True)
class Gap:
    """Empty space, in pixels at 100 % text."""

    height: int = 12


PageBox = (
    Heading | Paragraph | Caution | FieldBox | AreaBox | ButtonBox | ChoiceBox | TickBox
    | TableBox | PaperBox | Gap
)  # fmt: skip
