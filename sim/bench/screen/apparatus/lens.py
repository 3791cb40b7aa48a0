"""The lens panel and the slow-motion camera.

The lens shows the rule's strip at the eye's level, so large that millimetres are read, or a frame
of the camera, which waits on its shelf or stands at a height.
"""

from __future__ import annotations

from functools import lru_cache

import pygame

from analysis.quantity.units import centimetres
from sim.bench.model.seeing import RULE_LENGTH_M, BallSeen
from sim.bench.screen.apparatus.brush import Plate, ellipse, gradient, put, rounded, soft_ellipse
from sim.bench.screen.apparatus.rule import ROD, draw_rule_strip
from sim.bench.screen.apparatus.tongs import draw_ball, draw_held_ball
from sim.bench.screen.layout import BALL_RADIUS_M, Layout
from sim.bench.screen.sight import Sight
from sim.bench.ui.theme import (
    EYE,
    FLOOR_FAR,
    INK,
    IRON,
    LENS_FRAME,
    NOTE_GROUND,
    STEEL_DARK,
    STEEL_MID,
    TYPE_SMALL,
    TYPE_TEXT,
    WALL_SHADE,
    Box,
)


def draw_lens(
    surface: pygame.Surface,
    layout: Layout,
    sight: Sight,
    ball: BallSeen | None = None,
    heading: str = "Height / cm",
) -> None:
    """The strip of the rule seen through `sight` (see `Layout.lens_sight`), and the ball."""
    panel, view, px = layout.lens, layout.lens_view, layout.px
    _pointers(surface, layout, sight)
    put(surface, heading, layout.mark_px(TYPE_TEXT), (panel.x + px(12), _heading_y(layout)), INK)
    kept = surface.get_clip()
    surface.set_clip(pygame.Rect(view).clip(kept))
    _strip(surface, layout, sight)
    if ball is not None:
        draw_ball_seen(surface, layout.lens_edge_px, sight, ball)
    level = round(sight.to_px(sight.eye_height_m))
    if view.y <= level < view.bottom:
        _eye_level(surface, layout, level)
    surface.blit(_glass(layout), view[:2])
    surface.set_clip(kept)


def draw_ball_seen(surface: pygame.Surface, x: int, sight: Sight, ball: BallSeen) -> None:
    """The ball with its middle in column `x` before the rule, as the eye of `sight` sees it."""
    top, lowest = sight.ball_span_px(ball.lowest_m, 2.0 * BALL_RADIUS_M)
    draw = draw_held_ball if ball.held else draw_ball
    draw(surface, x, lowest, (lowest - top) / 2.0, ball.wet)


def _heading_y(layout: Layout) -> float:
    return layout.lens.y + layout.px(6) + layout.mark_px(24) / 2.0


def _strip(surface: pygame.Surface, layout: Layout, sight: Sight) -> None:
    """Wall, floor and the rule's wood in the lens."""
    view, edge = layout.lens_view, layout.lens_edge_px
    surface.fill(WALL_SHADE, view)
    floor = round(sight.floor_y_px)
    if floor < view.bottom:
        surface.fill(FLOOR_FAR, (view.x, floor, view.width, view.bottom - floor))
    slit = layout.px(3)
    top = round(sight.to_px(RULE_LENGTH_M))
    surface.fill((150, 150, 142), (edge - slit, top, slit, floor - top))
    draw_rule_strip(surface, layout, sight, Box(edge, view.y, view.right - edge, view.height))


def _eye_level(surface: pygame.Surface, layout: Layout, row: int) -> None:
    """A broken line at the eye's own level, where there is no parallax."""
    view, dash = layout.lens_view, layout.px(8)
    for x in range(view.x, layout.lens_edge_px, 2 * dash):
        surface.fill(EYE, (x, row, dash, 1))


def _pointers(surface: pygame.Surface, layout: Layout, sight: Sight) -> None:
    """Fine lines from the strip on the rule to the lens that shows it."""
    view, panel = layout.lens_view, layout.lens
    wall = layout.sight(sight.eye_height_m)
    x = layout.rule.right
    rows = [wall.to_px(sight.to_m(row)) for row in (view.y, view.bottom)]
    for row, end in zip(rows, (panel.y + layout.px(8), panel.bottom - layout.px(8)), strict=True):
        pygame.draw.aaline(surface, LENS_FRAME, (x + 2, row), (panel.x + 1, end))
    pygame.draw.line(surface, LENS_FRAME, (x + 2, rows[0]), (x + 2, rows[1]), 2)


@lru_cache(maxsize=2)
def _glass(layout: Layout) -> pygame.Surface:
    """The shade at the lens's rim; nothing over its middle, where it is read."""
    view = layout.lens_view
    rim = (54, 50, 44, 70)
    clear = (54, 50, 44, 0)
    return gradient(view[2:], [(0.0, rim), (0.06, clear), (0.94, clear), (1.0, rim)], upright=True)


def draw_camera_on_shelf(surface: pygame.Surface, layout: Layout) -> None:
    """The camera with its folded stand, not in use."""
    box, px = layout.camera_shelf, layout.px
    board = box.bottom - px(18)
    sprite = _body(px(76), px(52))
    shade = soft_ellipse(px(104), px(14), (40, 30, 20, 130))
    x = box.x + round(box.width * 0.16)
    surface.blit(shade, (x - px(6), board - px(7)))
    surface.blit(sprite, (x, board - sprite.get_height()))
    folded = _folded(px(78), px(20))
    surface.blit(folded, (box.right - folded.get_width() - px(6), board - folded.get_height()))


def draw_camera_on_stand(surface: pygame.Surface, layout: Layout, height_m: float) -> None:
    """The camera at a height: its lens's axis is level with that height on the rule."""
    box, px = layout.camera_on_stand(height_m), layout.px
    x, floor = box.centre[0] + px(4), layout.rule.bottom + px(4)
    feet = _feet(px(58), px(30))
    top = box.y + round(box.height * 0.7)
    length = floor - px(20) - top
    if length > 0:
        surface.blit(_rod(px(6), length), (x - px(3), top))
    surface.blit(feet, (x - feet.get_width() // 2, floor - feet.get_height() + px(3)))
    surface.blit(_body(box.width, box.height), box[:2])
    size = layout.mark_px(TYPE_SMALL)
    label = f"{centimetres(height_m):.0f} cm"
    width = round(size * 0.62 * len(label)) + px(8)
    tag = pygame.Rect(0, 0, width, size + px(6))
    tag.midtop = (box.centre[0], box.bottom + px(3))
    tag.bottom = min(tag.bottom, layout.message.y - px(2))
    tag.right = min(tag.right, layout.lens.x - px(3))
    pygame.draw.rect(surface, NOTE_GROUND, tag, border_radius=px(3))
    pygame.draw.rect(surface, STEEL_DARK, tag, 1, border_radius=px(3))
    put(surface, label, size, tag.center, INK, "middle")


@lru_cache(maxsize=4)
def _rod(width: int, length: int) -> pygame.Surface:
    return gradient((width, length), ROD)


@lru_cache(maxsize=4)
def _body(width: int, height: int) -> pygame.Surface:
    """Seen from the side, its lens to the left at half its height."""
    plate, w, h = Plate(width, height), float(width), float(height)
    barrel = [(0.0, (112, 116, 122)), (0.3, (70, 74, 80)), (1.0, (24, 26, 30))]
    plate.shaded(rounded(w * 0.06, h * 0.32, w * 0.30, h * 0.36, 2), barrel, upright=True)
    plate.shaded(rounded(0, h * 0.25, w * 0.12, h * 0.50, 2), barrel, upright=True)
    plate.area(ellipse(w * 0.03, h * 0.50, w * 0.022, h * 0.17), (104, 150, 176))
    plate.area(ellipse(w * 0.026, h * 0.44, w * 0.010, h * 0.06), (226, 240, 246))
    skin = [(0.0, (108, 112, 118)), (0.16, (78, 82, 88)), (1.0, (36, 38, 43))]
    plate.shaded(rounded(w * 0.32, h * 0.16, w * 0.64, h * 0.70, h * 0.10), skin, upright=True)
    plate.shaded(rounded(w * 0.48, h * 0.04, w * 0.26, h * 0.16, h * 0.05), skin, upright=True)
    plate.area(rounded(w * 0.40, h * 0.34, w * 0.48, h * 0.40, 3), (52, 55, 61))
    plate.stroke([(w * 0.37, h * 0.22), (w * 0.90, h * 0.22)], (176, 181, 187, 190), h * 0.03)
    screen = rounded(w * 0.46, h * 0.40, w * 0.36, h * 0.28, 2)
    plate.shaded(screen, [(0.0, (150, 178, 190)), (1.0, (84, 112, 126))])
    plate.stroke([(w * 0.50, h * 0.47), (w * 0.60, h * 0.45)], (240, 248, 250, 170), h * 0.03)
    plate.shaded(
        rounded(w * 0.54, h * 0.84, w * 0.16, h * 0.14, 1), [(0.0, STEEL_MID), (1.0, IRON)]
    )
    return plate.finished()


@lru_cache(maxsize=4)
def _feet(width: int, height: int) -> pygame.Surface:
    plate, w, h = Plate(width, height), float(width), float(height)
    for x, y in ((0.05, 0.96), (0.95, 0.96), (0.62, 0.80)):
        leg = [(w * 0.5, h * 0.08), (w * x, h * y)]
        plate.stroke(leg, IRON, w * 0.075)
        plate.stroke([(px - 1.0, py - 1.0) for px, py in leg], (142, 147, 153, 190), w * 0.020)
    plate.shaded(rounded(w * 0.40, 1.0, w * 0.20, h * 0.34, 2), [(0.0, STEEL_MID), (1.0, IRON)])
    return plate.finished()


@lru_cache(maxsize=4)
def _folded(width: int, height: int) -> pygame.Surface:
    plate, w, h = Plate(width, height), float(width), float(height)
    for y, shade in ((0.78, (58, 62, 68)), (0.55, (92, 97, 103)), (0.34, (70, 74, 80))):
        plate.stroke([(w * 0.05, h * y), (w * 0.95, h * y)], shade, h * 0.20)
    plate.shaded(
        rounded(w * 0.02, h * 0.22, w * 0.12, h * 0.72, 2), [(0.0, STEEL_MID), (1.0, IRON)]
    )
    return plate.finished()
