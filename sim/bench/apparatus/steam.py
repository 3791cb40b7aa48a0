"""Steam over hot water, and the stream of water that is poured."""

from __future__ import annotations

import math
from functools import lru_cache

import pygame

from sim.bench.apparatus.brush import gradient, soft_ellipse

FAINT_C, FULL_C = 42.0, 95.0
"""Below the first no steam is seen; at the second it is at its thickest."""
WISPS, PUFFS = 3, 14
SIZES, SHADES = 8, 10


def draw_steam(
    surface: pygame.Surface,
    mouth: tuple[float, float],
    spread_px: float,
    temperature_c: float,
    time_s: float,
) -> None:
    """Faint wisps that rise from `mouth`, over a width of `spread_px`.

    The same temperature and time always give the same wisps.
    """
    strength = min(max((temperature_c - FAINT_C) / (FULL_C - FAINT_C), 0.0), 1.0)
    if strength == 0.0:
        return
    high = spread_px * (0.7 + 0.8 * strength)
    puffs = []
    for wisp in range(WISPS):
        lag = wisp * 0.23
        root = mouth[0] + spread_px * 0.27 * (wisp - (WISPS - 1) / 2.0)
        reach = high * (1.0 - 0.16 * abs(wisp - 1))
        for puff in range(PUFFS):
            share = (puff + (time_s * 2.6 + lag) % 1.0) / PUFFS
            shade = round(SHADES * strength * math.sin(math.pi * share) * (1.0 - 0.45 * share))
            if shade:
                sway = math.sin(2.0 * math.pi * (share * 0.8 - time_s * 0.18 - lag))
                x = root + spread_px * sway * (0.04 + 0.15 * share)
                puffs.append((share, shade, x, mouth[1] - reach * share))
    surface.fblits([_placed(spread_px, *puff) for puff in puffs])


def _placed(
    spread_px: float, share: float, shade: int, x: float, y: float
) -> tuple[pygame.Surface, tuple[int, int]]:
    """One soft blot of a wisp, a `share` of the way up."""
    sprite = _blot(round(spread_px), 1 + int((SIZES - 1) * share), shade)
    return sprite, (round(x - sprite.get_width() / 2), round(y - sprite.get_height() / 2))


@lru_cache(maxsize=4 * SIZES * SHADES)
def _blot(spread: int, size: int, shade: int) -> pygame.Surface:
    wide, tall = round(spread * (0.14 + 0.05 * size)), round(spread * (0.24 + 0.04 * size))
    veil = soft_ellipse(wide + 6, tall + 6, (136, 152, 160, round(3.4 * shade)))
    veil.blit(soft_ellipse(wide, tall, (255, 255, 255, round(6.0 * shade))), (2, 2))
    return veil


def draw_stream(
    surface: pygame.Surface, lip: tuple[float, float], end_y: float, width_px: int
) -> None:
    """Water falling from a lip to a level."""
    length = round(end_y - lip[1])
    if length > 0:
        surface.blit(_stream(width_px, length), (round(lip[0] - width_px / 2), round(lip[1])))


@lru_cache(maxsize=32)
def _stream(width: int, length: int) -> pygame.Surface:
    ramp = [
        (0.0, (96, 146, 170, 120)),
        (0.3, (226, 240, 246, 190)),
        (0.6, (150, 194, 212, 160)),
        (1.0, (88, 136, 160, 130)),
    ]
    return gradient((width, length), ramp)
