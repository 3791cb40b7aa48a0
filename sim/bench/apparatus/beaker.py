"""The beaker: glass with graduations, and the water in it.

Drawn from back to front by the caller: `draw_beaker_back`, then what stands in it,
then `draw_water`, then `draw_beaker_front`.
"""

from __future__ import annotations

from functools import lru_cache

import pygame

from sim.bench.apparatus.brush import Plate, Point, ellipse, smooth
from sim.bench.apparatus.words import put
from sim.bench.layout import Layout
from sim.bench.theme import GLASS_EDGE, INK, TYPE_SMALL, WATER, WATER_DEEP

MARKS_ML = range(50, 401, 50)
MARGIN_PX = 10
"""Room round the glass for its lip and spout."""


def draw_beaker_back(surface: pygame.Surface, layout: Layout) -> None:
    """The far wall and the far half of the rim."""
    _place(surface, layout, _back(layout))


def draw_beaker_front(surface: pygame.Surface, layout: Layout) -> None:
    """The near wall: highlights, graduations, the near half of the rim, the spout."""
    _place(surface, layout, _front(layout))


def draw_water(
    surface: pygame.Surface, layout: Layout, mass_kg: float, ball_under: bool = False
) -> None:
    """Water up to its level, tinted, with its surface and the meniscus at the glass."""
    if mass_kg <= 0.0:
        return
    glass, margin = layout.beaker, layout.px(MARGIN_PX)
    body, top = _water(layout), _water_top(layout)
    level = round(layout.water_level_px(mass_kg, ball_under))
    from_row = level - glass.y + margin
    area = pygame.Rect(0, from_row, body.get_width(), body.get_height() - from_row)
    surface.blit(body, (glass.x - margin, level), area)
    surface.blit(top, (glass.x - margin, level - top.get_height() // 2))


def _place(surface: pygame.Surface, layout: Layout, sprite: pygame.Surface) -> None:
    margin = layout.px(MARGIN_PX)
    surface.blit(sprite, (layout.beaker.x - margin, layout.beaker.y - margin))


def _plate(layout: Layout) -> Plate:
    margin = 2 * layout.px(MARGIN_PX)
    return Plate(layout.beaker.width + margin, layout.beaker.height + margin)


def _wall(layout: Layout, inset: float, from_row: float = 0.0) -> list[Point]:
    """The outline of the glass, `inset` inward, from a row below the rim down to its foot."""
    m, box = float(layout.px(MARGIN_PX)), layout.beaker
    left, right, foot = m + inset, m + box.width - inset, m + box.height - inset
    corner, sag = float(layout.px(11)), float(layout.px(5))
    return [
        (left, m + from_row),
        (left, foot - corner - sag),
        *ellipse(left + corner, foot - corner - sag * 0.6, corner, corner, 180, 90),
        *[
            (x, y + 0.0)
            for x, y in ellipse(
                (left + right) / 2, foot - sag * 0.6, (right - left) / 2 - corner, sag * 0.6, 180, 0
            )
            if y >= foot - sag * 0.6
        ],
        *ellipse(right - corner, foot - corner - sag * 0.6, corner, corner, 90, 0),
        (right, foot - corner - sag),
        (right, m + from_row),
    ]


@lru_cache(maxsize=2)
def _back(layout: Layout) -> pygame.Surface:
    plate, m, box = _plate(layout), layout.px(MARGIN_PX), layout.beaker
    ramp = [
        (0.0, (150, 172, 178, 110)),
        (0.12, (226, 236, 238, 50)),
        (0.7, (226, 236, 238, 34)),
        (1.0, (130, 156, 164, 110)),
    ]
    plate.shaded(_wall(layout, 0.0), ramp)
    across, middle = box.width / 2.0, m + box.width / 2.0
    rim = ellipse(middle, m, across, layout.px(6), 180, 360)
    plate.stroke(rim, (*GLASS_EDGE, 170), 1.4 * layout.scale)
    foot = ellipse(middle, m + box.height - layout.px(9), across * 0.82, layout.px(5), 180, 360)
    plate.stroke(foot, (*GLASS_EDGE, 90), 1.0 * layout.scale)
    return plate.finished()


@lru_cache(maxsize=2)
def _front(layout: Layout) -> pygame.Surface:
    plate, m, box, px = _plate(layout), layout.px(MARGIN_PX), layout.beaker, layout.px
    s = layout.scale
    plate.stroke(_wall(layout, 0.6 * s), (*GLASS_EDGE, 215), 1.6 * s)
    across, middle = box.width / 2.0, m + box.width / 2.0
    lip = smooth([(m + 2.0, m + 0.0), (m - px(6), m - px(4)), (m - px(7), m - px(6))])
    plate.stroke(lip, (*GLASS_EDGE, 215), 1.8 * s)
    plate.stroke(ellipse(middle, m, across, px(6), 0, 180), (*GLASS_EDGE, 225), 1.8 * s)
    top = ellipse(middle, m - 1.0, across - 1.0, px(5), 20, 160)
    plate.stroke(top, (255, 255, 255, 190), 0.9 * s)
    for x, width, opacity in ((0.10, 4.0, 165), (0.17, 1.6, 110), (0.93, 2.2, 120)):
        column = m + box.width * x
        glint = [(column, m + px(14)), (column, m + box.height - px(22))]
        plate.stroke(glint, (255, 255, 255, opacity), width * s)
    picture = plate.finished()
    _graduations(picture, layout)
    return picture


def _graduations(picture: pygame.Surface, layout: Layout) -> None:
    m, box, px = layout.px(MARGIN_PX), layout.beaker, layout.px
    left = m + px(20)
    for ml in MARKS_ML:
        y = round(layout.water_level_px(ml / 1000.0)) - box.y + m
        long = ml % 100 == 0
        picture.fill((*INK, 215), (left, y, px(16 if long else 9), max(1, px(1))))
        if long:
            put(picture, str(ml), layout.type_px(TYPE_SMALL - 2), (left + px(19), y), INK)
    unit_y = layout.water_level_px(0.350) - box.y + m
    put(picture, "ml", layout.type_px(TYPE_SMALL - 2), (left + px(19), unit_y), INK)


@lru_cache(maxsize=2)
def _water(layout: Layout) -> pygame.Surface:
    plate = _plate(layout)
    ramp = [
        (0.0, (*WATER_DEEP, 170)),
        (0.10, (*WATER_DEEP, 120)),
        (0.35, (*WATER, 78)),
        (0.75, (*WATER, 84)),
        (1.0, (*WATER_DEEP, 176)),
    ]
    plate.shaded(_wall(layout, layout.px(3)), ramp)
    return plate.finished()


@lru_cache(maxsize=2)
def _water_top(layout: Layout) -> pygame.Surface:
    """The surface: a flat oval, brighter at the back, drawn up a little at the glass."""
    m, box, s = layout.px(MARGIN_PX), layout.beaker, layout.scale
    tall = 2 * layout.px(7)
    plate = Plate(box.width + 2 * m, tall)
    middle, across = m + box.width / 2.0, box.width / 2.0 - layout.px(3)
    flat = [(0.0, (222, 240, 246, 190)), (1.0, (150, 196, 214, 150))]
    plate.shaded(ellipse(middle, tall / 2, across, layout.px(5)), flat, upright=True)
    near = ellipse(middle, tall / 2, across, layout.px(5), 4, 176)
    plate.stroke(near, (60, 112, 140, 210), 1.3 * s)
    for side in (-1.0, 1.0):
        edge = middle + side * across
        climb = smooth(
            [
                (edge - side * layout.px(7), tall / 2 + 1.0),
                (edge - side * layout.px(2), tall / 2 - 1.0),
                (edge, tall / 2 - layout.px(4)),
            ]
        )
        plate.stroke(climb, (60, 112, 140, 190), 1.2 * s)
    return plate.finished()
