"""The laboratory corner without its apparatus: wall, floor, table, shelf, rule, call-out frames.

It stands still, so it is painted once for a layout and kept by the caller. The towel over the
table's edge is painted apart, since it can be carried.
"""

from __future__ import annotations

from functools import lru_cache

import pygame

from sim.bench.screen.apparatus.brush import (
    Plate,
    ellipse,
    gradient,
    in_box,
    pour,
    put,
    rounded,
    smooth,
    soft_box,
    soft_ellipse,
)
from sim.bench.screen.apparatus.rule import rule_sprite, stand_sprite
from sim.bench.screen.layout import Layout
from sim.bench.ui.theme import (
    FLOOR_FAR,
    FLOOR_NEAR,
    FRAME_STROKE,
    INK,
    LENS_FRAME,
    LENS_GROUND,
    SKIRTING,
    STEEL_DARK,
    STEEL_LIGHT,
    STEEL_MID,
    TABLE_EDGE,
    TABLE_FRONT,
    TABLE_TOP,
    TOWEL,
    TOWEL_STRIPE,
    TYPE_TEXT,
    WALL_LIGHT,
    WALL_SHADE,
    Box,
    mixed,
)


def draw_frames(surface: pygame.Surface, layout: Layout) -> None:
    """The lens's frame, and the thermometer's call-out with its unit."""
    _frame(surface, layout, layout.lens)
    box = layout.thermometer_lens
    _frame(surface, layout, box)
    y = box.y + layout.px(6) + layout.thermometer_heading_px / 2.0
    put(surface, "°C", layout.mark_px(TYPE_TEXT), (box.right - layout.px(14), y), INK, "right")


def _frame(surface: pygame.Surface, layout: Layout, box: Box) -> None:
    """A rounded frame on a soft shadow; only its corners need a fine brush."""
    m, edge, radius = layout.px(8), round(FRAME_STROKE * layout.scale), layout.px(10)
    surface.blit(soft_box(box.width, box.height, m, (40, 40, 40, 100)), (box.x - m, box.y - m))
    for outer, paint in ((box, LENS_FRAME), (box.inset(edge), LENS_GROUND)):
        surface.fill(paint, (outer.x + radius, outer.y, outer.width - 2 * radius, outer.height))
        surface.fill(paint, (outer.x, outer.y + radius, outer.width, outer.height - 2 * radius))
        plate = Plate(2 * radius, 2 * radius)
        plate.area(rounded(0, 0, 2 * radius, 2 * radius, radius), paint)
        disc = plate.finished()
        for x, left in ((outer.x, 0), (outer.right - radius, radius)):
            for y, top in ((outer.y, 0), (outer.bottom - radius, radius)):
                surface.blit(disc, (x, y), (left, top, radius, radius))


SKIRTING_PX = 26


def draw_room(layout: Layout) -> pygame.Surface:
    """The corner with nothing on the table. As large as `layout.corner`, without alpha."""
    picture = pygame.Surface(layout.corner[2:])
    _wall(picture, layout)
    _floor(picture, layout)
    _shelf(picture, layout)
    _hook(picture, layout)
    _table(picture, layout)
    _mat(picture, layout)
    _dish(picture, layout)
    picture.blit(*stand_sprite(layout))
    shadow = soft_box(layout.rule.width, layout.rule.height, layout.px(5), (60, 50, 40, 70))
    picture.blit(shadow, (layout.rule.x - layout.px(1), layout.rule.y - layout.px(4)))
    picture.blit(rule_sprite(layout), layout.rule[:2])
    draw_frames(picture, layout)
    return picture


def _wall(picture: pygame.Surface, layout: Layout) -> None:
    width, floor_px = layout.corner.width, layout.floor_line_px
    pour(picture, (0, 0, width, floor_px), [(0.0, WALL_LIGHT), (1.0, WALL_SHADE)])
    dusk = [(0.0, (255, 255, 250, 70)), (0.45, (255, 255, 250, 0)), (1.0, (90, 96, 96, 46))]
    picture.blit(gradient((width, floor_px), dusk, upright=True), (0, 0))
    high = layout.px(SKIRTING_PX)
    top = floor_px - high
    board = [(0.0, SKIRTING), (0.16, (255, 254, 250)), (0.22, SKIRTING), (1.0, (222, 218, 208))]
    pour(picture, (0, top, width, high), board, upright=True)
    pygame.draw.line(picture, (176, 176, 168), (0, top - 1), (width, top - 1))


def _floor(picture: pygame.Surface, layout: Layout) -> None:
    width, top = layout.corner.width, layout.floor_line_px
    deep = layout.corner.height - top
    boards = [(0.0, mixed(FLOOR_FAR, (0, 0, 0), 0.22)), (0.08, FLOOR_FAR), (1.0, FLOOR_NEAR)]
    pour(picture, (0, top, width, deep), boards, upright=True)
    vanishing, spacing = width * 0.45, layout.px(92)
    dark, light = mixed(FLOOR_FAR, (80, 62, 44), 0.30), mixed(FLOOR_FAR, (255, 240, 215), 0.22)
    foot = layout.corner.height
    for n in range(-14, 15):
        far, near = vanishing + n * spacing * 0.62, vanishing + n * spacing
        pygame.draw.aaline(picture, light, (far + 1.5, top), (near + 1.5, foot))
        pygame.draw.aaline(picture, dark, (far, top), (near, foot))


def _shelf(picture: pygame.Surface, layout: Layout) -> None:
    """A plank on two brackets, for the camera."""
    box, px = layout.camera_shelf, layout.px
    board_y = box.bottom - px(18)
    shade = soft_box(box.width - px(12), px(10), px(6), (60, 60, 56, 90))
    picture.blit(shade, (box.x + px(4), board_y + px(4)))
    plate = Plate(box.width, px(24))
    w, edge = float(box.width), float(px(7))
    for x in (w * 0.16, w * 0.80):
        foot = float(px(20))
        plate.area([(x, edge), (x + px(9), edge), (x + px(3), foot), (x, foot)], STEEL_DARK)
    plate.area(rounded(0, 0, w, edge, 2), TABLE_FRONT)
    plate.area(rounded(0, 0, w, edge * 0.42, 1), mixed(TABLE_TOP, (255, 255, 255), 0.25))
    picture.blit(plate.finished(), (box.x, board_y))


def _hook(picture: pygame.Surface, layout: Layout) -> None:
    """The hook that the stopwatch hangs on, and its shadow."""
    box, px = layout.stopwatch, layout.px
    x, y = box.centre[0], box.y
    picture.blit(soft_ellipse(px(22), px(22), (50, 50, 50, 90)), (x - px(9), y - px(7)))
    plate = Plate(px(18), px(18))
    middle = px(18) / 2.0
    plate.area(ellipse(middle, middle, middle - 2, middle - 2), STEEL_MID)
    plate.area(ellipse(middle - 1, middle - 1, middle * 0.5, middle * 0.5), STEEL_LIGHT)
    picture.blit(plate.finished(), (x - px(9), y - px(9)))


def _table(picture: pygame.Surface, layout: Layout) -> None:
    top, px = layout.table, layout.px
    foot = layout.message.y - px(2)
    picture.blit(
        soft_ellipse(top.width + px(60), px(70), (40, 30, 20, 120)), (top.x - px(20), foot - px(46))
    )
    _legs(picture, layout, foot)
    inset, edge, apron = px(20), px(13), px(56)
    skirt = [(0.0, (196, 154, 108)), (0.5, TABLE_FRONT), (1.0, (160, 120, 78))]
    wide = top.width - 2 * inset
    at = (top.x + inset, top.bottom + edge - 1)
    picture.blit(gradient((wide, apron), skirt), at)
    under = [(0.0, (60, 36, 14, 120)), (1.0, (60, 36, 14, 0))]
    picture.blit(gradient((wide, px(14)), under, upright=True), at)
    _drawer(picture, layout)
    _table_top(picture, layout)


def _legs(picture: pygame.Surface, layout: Layout, foot: int) -> None:
    """Two legs at the back in the shade, two at the front."""
    top, px = layout.table, layout.px
    start, leg = top.bottom + px(8), px(34)
    for x in (top.x + px(44), top.right - px(44) - px(24)):
        picture.fill((122, 88, 54), (x, start, px(24), foot - start - px(34)))
    ramp = [(0.0, (206, 166, 120)), (0.35, TABLE_FRONT), (1.0, (136, 98, 60))]
    front = gradient((leg, foot - start), ramp)
    for x in (top.x + px(14), top.right - px(14) - leg):
        picture.blit(front, (x, start))


def _table_top(picture: pygame.Surface, layout: Layout) -> None:
    """The board: its upper face in perspective with its grain, and its front edge."""
    top, px = layout.table, layout.px
    edge, inset = float(px(13)), float(px(20))
    x1, front = float(top.width), float(top.height)
    plate = Plate(x1, front + edge)
    wood = [(0.0, (222, 188, 144)), (0.45, TABLE_TOP), (1.0, (190, 150, 104))]
    plate.shaded([(inset, 0.0), (x1 - inset, 0.0), (x1, front), (0.0, front)], wood)
    for n, share in enumerate((0.16, 0.34, 0.55, 0.79)):
        y, shift = front * share, inset * (1.0 - share)
        grain = [(shift + 6, y), (px(160 + 40 * n), y + 1.5), (x1 - shift - 6, y)]
        plate.stroke(grain, (150, 106, 62, 46), 1.0)
    rim = [(0.0, (196, 152, 104)), (0.3, TABLE_EDGE), (1.0, (136, 98, 60))]
    plate.shaded(rounded(0.0, front, x1, edge, 2), rim, upright=True)
    plate.stroke([(2.0, front + 0.5), (x1 - 2, front + 0.5)], (240, 212, 168, 170), 1.2)
    picture.blit(plate.finished(), top[:2])


def _drawer(picture: pygame.Surface, layout: Layout) -> None:
    """A drawer front with a cup handle, right of the towel."""
    top, px = layout.table, layout.px
    width, height = px(180), px(40)
    plate = Plate(width, height)
    plate.area(rounded(0, 0, width, height, 3), (120, 84, 48))
    face = [(0.0, (204, 162, 116)), (1.0, (178, 136, 92))]
    plate.shaded(rounded(1.5, 1.5, width - 3, height - 3, 3), face)
    middle = width / 2.0
    plate.area(ellipse(middle, height * 0.42, px(20), px(11), 0, 180), (70, 48, 28, 120))
    metal = [(0.0, STEEL_LIGHT), (0.5, STEEL_MID), (1.0, STEEL_DARK)]
    plate.shaded(ellipse(middle, height * 0.36, px(20), px(10), 0, 180), metal)
    picture.blit(plate.finished(), (top.x + px(190), top.bottom + px(21)))


def _mat(picture: pygame.Surface, layout: Layout) -> None:
    """The heat-proof mat under the beaker."""
    glass, px = layout.beaker, layout.px
    width, height = glass.width + px(44), px(26)
    plate = Plate(width, height + px(4))
    side = float(px(12))
    upper = [(side, 1.0), (width - side, 1.0), (width - 1.0, height), (1.0, float(height))]
    plate.area([(x, y + px(3)) for x, y in upper], (92, 92, 90))
    plate.shaded(upper, [(0.0, (186, 188, 184)), (1.0, (142, 146, 144))])
    plate.stroke([upper[3], upper[0], upper[1]], (214, 216, 212, 160), 1.0)
    at = (glass.x - px(22), glass.bottom - px(18))
    picture.blit(
        soft_ellipse(width + px(26), px(26), (60, 36, 14, 110)), (at[0] - 2, at[1] + px(10))
    )
    picture.blit(plate.finished(), at)


def _dish(picture: pygame.Surface, layout: Layout) -> None:
    """The shallow dish in which the ball lies."""
    box, px = layout.tray, layout.px
    width, height = float(box.width), float(px(30))
    shade = soft_ellipse(box.width + px(24), px(30), (60, 36, 14, 130))
    picture.blit(shade, (box.x - px(6), box.bottom - px(24)))
    plate = Plate(width, height + px(6))
    middle, across = width / 2.0, width / 2.0 - 1.0
    base = [(x, y + px(6)) for x, y in ellipse(middle, height * 0.56, across * 0.74, height * 0.34)]
    plate.shaded(base, [(0.0, (214, 210, 200)), (1.0, (150, 146, 138))])
    bowl = [(0.0, (252, 250, 244)), (0.5, (232, 229, 220)), (1.0, (188, 184, 174))]
    plate.shaded(
        [
            *ellipse(middle, height * 0.46, across, height * 0.44, 0, 180),
            *[(x, y) for x, y in ellipse(middle, height * 0.46, across, height * 0.44, 180, 360)],
        ],
        bowl,
    )
    inner = [(0.0, (168, 164, 156)), (0.5, (208, 204, 194)), (1.0, (236, 233, 225))]
    plate.shaded(ellipse(middle, height * 0.45, across * 0.86, height * 0.35), inner)
    picture.blit(plate.finished(), (box.x, box.bottom - px(34)))


def draw_towel(surface: pygame.Surface, layout: Layout, at: tuple[int, int] | None = None) -> None:
    """The towel; `at` is its box's upper left corner while it is carried."""
    box = layout.towel
    surface.blit(_towel(box.width, box.height), at if at is not None else box[:2])


@lru_cache(maxsize=2)
def _towel(width: int, height: int) -> pygame.Surface:
    w, h = float(width), float(height)
    picture = pygame.Surface((width, height), pygame.SRCALPHA)
    shade = soft_box(round(w * 0.86), round(h * 0.80), round(w * 0.06), (40, 24, 8, 110))
    picture.blit(shade, (round(w * 0.04), round(h * 0.10)))
    plate = Plate(width, height)
    hem = smooth(
        in_box(w, h, [(0.04, 0.94), (0.25, 0.97), (0.48, 0.94), (0.72, 0.97), (0.94, 0.93)])
    )
    cloth = [
        (w * 0.08, 1.0),
        (w * 0.90, 1.0),
        (w * 0.94, h * 0.14),
        *reversed(hem),
        (w * 0.03, h * 0.14),
    ]
    light, dark = mixed(TOWEL, (255, 255, 255), 0.6), mixed(TOWEL, (70, 60, 48), 0.34)
    folds = [
        (0.0, dark),
        (0.06, TOWEL),
        (0.18, light),
        (0.30, TOWEL),
        (0.36, dark),
        (0.42, TOWEL),
        (0.56, light),
        (0.68, TOWEL),
        (0.73, dark),
        (0.80, TOWEL),
        (0.90, light),
        (1.0, dark),
    ]
    plate.shaded(cloth, folds)
    for share, thick in ((0.74, 0.045), (0.82, 0.020)):
        band = [
            (w * 0.035, h * share),
            (w * 0.94, h * share),
            (w * 0.94, h * (share + thick)),
            (w * 0.035, h * (share + thick)),
        ]
        plate.area(band, (*TOWEL_STRIPE, 205))
    fold = [
        (0.0, (255, 255, 255, 120)),
        (0.10, (255, 255, 255, 30)),
        (0.16, (60, 44, 28, 80)),
        (0.24, (60, 44, 28, 0)),
        (1.0, (60, 44, 28, 40)),
    ]
    plate.shaded(cloth, fold, upright=True)
    for n in range(16):
        x = w * (0.06 + 0.87 * n / 15.0)
        plate.stroke(
            [(x, h * 0.945), (x - w * 0.006, h * 0.99)], mixed(TOWEL, (90, 80, 66), 0.3), w * 0.016
        )
    picture.blit(plate.finished(), (0, 0))
    return picture
