"""The bath: a clear tank on its trolley, the thermostat at its end with display, lamp and dial.

It is drawn from back to front by the caller: `draw_bath_back`, then what stands in it, then
`draw_bath_front` with the water and the near wall, then `draw_thermostat`.
"""

from __future__ import annotations

import math
from functools import lru_cache

import pygame

from sim.bench.screen.apparatus.brush import Plate, Point, Ramp, ellipse, put, rounded, soft_ellipse
from sim.bench.screen.layout import Layout
from sim.bench.ui.theme import (
    DIAL,
    DIAL_INK,
    GLASS_EDGE,
    HOUSING,
    IRON,
    SPIRIT,
    STEEL_DARK,
    STEEL_LIGHT,
    STEEL_MID,
    TYPE_SMALL,
    TYPE_TEXT,
    WATER,
    WATER_DEEP,
    Box,
)

MARGIN_PX = 8
"""Room round the tank for its rim."""
FILLED_TO_PX = 20
"""How far below the rim the water stands."""
CASE: Ramp = ((0.0, (72, 84, 98)), (0.12, (104, 118, 134)), (0.5, HOUSING), (1.0, (52, 62, 74)))
LAMP_LIT, LAMP_OUT = (255, 150, 40), (60, 66, 72)
FIRST_DEG, LAST_DEG = -135.0, 135.0
"""How far the dial's pointer is turned at its two ends, clockwise from upright."""


def draw_bath_back(surface: pygame.Surface, layout: Layout) -> None:
    """The trolley, and the tank's far wall."""
    _blit(surface, layout, _back(layout))


def draw_bath_front(surface: pygame.Surface, layout: Layout) -> None:
    """The water, and the tank's near wall."""
    _blit(surface, layout, _front(layout))


def water_mouth(layout: Layout) -> Point:
    """The middle of the water's surface, from which it steams."""
    return layout.bath.centre[0], layout.bath.y + layout.px(FILLED_TO_PX)


def draw_thermostat(
    surface: pygame.Surface, layout: Layout, share: float, text: str, word: str
) -> None:
    """The thermostat: what it is set to, what it is doing, and the dial turned to a share of it.

    `word` is "ready" where the water is held; the lamp is lit while it is not.
    """
    panel, px = layout.bath_control, layout.px
    surface.blit(_housing(layout), panel[:2])
    middle = panel.centre[0]
    size, small = layout.mark_px(TYPE_TEXT), layout.mark_px(TYPE_SMALL)
    show = display(layout)
    put(surface, text, size, (middle, show.y + size * 0.62), DIAL_INK, "middle")
    put(surface, word, small, (middle, show.bottom - small * 0.66), DIAL_INK, "middle")
    lamp = LAMP_OUT if word == "ready" else LAMP_LIT
    pygame.draw.circle(surface, lamp, (middle, panel.y + px(7)), px(4))
    pygame.draw.circle(surface, DIAL_INK, (middle, panel.y + px(7)), px(4), 1)
    _pointer(surface, layout, share)


def display(layout: Layout) -> Box:
    """The display in the thermostat's panel."""
    panel, edge = layout.bath_control, layout.px(5)
    top = panel.y + layout.px(14)
    height = round(1.3 * (layout.mark_px(TYPE_TEXT) + layout.mark_px(TYPE_SMALL)))
    return Box(panel.x + edge, top, panel.width - 2 * edge, height)


def _pointer(surface: pygame.Surface, layout: Layout, share: float) -> None:
    (x, y), radius = layout.dial.centre, layout.dial.width / 2.0
    turned = math.radians(FIRST_DEG + (LAST_DEG - FIRST_DEG) * min(max(share, 0.0), 1.0))
    across, up = math.sin(turned), math.cos(turned)
    root, tip = 0.12 * radius, 0.62 * radius
    start, end = ((x + across * r, y - up * r) for r in (root, tip))
    pygame.draw.line(surface, SPIRIT, start, end, max(2, layout.px(3)))


def _blit(surface: pygame.Surface, layout: Layout, sprite: pygame.Surface) -> None:
    margin = layout.px(MARGIN_PX)
    surface.blit(sprite, (layout.bath.x - margin, layout.bath.y - margin))


def _glass(layout: Layout, inset: float = 0.0, top: float = 0.0) -> list[Point]:
    """The tank's outline inside its sprite, `inset` inward, from `top` below the rim."""
    m, tank = float(layout.px(MARGIN_PX)), layout.bath
    high = tank.height - top - inset
    return rounded(m + inset, m + top, tank.width - 2 * inset, high, layout.px(5))


@lru_cache(maxsize=2)
def _back(layout: Layout) -> pygame.Surface:
    m, tank, px = layout.px(MARGIN_PX), layout.bath, layout.px
    wide, s = layout.bath_control.right - tank.x, layout.scale
    plate = Plate(wide + 2 * m, tank.height + m + px(28))
    shelf = m + tank.height
    for x in (m + px(14), m + wide - px(22)):
        plate.area(rounded(x, shelf + px(4), px(8), px(16), 2), STEEL_DARK)
        plate.area(ellipse(x + px(4), shelf + px(20), px(6), px(6)), IRON)
    board: Ramp = ((0.0, STEEL_LIGHT), (0.35, STEEL_MID), (1.0, STEEL_DARK))
    plate.shaded(rounded(0, shelf, wide + 2 * m, px(9), 3), board, upright=True)
    wall: Ramp = (
        (0.0, (160, 182, 188, 120)),
        (0.1, (232, 240, 242, 70)),
        (0.8, (232, 240, 242, 54)),
        (1.0, (140, 164, 172, 120)),
    )
    plate.shaded(_glass(layout), wall)
    rim = m + px(7)
    plate.stroke([(m + px(5), rim), (m + tank.width - px(5), rim)], (*GLASS_EDGE, 120), 1.2 * s)
    picture = pygame.Surface(plate.size, pygame.SRCALPHA)
    shade = soft_ellipse(wide + 2 * m, px(22), (40, 30, 20, 150))
    picture.blit(shade, (0, plate.size[1] - px(22)))
    picture.blit(plate.finished(), (0, 0))
    return picture


@lru_cache(maxsize=2)
def _front(layout: Layout) -> pygame.Surface:
    m, tank, px, s = layout.px(MARGIN_PX), layout.bath, layout.px, layout.scale
    plate = Plate(tank.width + 2 * m, tank.height + 2 * m)
    body: Ramp = (
        (0.0, (*WATER_DEEP, 150)),
        (0.08, (*WATER_DEEP, 104)),
        (0.35, (*WATER, 76)),
        (0.8, (*WATER, 84)),
        (1.0, (*WATER_DEEP, 160)),
    )
    plate.shaded(_glass(layout, px(3), px(FILLED_TO_PX)), body)
    level = m + float(px(FILLED_TO_PX))
    flat: Ramp = ((0.0, (226, 242, 248, 190)), (1.0, (150, 196, 214, 130)))
    top = [
        (m + px(9), level - px(7)),
        (m + tank.width - px(9), level - px(7)),
        (m + tank.width - px(3), level),
        (m + px(3), level),
    ]
    plate.shaded(top, flat, upright=True)
    plate.stroke([top[3], top[2]], (52, 104, 132, 220), 1.4 * s)
    outline = _glass(layout, 0.6 * s)
    plate.stroke([*outline, outline[0]], (*GLASS_EDGE, 220), 1.8 * s)
    for x, width, opacity in ((0.04, 4.0, 150), (0.075, 1.6, 100), (0.96, 2.4, 110)):
        column = m + tank.width * x
        glint = [(column, m + px(26)), (column, m + tank.height - px(12))]
        plate.stroke(glint, (255, 255, 255, opacity), width * s)
    return plate.finished()


@lru_cache(maxsize=2)
def _housing(layout: Layout) -> pygame.Surface:
    panel, px = layout.bath_control, layout.px
    plate = Plate(*panel[2:])
    plate.shaded(rounded(0, 0, panel.width, panel.height, px(7)), CASE)
    show = display(layout)
    plate.area(rounded(show.x - panel.x, show.y - panel.y, show.width, show.height, px(3)), DIAL)
    x, y = layout.dial.centre[0] - panel.x, layout.dial.centre[1] - panel.y
    radius = layout.dial.width / 2.0
    ticks = []
    for n in range(10):
        turned = math.radians(FIRST_DEG + (LAST_DEG - FIRST_DEG) * n / 9.0)
        across, up = math.sin(turned), math.cos(turned)
        ticks.append([(x + across * r, y - up * r) for r in (0.86 * radius, 0.99 * radius)])
    plate.strokes(ticks, (236, 239, 241), 1.4 * layout.scale)
    knob: Ramp = ((0.0, (250, 251, 251)), (0.4, (206, 212, 216)), (1.0, (120, 128, 134)))
    plate.area(ellipse(x, y, 0.80 * radius, 0.80 * radius), IRON)
    plate.shaded(ellipse(x, y, 0.74 * radius, 0.74 * radius), knob, upright=True)
    for side in (-1, 1):
        at_x, at_y, arm = x + side * 0.78 * panel.width / 2.0, y + 0.78 * radius, px(5)
        plate.stroke([(at_x - arm, at_y), (at_x + arm, at_y)], STEEL_LIGHT, 2.0 * layout.scale)
    plate.stroke([(at_x, at_y - arm), (at_x, at_y + arm)], STEEL_LIGHT, 2.0 * layout.scale)
    return plate.finished()
