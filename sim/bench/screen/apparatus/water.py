"""Water outside the beaker: steam over hot water, the stream that is poured, and what is spilt."""

from __future__ import annotations

import math
from functools import lru_cache

import pygame

from sim.bench.model.seeing import steam_strength
from sim.bench.screen.apparatus.brush import Plate, ellipse, gradient, in_box, smooth, soft_ellipse
from sim.bench.screen.apparatus.rule import rule_sprite, stand_sprite
from sim.bench.screen.layout import Layout
from sim.bench.ui.theme import Box

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
    strength = steam_strength(temperature_c)
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


def draw_floor_puddle(surface: pygame.Surface, layout: Layout) -> None:
    """Spilt water on the floor by the rule; the rule and its stand keep their feet dry."""
    _lay(surface, layout.floor_puddle)
    rule, puddle = layout.rule, layout.floor_puddle
    for sprite, (x, y) in (stand_sprite(layout), (rule_sprite(layout), rule[:2])):
        cut = puddle.y - y
        surface.blit(sprite, (x, puddle.y), (0, cut, sprite.get_width(), sprite.get_height() - cut))


def draw_bench_puddle(surface: pygame.Surface, layout: Layout) -> None:
    """Spilt water on the table by the beaker."""
    _lay(surface, layout.bench_puddle)


def _lay(surface: pygame.Surface, box: Box) -> None:
    surface.blit(_puddle(box.width, box.height), box[:2])


@lru_cache(maxsize=4)
def _puddle(width: int, height: int) -> pygame.Surface:
    w, h = float(width), float(height)
    plate = Plate(width, height)
    edge = [
        (0.02, 0.52),
        (0.12, 0.28),
        (0.30, 0.30),
        (0.46, 0.10),
        (0.66, 0.18),
        (0.80, 0.12),
        (0.98, 0.44),
        (0.90, 0.70),
        (0.72, 0.74),
        (0.56, 0.94),
        (0.34, 0.80),
        (0.14, 0.84),
    ]
    pool = smooth(in_box(w, h, edge), closed=True)
    plate.area([(x, y + h * 0.03) for x, y in pool], (60, 56, 52, 110))
    plate.shaded(
        pool,
        [(0.0, (206, 226, 234, 205)), (0.4, (150, 190, 206, 190)), (1.0, (110, 156, 178, 200))],
    )
    plate.shaded(
        pool,
        [(0.0, (255, 255, 255, 120)), (0.4, (255, 255, 255, 0)), (1.0, (30, 70, 96, 70))],
        upright=True,
    )
    plate.stroke([*pool, pool[0]], (72, 112, 132, 190), max(1.0, h * 0.03))
    plate.stroke(
        smooth(in_box(w, h, [(0.16, 0.42), (0.34, 0.38), (0.50, 0.22)])),
        (255, 255, 255, 220),
        h * 0.06,
    )
    for x, y, size in ((0.03, 0.86, 0.045), (0.93, 0.88, 0.05), (0.20, 0.10, 0.04)):
        plate.area(ellipse(x * w, y * h, size * h * 1.6, size * h), (132, 176, 196, 210))
    return plate.finished()
