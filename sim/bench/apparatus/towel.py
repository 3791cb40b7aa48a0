"""The towel over the table's edge, and spilt water waiting to be wiped."""

from __future__ import annotations

from functools import lru_cache

import pygame

from sim.bench.apparatus.brush import Plate, ellipse, smooth, soft_box
from sim.bench.apparatus.rule import rule_sprite, stand_sprite
from sim.bench.layout import Box, Layout
from sim.bench.theme import TOWEL, TOWEL_STRIPE, mixed


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
        [
            (w * 0.04, h * 0.94),
            (w * 0.25, h * 0.97),
            (w * 0.48, h * 0.94),
            (w * 0.72, h * 0.97),
            (w * 0.94, h * 0.93),
        ]
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
    pool = smooth([(x * w, y * h) for x, y in edge], closed=True)
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
        smooth([(w * 0.16, h * 0.42), (w * 0.34, h * 0.38), (w * 0.50, h * 0.22)]),
        (255, 255, 255, 220),
        h * 0.06,
    )
    for x, y, size in ((0.03, 0.86, 0.045), (0.93, 0.88, 0.05), (0.20, 0.10, 0.04)):
        plate.area(ellipse(x * w, y * h, size * h * 1.6, size * h), (132, 176, 196, 210))
    return plate.finished()
