"""All that is seen beside the desk itself: layout, page as set, and the thing in the hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

from sim.bench.screen.layout import Layout
from sim.bench.ui.marks import SetPage, page_point, view_box
from sim.bench.ui.theme import Box


class Point(NamedTuple):
    """The pointer goes down, moves or comes up at a place in the window, in pixels."""

    what: Literal["down", "move", "up"]
    at: tuple[int, int]


@dataclass(frozen=True)
class Carried:
    """A thing in the hand: what, where it was taken up and where it is, in pixels."""

    thing: str
    from_px: tuple[int, int]
    at_px: tuple[int, int]
    began_s: float


@dataclass(frozen=True)
class Scene:
    """What the person sees beside the desk: where everything stands, and the page as set.

    `ribbons` are the pages' names and the places of their ribbons.
    """

    layout: Layout
    sheet: SetPage
    ribbons: tuple[tuple[str, Box], ...] = ()
    scroll_px: int = 0
    carried: Carried | None = None

    @property
    def view(self) -> Box:
        """The part of the window in which the page's writing is seen."""
        return view_box(self.layout.page, self.sheet.text_scale)

    def on_page(self, at: tuple[int, int]) -> tuple[int, int]:
        """The point of the page that is seen at a point of the window."""
        return page_point(self.view, self.scroll_px, at)
