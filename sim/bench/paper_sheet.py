"""Graph paper drawn: the squares, the student's axes, crosses and line, the pencil's point.

All places come from the sheet's view; nothing here works out a value.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from itertools import pairwise

import pygame

from sim.bench.graph_paper import (
    CORNER,
    SMALL,
    SQUARES_ACROSS,
    SQUARES_UP,
    Place,
    Tool,
    View,
    curve,
)
from sim.bench.marks import Graph
from sim.bench.theme import (
    FOCUS,
    INK,
    PAPER_FAINT,
    PAPER_GROUND,
    PAPER_STRONG,
    PEN,
    PENCIL,
    Colour,
)

ARM_SQUARES = 1.0
"""Half the width of a cross: two small squares from end to end."""
LEAST_ARM_PX = 4
LINE_PX = 2
OVER_PX = 8
"""A cross at the edge of the sheet reaches so far over it."""
POINT_PX = 9
"""Half the width of the sights at the pencil's point."""

Shift = tuple[int, int]


def draw_graph(surface: pygame.Surface, graph: Graph, shift: Shift, focused: bool) -> None:
    """Draw a sheet; `shift` is from the page's corner to the surface's."""
    view, box = graph.view, graph.source
    grid = pygame.Rect(view.grid).move(shift)
    before = surface.get_clip()
    surface.set_clip(grid.inflate(2, 2).clip(before))
    at_corner = replace(view, grid=view.grid._replace(x=0, y=0))
    surface.blit(_squares(at_corner), (grid.x - 1, grid.y - 1))
    if box.axes is not None:
        _draw_axes(surface, view, grid, shift)
    _draw_line(surface, view, shift, box.line, INK)
    if box.name is not None:
        _draw_laying(surface, graph, shift)
    surface.set_clip(grid.inflate(2 * OVER_PX, 2 * OVER_PX).clip(before))
    for place in box.crosses:
        if view.shows(place):
            _draw_cross(surface, view, shift, place)
    if box.name is not None and view.shows(box.paper.point):
        _draw_point(surface, view, shift, box.paper.point, focused or box.paper.down)
    surface.set_clip(before)


@lru_cache(maxsize=4)
def _squares(view: View) -> pygame.Surface:
    """Faint lines for the small squares, stronger ones at every fifth and tenth; kept."""
    sheet = pygame.Surface((view.grid.width + 2, view.grid.height + 2))
    sheet.fill(PAPER_GROUND)
    for every, ink, thick in ((1, PAPER_FAINT, 1), (5, PAPER_STRONG, 1), (SMALL, PAPER_STRONG, 2)):
        for across in range(0, SQUARES_ACROSS + 1, every):
            x = round(view.to_px(Place(across, 0.0))[0]) + 1
            sheet.fill(ink, (x - thick // 2, 1, thick, view.grid.height))
        for up in range(0, SQUARES_UP + 1, every):
            y = round(view.to_px(Place(0.0, up))[1]) + 1
            sheet.fill(ink, (1, y - thick // 2, view.grid.width, thick))
    return sheet


def _draw_axes(surface: pygame.Surface, view: View, grid: pygame.Rect, shift: Shift) -> None:
    """The axes along the sheet's own edges: from closer they may be out of sight."""
    x, y = (round(at) for at in _px(view, shift, CORNER))
    surface.fill(INK, (x, grid.y, 2, grid.height))
    surface.fill(INK, (grid.x, y - 1, grid.width, 2))


def _px(view: View, shift: Shift, place: Place) -> tuple[float, float]:
    x, y = view.to_px(place)
    return x + shift[0], y + shift[1]


def _draw_cross(surface: pygame.Surface, view: View, shift: Shift, place: Place) -> None:
    x, y = _px(view, shift, place)
    arm = max(ARM_SQUARES * view.px_per_square, LEAST_ARM_PX)
    for way in (-1, 1):
        ends = (x - arm, y - way * arm), (x + arm, y + way * arm)
        pygame.draw.aaline(surface, INK, *ends, LINE_PX)


def _draw_line(
    surface: pygame.Surface, view: View, shift: Shift, places: tuple[Place, ...], ink: Colour
) -> None:
    points = [_px(view, shift, place) for place in curve(places)]
    for start, end in pairwise(points):
        pygame.draw.aaline(surface, ink, start, end, LINE_PX)


def _draw_laying(surface: pygame.Surface, graph: Graph, shift: Shift) -> None:
    """A line that is being laid: its points so far, and on to the pencil's point."""
    paper, view = graph.source.paper, graph.view
    for place in paper.laid:
        pygame.draw.aacircle(surface, PEN, _px(view, shift, place), 4, 2)
    if paper.laid and paper.tool in (Tool.LINE, Tool.CURVE):
        _draw_line(surface, view, shift, (*paper.laid, paper.point), PENCIL)


def _draw_point(
    surface: pygame.Surface, view: View, shift: Shift, place: Place, strong: bool
) -> None:
    """Sights at the pencil's point: open in the middle, so that the square is seen."""
    x, y = (round(at) for at in _px(view, shift, place))
    ink = FOCUS if strong else PENCIL
    for from_px, to_px in ((3, POINT_PX),) if strong else ((4, POINT_PX - 2),):
        length = to_px - from_px
        surface.fill(ink, (x - to_px, y - 1, length, 2))
        surface.fill(ink, (x + from_px, y - 1, length, 2))
        surface.fill(ink, (x - 1, y - to_px, 2, length))
        surface.fill(ink, (x - 1, y + from_px, 2, length))
