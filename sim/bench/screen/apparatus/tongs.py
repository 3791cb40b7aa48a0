"""The ball, wet or dry, its shadow, and the tongs that hold it.

The tongs' shapes are measured in the ball's radius, from the ball's middle, so that the same
tongs fit the ball at the table, at the rule and in the lens.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import pygame
from numpy.typing import NDArray

from sim.bench.screen.apparatus.brush import (
    Plate,
    Point,
    ellipse,
    in_box,
    rounded,
    smooth,
    soft_ellipse,
)
from sim.bench.screen.layout import Layout
from sim.bench.ui.theme import RUBBER, STEEL_DARK

LIGHT = (-0.46, -0.66, 0.594)
"""Where the light comes from: upper left, a little to the front; x right, y down."""
HALFWAY = tuple(v / math.sqrt(2.0 * (1.0 + LIGHT[2])) for v in (LIGHT[0], LIGHT[1], LIGHT[2] + 1.0))
"""Halfway between the light and the eye: the direction that shines."""
RADIUS_STEP_PX = 0.25

Shade = NDArray[np.floating]


def draw_ball(
    surface: pygame.Surface, x: float, lowest_px: float, radius_px: float, wet: bool = False
) -> None:
    """The ball with its middle in column `x` and its lowest point on the edge `lowest_px`."""
    sprite = ball_sprite(round(radius_px / RADIUS_STEP_PX), wet)
    width, height = sprite.get_size()
    surface.blit(sprite, (round(x - width / 2.0), round(lowest_px) - (height - 1)))


@lru_cache(maxsize=96)
def ball_sprite(radius_steps: int, wet: bool) -> pygame.Surface:
    """The ball; its lowest point lies on the upper edge of the last row."""
    radius = radius_steps * RADIUS_STEP_PX
    side = math.ceil(2.0 * radius) + 2
    across = (np.arange(side) + 0.5 - side / 2.0)[:, np.newaxis]
    down = (np.arange(side) + 0.5 - (side - 1 - radius))[np.newaxis, :]
    distance = np.hypot(across, down)
    nx, ny = across / radius, down / radius
    nz = np.sqrt(np.clip(1.0 - nx * nx - ny * ny, 0.0, 1.0))
    lit = np.clip(nx * LIGHT[0] + ny * LIGHT[1] + nz * LIGHT[2], 0.0, 1.0)
    shine = np.clip(nx * HALFWAY[0] + ny * HALFWAY[1] + nz * HALFWAY[2], 0.0, 1.0)
    bounced = np.clip(ny, 0.0, 1.0) * (1.0 - nz) * 26.0
    glow = 46.0 * lit + 34.0 * shine**7 + bounced
    if wet:
        glow = glow + 190.0 * shine**70 + 60.0 * (1.0 - nz) ** 4 + 34.0 * _streak(nx, ny)
    picture = pygame.Surface((side, side), pygame.SRCALPHA)
    base = np.array(RUBBER, dtype=np.float64) * 0.62
    tint = np.array([1.0, 1.0, 1.04])
    colours = np.clip(base + glow[:, :, np.newaxis] * tint, 0.0, 255.0)
    pygame.surfarray.pixels3d(picture)[:] = np.round(colours)
    cover = np.clip(radius - distance + 0.5, 0.0, 1.0)
    pygame.surfarray.pixels_alpha(picture)[:] = np.round(255.0 * cover)
    return picture


def _streak(nx: Shade, ny: Shade) -> Shade:
    """The sheen of a film of water: a bright crescent at the lower right."""
    ring = np.exp(-(((np.hypot(nx, ny) - 0.80) / 0.07) ** 2))
    turned = np.clip((nx + ny) / math.sqrt(2.0), 0.0, 1.0)
    return np.asarray(ring * turned**4)


def draw_floor_shadow(
    surface: pygame.Surface, layout: Layout, x: float, height_m: float, radius_px: float
) -> None:
    """The ball's shadow on the floor: wider and fainter the higher the ball is."""
    far = min(int(max(height_m, 0.0) * 20.0), 20)
    sprite = _shadow(round(radius_px), far)
    width, height = sprite.get_size()
    shift = layout.px(2 + far)
    at = (round(x - width / 2.0 + shift), layout.rule.bottom - round(height * 0.55))
    surface.blit(sprite, at)


def draw_resting_shadow(surface: pygame.Surface, x: float, lowest_px: float, r: float) -> None:
    """The shadow of a ball that lies in its dish."""
    sprite = _shadow(round(r), 0)
    width, height = sprite.get_size()
    surface.blit(sprite, (round(x - width * 0.46), round(lowest_px - height * 0.55)))


def _shadow(radius: int, far: int) -> pygame.Surface:
    width = round(radius * (2.7 + 0.10 * far))
    opacity = round(185 / (1.0 + 0.30 * far))
    return soft_ellipse(width, max(4, round(width * 0.32)), (30, 22, 14, opacity))


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
MARGIN = 0.75
"""Room round the arms' points for rings and thickness, in radii."""
CLOSE_UP_PX = 40
"""From this radius on only the jaws are painted: the lens shows no more of the tongs."""
UPRIGHT_DEG = 62
"""Turned so far, the tongs reach down into a beaker over its rim."""


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
    _lay(surface, _Arm(radius, False, turn_deg), at)
    draw_ball(surface, x, lowest_px, radius_px, wet)
    _lay(surface, _Arm(radius, True, turn_deg), at)


def draw_tongs_at_rest(surface: pygame.Surface, layout: Layout) -> None:
    """The tongs lying across their rest on the table."""
    surface.blit(_resting(layout), layout.tongs[:2])


class _Arm(NamedTuple):
    """One arm of the tongs, for a ball of `radius` pixels."""

    radius: int
    near: bool
    turn_deg: int = 0

    def placed(self, points: Sequence[Point]) -> list[Point]:
        """Points of the plan, in pixels from the ball's middle."""
        cos, sin = math.cos(math.radians(self.turn_deg)), math.sin(math.radians(self.turn_deg))
        return [
            ((x * cos - y * sin) * self.radius, (x * sin + y * cos) * self.radius)
            for x, y in points
        ]


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
        in_box(w, h, [(0.14, 0.42), (0.36, 0.54), (0.56, 0.46), (0.80, 0.26), (0.98, 0.44)])
    )
    near = smooth(
        in_box(w, h, [(0.15, 0.70), (0.36, 0.58), (0.56, 0.46), (0.80, 0.72), (0.98, 0.56)])
    )
    for path, ring in ((far, (w * 0.08, h * 0.36)), (near, (w * 0.09, h * 0.76))):
        loop = ellipse(ring[0], ring[1], w * 0.065, h * 0.14)
        _steel(plate, [*loop, loop[0]], thick * 0.85)
        _steel(plate, path, thick)
    _rivet(plate, (w * 0.50, h * 0.50), float(px(14)))
    picture.blit(plate.finished(), (0, 0))
    return picture
