"""The ball: matt black rubber, wet or dry, and its shadow on the floor."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import pygame
from numpy.typing import NDArray

from sim.bench.apparatus.brush import soft_ellipse
from sim.bench.layout import Layout
from sim.bench.theme import RUBBER

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


@lru_cache(maxsize=64)
def _shadow(radius: int, far: int) -> pygame.Surface:
    width = round(radius * (2.7 + 0.10 * far))
    opacity = round(185 / (1.0 + 0.30 * far))
    return soft_ellipse(width, max(4, round(width * 0.32)), (30, 22, 14, opacity))
