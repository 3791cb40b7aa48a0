"""The page of the exercise book drawn: paper, frames, lettering, caret, focus ring; graph paper.

All places come from the page as it is set and from the sheet's view; nothing here measures a text
or works out a value.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import pygame
from msgspec.structs import replace

from analysis.paper.scales import CROSS_COLOUR
from sim.bench.screen.lettering import line_surface
from sim.bench.ui.blocks import CORNER, PaperBox, PaperPoint, PaperView
from sim.bench.ui.marks import (
    HEAD,
    MARGIN_LEFT,
    Frame,
    Look,
    Placed,
    SetLine,
    SetPage,
    view_box,
)
from sim.bench.ui.theme import (
    BUTTON,
    CAUTION_EDGE,
    CAUTION_GROUND,
    CAUTION_INK,
    FIELD,
    FIELD_EDGE,
    FOCUS,
    FOCUS_STROKE,
    INK,
    MARGIN_RULING,
    PAGE,
    PAGE_EDGE,
    PAPER_FAINT,
    PAPER_GROUND,
    PAPER_STRONG,
    PEN,
    PENCIL,
    SELECTION,
    SOFT_INK,
    TYPE_SMALL,
    Box,
    Colour,
)

BLINK_S = 0.53
"""The caret is seen for so long, then unseen for as long."""
ROUND_PX = 3


class Pen(NamedTuple):
    """What is drawn on, how far the page lies off its corner, and the text scale."""

    surface: pygame.Surface
    x: int
    y: int
    text_scale: float
    caret_shown: bool

    def at(self, box: Box) -> pygame.Rect:
        """Give the place of a box of the page on the surface."""
        return pygame.Rect(box.x + self.x, box.y + self.y, box.width, box.height)

    def px(self, length: float) -> int:
        """Scale a length that goes with the text."""
        return round(length * self.text_scale)


def draw_sheet(
    surface: pygame.Surface, sheet: SetPage, area: Box, scroll_px: int = 0, time_s: float = 0.0
) -> None:
    """Draw a page into its area, scrolled down by `scroll_px`.

    The caret blinks with `time_s`, best counted from the last key, so that it is steady
    while one writes; at 0 it is shown. The surface's clip is left as it was.
    """
    before = surface.get_clip()
    view = view_box(area, sheet.text_scale)
    shown = time_s % (2 * BLINK_S) < BLINK_S
    pen = Pen(surface, view.x, view.y - scroll_px, sheet.text_scale, shown)
    _draw_paper(surface, area)
    surface.set_clip(pygame.Rect(area.x, view.y, area.width, view.height).clip(before))
    placed = [each for each in sheet.placed if _seen(each, scroll_px, view.height)]
    for each in placed:
        _draw_placed(pen, each)
    for each in placed:
        for frame in each.frames:
            if frame.focused:
                _draw_ring(pen, frame)
    surface.set_clip(before)
    _draw_more(pen, sheet, area, scroll_px)


def _seen(placed: Placed, scroll_px: int, view_px: int) -> bool:
    near = 2 * FOCUS_STROKE
    return placed.box.bottom + near > scroll_px and placed.box.y - near < scroll_px + view_px


def _draw_paper(surface: pygame.Surface, area: Box) -> None:
    surface.fill(PAGE, area)
    surface.fill(MARGIN_RULING, (area.x + MARGIN_LEFT - 9, area.y, 1, area.height))


def _draw_placed(pen: Pen, placed: Placed) -> None:
    for frame in placed.frames:
        _GROUNDS[frame.look](pen, frame)
        _draw_inside(pen, frame)
    for ruling in placed.rulings:
        pen.surface.fill(ruling.ink, pen.at(ruling.box))
    _draw_lines(pen, placed.lines)


def _draw_inside(pen: Pen, frame: Frame) -> None:
    """Draw what is within a frame; what is longer than a field is cut off at its edge."""
    writing = frame.writing
    if writing is None:
        _draw_lines(pen, frame.lines)
        return
    clip = pen.surface.get_clip()
    pen.surface.set_clip(pen.at(frame.box).inflate(-2, -2).clip(clip))
    for box in writing.selected:
        pen.surface.fill(SELECTION, pen.at(box))
    for ruling in frame.rulings:
        pen.surface.fill(ruling.ink, pen.at(ruling.box))
    _draw_lines(pen, frame.lines)
    for box in writing.composed:
        pen.surface.fill(PEN, pen.at(Box(box.x, box.bottom - 3, box.width, 2)))
    if writing.caret is not None and pen.caret_shown:
        pen.surface.fill(PEN, pen.at(writing.caret))
    pen.surface.set_clip(clip)


def _draw_lines(pen: Pen, lines: tuple[SetLine, ...]) -> None:
    clip = pen.surface.get_clip()
    top, bottom = clip.top - pen.y, clip.bottom - pen.y
    pen.surface.fblits(
        [
            (
                line_surface(line.text, line.size_px, line.ink, line.bold),
                (line.x + pen.x, line.y + pen.y),
            )
            for line in lines
            if line.text and top - 2 * line.size_px < line.y < bottom
        ]
    )


def _draw_field(pen: Pen, frame: Frame) -> None:
    pygame.draw.rect(pen.surface, FIELD, pen.at(frame.box), border_radius=ROUND_PX)
    pygame.draw.rect(pen.surface, FIELD_EDGE, pen.at(frame.box), 1, border_radius=ROUND_PX)


def _draw_button(pen: Pen, frame: Frame) -> None:
    """Draw a tag of paper with a heavier lower edge."""
    place = pen.at(frame.box)
    pygame.draw.rect(pen.surface, FIELD_EDGE, place, border_radius=ROUND_PX)
    inside = pygame.Rect(place.x + 1, place.y + 1, place.width - 2, place.height - 4)
    pygame.draw.rect(pen.surface, BUTTON, inside, border_radius=ROUND_PX)


def _draw_caution(pen: Pen, frame: Frame) -> None:
    place = pen.at(frame.box)
    pygame.draw.rect(pen.surface, CAUTION_GROUND, place)
    pygame.draw.rect(pen.surface, CAUTION_EDGE, place, 1)
    side = pen.px(24)
    left, top = place.x + pen.px(9), place.y + pen.px(9)
    corners = ((left, top + side - 3), (left + side, top + side - 3), (left + side // 2, top))
    pygame.draw.polygon(pen.surface, CAUTION_INK, corners)
    sign = line_surface("!", pen.px(14), CAUTION_GROUND, bold=True)
    pen.surface.blit(sign, sign.get_rect(midbottom=(left + side // 2, top + side - 1)))


def _draw_row(pen: Pen, frame: Frame) -> None:
    """The row at hand lies on the ground of a field; a ring is drawn about it besides."""
    if frame.focused:
        pen.surface.fill(FIELD, pen.at(frame.box))


def _draw_graph_paper(pen: Pen, frame: Frame) -> None:
    draw_graph(pen.surface, frame, (pen.x, pen.y))


def _draw_ring(pen: Pen, frame: Frame) -> None:
    outer = pen.at(frame.box).inflate(2 * FOCUS_STROKE, 2 * FOCUS_STROKE)
    pygame.draw.rect(pen.surface, FOCUS, outer, FOCUS_STROKE, border_radius=ROUND_PX + 2)


def _draw_more(pen: Pen, sheet: SetPage, area: Box, scroll_px: int) -> None:
    """Say in the strips above and below, and by a bar, that the page goes on."""
    view = view_box(area, sheet.text_scale)
    most = sheet.most_scroll_px(view.height)
    if most == 0:
        return
    strip = Box(view.x, area.y, view.width, pen.px(HEAD))
    if scroll_px > 0:
        _draw_hint(pen, "▲ more above", strip)
    if scroll_px < most:
        _draw_hint(pen, "▼ more below", strip._replace(y=view.bottom))
    track = pygame.Rect(area.right - 9, view.y, 5, view.height)
    tall = max(view.height * view.height // sheet.height_px, 24)
    top = track.y + (track.height - tall) * min(scroll_px, most) // most
    pygame.draw.rect(pen.surface, PAGE_EDGE, track, border_radius=2)
    pygame.draw.rect(pen.surface, SOFT_INK, (track.x, top, 5, tall), border_radius=2)


def _draw_hint(pen: Pen, text: str, strip: Box) -> None:
    words = line_surface(text, pen.px(TYPE_SMALL), SOFT_INK)
    pen.surface.blit(words, words.get_rect(center=strip.centre))


_GROUNDS: dict[Look, Callable[[Pen, Frame], None]] = {
    Look.FIELD: _draw_field,
    Look.BUTTON: _draw_button,
    Look.CAUTION: _draw_caution,
    Look.ROW: _draw_row,
    Look.PAPER: _draw_graph_paper,
}


ARM_SQUARES = 1.0
"""Half the width of a cross: two small squares from end to end."""
LEAST_ARM_PX = 4
LINE_PX = 2
OVER_PX = 8
"""A cross at the edge of the sheet reaches so far over it."""
POINT_PX = 9
"""Half the width of the sights at the pencil's point."""

Shift = tuple[int, int]


def draw_graph(surface: pygame.Surface, frame: Frame, shift: Shift) -> None:
    """Draw a sheet; `shift` is from the page's corner to the surface's."""
    if frame.paper is None:
        return
    box, view = frame.paper
    grid = pygame.Rect(view.grid).move(shift)
    before = surface.get_clip()
    surface.set_clip(grid.inflate(2, 2).clip(before))
    at_corner = replace(view, grid=view.grid._replace(x=0, y=0))
    surface.blit(_squares(at_corner, box.pencil.squares.in_large), (grid.x - 1, grid.y - 1))
    if box.across is not None:
        _draw_axes(surface, view, grid, shift)
    _draw_line(surface, view, shift, box.line, INK)
    if box.name is not None:
        _draw_laying(surface, box, view, shift)
    surface.set_clip(grid.inflate(2 * OVER_PX, 2 * OVER_PX).clip(before))
    for place in box.crosses:
        if view.shows(place):
            _draw_cross(surface, view, shift, place)
    if box.name is not None and view.shows(box.pencil.point):
        _draw_point(surface, view, shift, box.pencil.point, frame.focused)
    surface.set_clip(before)


@lru_cache(maxsize=4)
def _squares(view: PaperView, in_large: int) -> pygame.Surface:
    """Faint lines for the small squares, stronger ones at every fifth and tenth; kept."""
    sheet = pygame.Surface((view.grid.width + 2, view.grid.height + 2))
    sheet.fill(PAPER_GROUND)
    left, low = (round(at) for at in view.corner)
    right, high = (
        left + view.grid.width // view.px_per_square,
        low + view.grid.height // view.px_per_square,
    )
    rulings = ((1, PAPER_FAINT, 1), (in_large // 2, PAPER_STRONG, 1), (in_large, PAPER_STRONG, 2))
    for every, ink, thick in rulings:
        for across in range(-(-left // every) * every, right + 1, every):
            x = round(view.to_px(PaperPoint(across, low))[0]) + 1
            sheet.fill(ink, (x - thick // 2, 1, thick, view.grid.height))
        for up in range(-(-low // every) * every, high + 1, every):
            y = round(view.to_px(PaperPoint(left, up))[1]) + 1
            sheet.fill(ink, (1, y - thick // 2, view.grid.width, thick))
    return sheet


def _draw_axes(surface: pygame.Surface, view: PaperView, grid: pygame.Rect, shift: Shift) -> None:
    """The axes along the sheet's own edges: from closer they may be out of sight."""
    x, y = (round(at) for at in _px(view, shift, CORNER))
    surface.fill(INK, (x, grid.y, 2, grid.height))
    surface.fill(INK, (grid.x, y - 1, grid.width, 2))


def _px(view: PaperView, shift: Shift, place: PaperPoint) -> tuple[float, float]:
    x, y = view.to_px(place)
    return x + shift[0], y + shift[1]


def _draw_cross(surface: pygame.Surface, view: PaperView, shift: Shift, place: PaperPoint) -> None:
    x, y = _px(view, shift, place)
    arm = max(ARM_SQUARES * view.px_per_square, LEAST_ARM_PX)
    for way in (-1, 1):
        ends = (x - arm, y - way * arm), (x + arm, y + way * arm)
        pygame.draw.aaline(surface, CROSS_COLOUR, *ends, LINE_PX)


def _draw_line(
    surface: pygame.Surface,
    view: PaperView,
    shift: Shift,
    places: tuple[PaperPoint, ...],
    ink: Colour,
) -> None:
    points = [_px(view, shift, place) for place in places]
    for start, end in pairwise(points):
        pygame.draw.aaline(surface, ink, start, end, LINE_PX)


def _draw_laying(surface: pygame.Surface, box: PaperBox, view: PaperView, shift: Shift) -> None:
    """A line that is being laid: its points so far, and on to the pencil's point."""
    for place in box.pencil.laid:
        pygame.draw.aacircle(surface, PEN, _px(view, shift, place), 4, 2)
    _draw_line(surface, view, shift, box.laying, PENCIL)


def _draw_point(
    surface: pygame.Surface, view: PaperView, shift: Shift, place: PaperPoint, strong: bool
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
