"""The lens panel: the rule's strip at the eye's level, so large that millimetres are read."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import pygame

from sim.bench.apparatus.ball import draw_ball
from sim.bench.apparatus.brush import gradient
from sim.bench.apparatus.rule import rule_strip
from sim.bench.apparatus.tongs import draw_held_ball
from sim.bench.apparatus.words import put
from sim.bench.eye import Sight
from sim.bench.layout import BALL_RADIUS_M, Layout
from sim.bench.theme import EYE, FLOOR_FAR, INK, LENS_FRAME, TYPE_TEXT, WALL_SHADE


@dataclass(frozen=True)
class BallSeen:
    """The ball beside the rule: its lowest point, wet or dry, in the tongs or free."""

    lowest_m: float
    wet: bool = False
    held: bool = False


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
    put(surface, heading, layout.type_px(TYPE_TEXT), (panel.x + px(12), _heading_y(layout)), INK)
    kept = surface.get_clip()
    surface.set_clip(pygame.Rect(view).clip(kept))
    _strip(surface, layout, sight)
    if ball is not None:
        _ball(surface, layout, sight, ball)
    level = round(sight.to_px(sight.eye_height_m))
    if view.y <= level < view.bottom:
        _eye_level(surface, layout, level)
    surface.blit(_glass(layout), view[:2])
    surface.set_clip(kept)


def draw_ball_at_rule(
    surface: pygame.Surface, layout: Layout, sight: Sight, ball: BallSeen
) -> None:
    """The ball before the rule in the wall view, as the eye of `sight` sees it."""
    _ball_at(surface, layout.ball_x_px, sight, ball)


def _ball(surface: pygame.Surface, layout: Layout, sight: Sight, ball: BallSeen) -> None:
    _ball_at(surface, layout.lens_edge_px, sight, ball)


def _ball_at(surface: pygame.Surface, x: int, sight: Sight, ball: BallSeen) -> None:
    top, lowest = sight.ball_span_px(ball.lowest_m, 2.0 * BALL_RADIUS_M)
    draw = draw_held_ball if ball.held else draw_ball
    draw(surface, x, lowest, (lowest - top) / 2.0, ball.wet)


def _heading_y(layout: Layout) -> float:
    return layout.lens.y + layout.px(6) + layout.type_px(24) / 2.0


def _strip(surface: pygame.Surface, layout: Layout, sight: Sight) -> None:
    """Wall, floor and the rule's wood in the lens."""
    view, edge = layout.lens_view, layout.lens_edge_px
    surface.fill(WALL_SHADE, view)
    floor = round(sight.floor_y_px)
    if floor < view.bottom:
        surface.fill(FLOOR_FAR, (view.x, floor, view.width, view.bottom - floor))
    strip = rule_strip(layout, view.right - edge)
    surface.fill(
        (150, 150, 142),
        (edge - layout.px(3), round(sight.to_px(1.0)), layout.px(3), strip.get_height()),
    )
    surface.blit(strip, (edge, floor - strip.get_height()))


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
