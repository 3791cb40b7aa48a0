"""The vessels: kettle and jug, standing or tilted to pour, and the beaker with its water.

The beaker is drawn from back to front by the caller: `draw_beaker_back`, then what stands in
it, then `draw_water`, then `draw_beaker_front`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache
from typing import NamedTuple

import pygame

from sim.bench.screen.apparatus.brush import (
    Plate,
    Point,
    Ramp,
    ellipse,
    in_box,
    put,
    rounded,
    smooth,
    soft_ellipse,
    turned,
)
from sim.bench.screen.apparatus.rule import Graduations, Mark, draw_graduations
from sim.bench.screen.apparatus.water import draw_stream
from sim.bench.screen.layout import Layout
from sim.bench.ui.theme import GLASS_EDGE, INK, TYPE_SMALL, WATER, WATER_DEEP, Box

STEEL: Ramp = (
    (0.0, (104, 112, 120)),
    (0.10, (176, 184, 190)),
    (0.24, (246, 248, 249)),
    (0.36, (206, 212, 216)),
    (0.62, (150, 158, 165)),
    (0.84, (92, 100, 108)),
    (0.94, (128, 136, 143)),
    (1.0, (78, 86, 94)),
)
GOLDEN_TURN = 0.6180339887498949
"""Drops of condensation are strewn by the golden section, so they never fall in rows."""


def draw_vessel(
    surface: pygame.Surface,
    layout: Layout,
    name: str,
    at: tuple[int, int] | None = None,
    tilt_deg: int = 0,
) -> None:
    """Draw the kettle or the jug on the table, or with its box's upper left corner `at`.

    `tilt_deg` tips the lip down.
    """
    vessel = VESSELS[name]
    box = vessel.box(layout)
    _stand(surface, box, vessel.paint(box.width, box.height), at, vessel.way * tilt_deg)


def vessel_lip(
    layout: Layout, name: str, at: tuple[int, int] | None = None, tilt_deg: int = 0
) -> tuple[float, float]:
    """Where water and steam leave a vessel."""
    vessel = VESSELS[name]
    return _turned_point(vessel.box(layout), at, vessel.way * tilt_deg, vessel.lip)


def draw_pouring(surface: pygame.Surface, layout: Layout, name: str, level_px: float) -> None:
    """A vessel tilted over the beaker, and the stream from its lip to the water's level."""
    vessel, px = VESSELS[name], layout.px
    at = (layout.beaker.x + px(vessel.over[0]), layout.beaker.y + px(vessel.over[1]))
    lip = vessel_lip(layout, name, at, TILT_DEG)
    draw_stream(surface, lip, level_px, px(vessel.stream))
    draw_vessel(surface, layout, name, at, TILT_DEG)


def _stand(
    surface: pygame.Surface,
    box: Box,
    sprite: pygame.Surface,
    at: tuple[int, int] | None,
    turn_deg: int,
) -> None:
    """Draw standing on the table with a shadow, or lifted and turned without one."""
    if at is None:
        shade = soft_ellipse(round(box.width * 1.25), round(box.width * 0.26), (50, 30, 10, 150))
        place = (round(box.x - box.width * 0.04), round(box.bottom - shade.get_height() * 0.62))
        surface.blit(shade, place)
        surface.blit(sprite, box[:2])
        return
    lifted = _lifted(sprite, turn_deg)
    middle = (round(at[0] + box.width / 2.0), round(at[1] + box.height / 2.0))
    surface.blit(lifted, lifted.get_rect(center=middle))


def _turned_point(
    box: Box, at: tuple[int, int] | None, turn_deg: float, share: tuple[float, float]
) -> tuple[float, float]:
    """A point of a sprite after the sprite was turned about its middle."""
    left, top = at if at is not None else (box.x, box.y)
    x, y = (share[0] - 0.5) * box.width, (share[1] - 0.5) * box.height
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return left + box.width / 2.0 + x * cos + y * sin, top + box.height / 2.0 - x * sin + y * cos


@lru_cache(maxsize=96)
def _lifted(sprite: pygame.Surface, turn_deg: int) -> pygame.Surface:
    return turned(sprite, turn_deg) if turn_deg else sprite


@lru_cache(maxsize=2)
def _kettle(width: int, height: int) -> pygame.Surface:
    plate, w, h = Plate(width, height), float(width), float(height)
    handle = smooth(in_box(w, h, [(0.22, 0.36), (0.06, 0.35), (0.06, 0.60), (0.17, 0.76)]))
    plate.stroke(handle, (34, 36, 40), w * 0.075)
    plate.stroke(
        [(x - w * 0.012, y - w * 0.008) for x, y in handle], (104, 108, 114, 170), w * 0.016
    )
    spout = [
        (0.70, 0.58),
        (0.84, 0.50),
        (0.90, 0.33),
        (0.985, 0.285),
        (0.995, 0.325),
        (0.95, 0.38),
        (0.88, 0.62),
        (0.74, 0.74),
    ]
    plate.shaded(smooth(in_box(w, h, spout), closed=True), STEEL[2:])
    plate.area(ellipse(w * 0.985, h * 0.303, w * 0.014, h * 0.022), (40, 44, 50))
    body = [
        *smooth(in_box(w, h, [(0.24, 0.27), (0.165, 0.46), (0.115, 0.72), (0.12, 0.93)])),
        *ellipse(w * 0.48, h * 0.93, w * 0.36, h * 0.045, 180, 0)[1:-1],
        *smooth(in_box(w, h, [(0.84, 0.93), (0.845, 0.72), (0.795, 0.46), (0.72, 0.27)])),
    ]
    plate.shaded(body, STEEL)
    plate.shaded(
        body, [(0.0, (255, 255, 255, 44)), (0.4, (255, 255, 255, 0)), (1.0, (40, 30, 20, 90))], True
    )
    base = [
        *ellipse(w * 0.48, h * 0.925, w * 0.368, h * 0.05, 180, 0),
        *ellipse(w * 0.48, h * 0.955, w * 0.372, h * 0.042, 0, 180),
    ]
    plate.shaded(base, [(0.0, (70, 72, 76)), (0.3, (110, 112, 116)), (1.0, (36, 38, 42))])
    lid = ellipse(w * 0.48, h * 0.265, w * 0.245, h * 0.05)
    plate.shaded(lid, STEEL)
    dome = [*ellipse(w * 0.48, h * 0.26, w * 0.215, h * 0.075, 180, 360)]
    plate.shaded(dome, STEEL[1:])
    plate.stroke(
        ellipse(w * 0.48, h * 0.265, w * 0.245, h * 0.05, 0, 180), (60, 66, 72, 190), w * 0.010
    )
    plate.shaded(
        rounded(w * 0.435, h * 0.115, w * 0.09, h * 0.085, w * 0.03),
        [(0.0, (92, 96, 102)), (0.3, (120, 124, 130)), (1.0, (26, 28, 32))],
    )
    plate.stroke([(w * 0.27, h * 0.36), (w * 0.20, h * 0.82)], (255, 255, 255, 120), w * 0.018)
    return plate.finished()


@lru_cache(maxsize=2)
def _jug(width: int, height: int) -> pygame.Surface:
    plate, w, h = Plate(width, height), float(width), float(height)
    handle = smooth(in_box(w, h, [(0.76, 0.20), (0.93, 0.22), (0.92, 0.56), (0.77, 0.72)]))
    plate.stroke(handle, (*GLASS_EDGE, 235), w * 0.075)
    plate.stroke(handle, (226, 236, 238, 235), w * 0.042)
    wall = [
        *smooth(
            in_box(w, h, [(0.03, 0.06), (0.11, 0.16), (0.13, 0.40), (0.09, 0.72), (0.15, 0.95)])
        ),
        *ellipse(w * 0.46, h * 0.95, w * 0.31, h * 0.045, 180, 0)[1:-1],
        *smooth(
            in_box(w, h, [(0.77, 0.95), (0.83, 0.72), (0.79, 0.40), (0.79, 0.16), (0.81, 0.08)])
        ),
    ]
    plate.shaded(
        wall,
        [
            (0.0, (160, 182, 188, 130)),
            (0.2, (236, 243, 244, 90)),
            (0.8, (226, 236, 238, 76)),
            (1.0, (126, 152, 160, 140)),
        ],
    )
    water = [(x, y) for x, y in wall if y > h * 0.30]
    plate.shaded(
        water,
        [
            (0.0, (*WATER_DEEP, 190)),
            (0.25, (*WATER, 130)),
            (0.7, (*WATER, 130)),
            (1.0, (*WATER_DEEP, 200)),
        ],
    )
    plate.shaded(
        ellipse(w * 0.46, h * 0.31, w * 0.33, h * 0.045),
        [(0.0, (224, 240, 246, 210)), (1.0, (160, 200, 216, 190))],
    )
    for x, y, size in ((0.30, 0.33, 0.15), (0.50, 0.36, 0.17), (0.64, 0.32, 0.12)):
        ice = rounded(w * x - w * size / 2, h * y - h * 0.05, w * size, w * size, w * 0.03)
        plate.area(ice, (240, 248, 252, 165))
        plate.stroke([*ice, ice[0]], (150, 186, 202, 170), w * 0.010)
    fog = [(x, y) for x, y in wall if y > h * 0.36]
    plate.shaded(
        fog, [(0.0, (246, 250, 250, 92)), (0.4, (246, 250, 250, 60)), (1.0, (240, 246, 248, 104))]
    )
    _condensation(plate, w, h)
    plate.stroke([*wall, wall[0]], (*GLASS_EDGE, 220), w * 0.020)
    plate.stroke(
        in_box(w, h, [(0.20, 0.20), (0.21, 0.42), (0.18, 0.80)]),
        (255, 255, 255, 170),
        w * 0.030,
    )
    return plate.finished()


def _condensation(plate: Plate, w: float, h: float) -> None:
    """Beads of water on the cold outside, a few of them running down."""
    beads, lights = [], []
    for n in range(34):
        x = w * (0.19 + 0.56 * (n * GOLDEN_TURN % 1.0))
        y = h * (0.44 + 0.47 * (n + 0.5) / 34.0)
        size = w * (0.010 + 0.009 * (n * 0.3819 % 1.0))
        if n % 9 == 4:
            plate.stroke([(x, y - h * 0.10), (x, y)], (255, 255, 255, 90), size * 0.9)
        beads.append(ellipse(x, y, size, size * 1.2))
        lights.append(ellipse(x - size * 0.25, y - size * 0.3, size * 0.6, size * 0.7))
    plate.areas(beads, (92, 140, 162, 150))
    plate.areas(lights, (255, 255, 255, 215))


class Vessel(NamedTuple):
    """What is poured from: its place, its picture, and how it pours.

    `lip` is where water leaves it, in shares of its box; it tips to the left (1) or to the
    right (-1). Over the beaker its corner is `over` from the beaker's, in the plan's pixels,
    and the stream is so wide.
    """

    box: Callable[[Layout], Box]
    paint: Callable[[int, int], pygame.Surface]
    lip: tuple[float, float]
    way: int
    over: tuple[int, int]
    stream: int


VESSELS = {
    "kettle": Vessel(lambda layout: layout.kettle, _kettle, (0.97, 0.30), -1, (-108, -152), 7),
    "jug": Vessel(lambda layout: layout.jug, _jug, (0.03, 0.08), 1, (58, -112), 8),
}
TILT_DEG = 32
"""How far a vessel is tilted to pour."""

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
    _graduate(picture, layout)
    return picture


def _graduate(picture: pygame.Surface, layout: Layout) -> None:
    m, px, small = layout.px(MARGIN_PX), layout.px, layout.mark_px(TYPE_SMALL - 2)
    ink = (*INK, 215)
    marks = (Mark(100, px(16), max(1, px(1)), ink, small), Mark(50, px(9), max(1, px(1)), ink))
    zero_px = layout.water_level_px(0.0) - layout.beaker.y + m
    ml_px = (layout.water_level_px(0.0) - layout.water_level_px(0.1)) / 100.0
    scale = Graduations(marks, 50, 400, zero_px, ml_px, last_number=400)
    left = m + px(20)
    draw_graduations(picture, scale, left, left + px(19))
    put(picture, "ml", small, (left + px(19), scale.row_px(350)), INK)


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
