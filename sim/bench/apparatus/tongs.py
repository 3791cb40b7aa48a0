"""The tongs: on their rest, in the air, and round the ball.

Shapes are measured in the ball's radius, from the ball's middle, so that the same
tongs fit the ball at the table, at the rule and in the lens.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import pygame

from sim.bench.apparatus.ball import draw_ball
from sim.bench.apparatus.brush import Plate, Point, ellipse, rounded, smooth, soft_ellipse
from sim.bench.layout import Layout
from sim.bench.theme import STEEL_DARK

RIVET: Point = (-3.1, -0.78)
NEAR_ARM: tuple[Point, ...] = (
    (-5.9, -1.10),
    (-4.5, -1.02),
    RIVET,
    (-2.1, -0.92),
    (-1.15, -0.78),
    (-0.45, -0.42),
    (0.12, -0.10),
)
FAR_ARM: tuple[Point, ...] = (
    (-5.7, -2.35),
    (-4.4, -1.50),
    RIVET,
    (-2.2, -0.30),
    (-1.4, -0.02),
    (-0.6, 0.02),
    (0.0, 0.0),
)
NEAR_RING: Point = (-6.35, -1.12)
FAR_RING: Point = (-6.05, -2.62)
OPEN_DEG = 13.0
MARGIN = 0.75
"""Room round the arms' points for rings and thickness, in radii."""
CLOSE_UP_PX = 40
"""From this radius on only the jaws are painted: the lens shows no more of the tongs."""
UPRIGHT_DEG = 62
"""Turned so far, the tongs reach down into a beaker over its rim."""


def draw_tongs(
    surface: pygame.Surface, x: float, y: float, radius_px: float, is_open: bool = True
) -> None:
    """Empty tongs about a place where a ball of that radius would be."""
    for near in (False, True):
        _lay(surface, _Arm(round(radius_px), near, is_open), (x, y))


def draw_held_ball(
    surface: pygame.Surface,
    x: float,
    lowest_px: float,
    radius_px: float,
    wet: bool = False,
    turn_deg: int = 0,
) -> None:
    """The ball gripped by the tongs, its lowest point free to be seen.

    `turn_deg` turns the tongs clockwise about the ball, `UPRIGHT_DEG` for the beaker.
    """
    radius, at = round(radius_px), (x, lowest_px - radius_px)
    _lay(surface, _Arm(radius, False, False, turn_deg), at)
    draw_ball(surface, x, lowest_px, radius_px, wet)
    _lay(surface, _Arm(radius, True, False, turn_deg), at)


def draw_tongs_at_rest(surface: pygame.Surface, layout: Layout) -> None:
    """The tongs lying across their rest on the table."""
    surface.blit(_resting(layout), layout.tongs[:2])


class _Arm(NamedTuple):
    """One arm of the tongs, for a ball of `radius` pixels."""

    radius: int
    near: bool
    is_open: bool
    turn_deg: int = 0

    def placed(self, points: Sequence[Point]) -> list[Point]:
        """Points of the plan, in pixels from the ball's middle."""
        splayed = (-OPEN_DEG if self.near else OPEN_DEG) if self.is_open else 0.0
        about_ball = _turned(_turned(points, splayed, RIVET), self.turn_deg, (0.0, 0.0))
        return [(x * self.radius, y * self.radius) for x, y in about_ball]


def _lay(surface: pygame.Surface, arm: _Arm, at: Point) -> None:
    sprite, (left, top) = _painted(arm)
    surface.blit(sprite, (round(at[0] + left), round(at[1] + top)))


@lru_cache(maxsize=64)
def _painted(arm: _Arm) -> tuple[pygame.Surface, Point]:
    """The arm, and where its upper left corner lies from the ball's middle."""
    radius = arm.radius
    bar = smooth(arm.placed(NEAR_ARM if arm.near else FAR_ARM))
    ring = arm.placed([NEAR_RING if arm.near else FAR_RING])[0]
    corner, size = _reach(radius, [*bar, ring])
    plate = Plate(*size)
    _steel(plate, _from(corner, bar), 0.25 * radius)
    _ring(plate, _from(corner, [ring])[0], radius)
    if arm.near:
        _pad(plate, _from(corner, bar[-1:])[0], radius)
        _rivet(plate, _from(corner, arm.placed([RIVET]))[0], radius)
    return plate.finished(), corner


def _reach(radius: int, points: Sequence[Point]) -> tuple[Point, Point]:
    """Upper left corner and size of what is painted: all of it, or the jaws in a close-up."""
    near = [point for point in points if radius < CLOSE_UP_PX or point[0] > -1.6 * radius]
    across, down = zip(*near, strict=True)
    margin = MARGIN * radius
    corner = (min(across) - margin, min(down) - margin)
    return corner, (max(across) + margin - corner[0], max(down) + margin - corner[1])


def _from(corner: Point, points: Sequence[Point]) -> list[Point]:
    return [(x - corner[0], y - corner[1]) for x, y in points]


def _pad(plate: Plate, tip: Point, radius: float) -> None:
    """The flat end of the near arm, on the ball's face."""
    plate.area(ellipse(*tip, 0.27 * radius, 0.20 * radius), (70, 76, 82))
    lit = (tip[0] - 0.03 * radius, tip[1] - 0.04 * radius)
    plate.area(ellipse(*lit, 0.20 * radius, 0.13 * radius), (150, 157, 163))


def _turned(points: Sequence[Point], turn_deg: float, about: Point) -> list[Point]:
    """Points turned clockwise about another."""
    cos, sin = math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))
    return [
        (
            about[0] + (x - about[0]) * cos - (y - about[1]) * sin,
            about[1] + (x - about[0]) * sin + (y - about[1]) * cos,
        )
        for x, y in points
    ]


def _steel(plate: Plate, path: list[Point], width: float) -> None:
    """A round steel bar along a path, lit from above."""
    plate.stroke(path, STEEL_DARK, width)
    plate.stroke([(x, y - width * 0.10) for x, y in path], (148, 156, 163), width * 0.66)
    plate.stroke([(x, y - width * 0.22) for x, y in path], (232, 236, 239), width * 0.24)


def _ring(plate: Plate, middle: Point, radius: float) -> None:
    ring = ellipse(middle[0], middle[1], 0.50 * radius, 0.40 * radius)
    _steel(plate, [*ring, ring[0]], 0.22 * radius)


def _rivet(plate: Plate, at: Point, radius: float) -> None:
    plate.area(ellipse(*at, 0.24 * radius, 0.24 * radius), (62, 68, 74))
    plate.area(ellipse(at[0], at[1] - 0.03 * radius, 0.18 * radius, 0.18 * radius), (176, 183, 188))
    plate.area(
        ellipse(at[0] - 0.05 * radius, at[1] - 0.08 * radius, 0.07 * radius, 0.06 * radius),
        (250, 250, 250),
    )


@lru_cache(maxsize=2)
def _resting(layout: Layout) -> pygame.Surface:
    box, px = layout.tongs, layout.px
    w, h = float(box.width), float(box.height)
    picture = pygame.Surface(box[2:], pygame.SRCALPHA)
    picture.blit(soft_ellipse(box.width, px(20), (50, 30, 10, 120)), (0, box.height - px(26)))
    plate = Plate(w, h)
    block = rounded(w * 0.56, h * 0.50, w * 0.15, h * 0.30, 2)
    plate.shaded(block, [(0.0, (150, 104, 62)), (1.0, (98, 64, 34))], upright=True)
    thick = float(px(5))
    far = smooth(
        [
            (w * 0.14, h * 0.42),
            (w * 0.36, h * 0.54),
            (w * 0.56, h * 0.46),
            (w * 0.80, h * 0.26),
            (w * 0.98, h * 0.44),
        ]
    )
    near = smooth(
        [
            (w * 0.15, h * 0.70),
            (w * 0.36, h * 0.58),
            (w * 0.56, h * 0.46),
            (w * 0.80, h * 0.72),
            (w * 0.98, h * 0.56),
        ]
    )
    for path, ring in ((far, (w * 0.08, h * 0.36)), (near, (w * 0.09, h * 0.76))):
        loop = ellipse(ring[0], ring[1], w * 0.065, h * 0.14)
        _steel(plate, [*loop, loop[0]], thick * 0.85)
        _steel(plate, path, thick)
    _rivet(plate, (w * 0.50, h * 0.50), float(px(14)))
    picture.blit(plate.finished(), (0, 0))
    return picture
