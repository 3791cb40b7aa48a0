"""The metre rule on its stand, its strip in the lens, and the marks that stand beside it.

The graduated scale is painted in one way, for the rule, the lens, the thermometer's call-out and
the beaker: marks stand at even steps along a column, the rarer the longer, and some bear a number.
Only what the surface's clip shows is painted, so that a metre of millimetres costs no more than
the strip of it that is seen.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import pygame

from sim.bench.model.seeing import RULE_LENGTH_M
from sim.bench.screen.apparatus.brush import (
    Paint,
    Plate,
    Side,
    ellipse,
    gradient,
    in_box,
    put,
    rounded,
    smooth,
)
from sim.bench.screen.layout import Layout
from sim.bench.screen.sight import Sight
from sim.bench.ui.theme import (
    BOXWOOD,
    BOXWOOD_SHADE,
    EYE,
    IRON,
    RULE_INK,
    STEEL_DARK,
    STEEL_LIGHT,
    STEEL_MID,
    TYPE_SMALL,
    Box,
    mixed,
)


class Mark(NamedTuple):
    """How the marks look that stand at every so many divisions; lengths in pixels.

    A mark without a type size bears no number.
    """

    every: int
    length: int
    thick: int
    ink: Paint
    type_px: int = 0


class Graduations(NamedTuple):
    """An upright scale, counted in whole divisions from its zero upward.

    A division bears the first of the `marks` that it is a multiple of; the last of them is
    the finest. Numbers count `per_unit` divisions as one, and end at `last_number`.
    """

    marks: tuple[Mark, ...]
    first: int
    last: int
    zero_px: float
    division_px: float
    last_number: int
    per_unit: int = 1

    def row_px(self, division: float) -> float:
        """The row of a division: an edge between two rows of pixels."""
        return self.zero_px - division * self.division_px

    def between(self, top_px: float, bottom_px: float) -> range:
        """The divisions whose rows lie between two."""
        finest = self.marks[-1].every
        low = math.ceil((self.zero_px - bottom_px) / self.division_px / finest) * finest
        high = math.floor((self.zero_px - top_px) / self.division_px)
        return range(max(low, self.first), min(high, self.last) + 1, finest)


def draw_graduations(
    surface: pygame.Surface, scale: Graduations, edge_px: int, number_px: int, side: Side = "left"
) -> None:
    """Paint marks from column `edge_px` to the right, and numbers at column `number_px`.

    `side` is the side of a number that stands at its column.
    """
    clip = surface.get_clip()
    tallest = max(max(mark.type_px, mark.thick) for mark in scale.marks)
    for division in scale.between(clip.top - tallest, clip.bottom + tallest):
        mark = next(mark for mark in scale.marks if division % mark.every == 0)
        row = scale.row_px(division)
        top = math.floor(row - mark.thick / 2.0 + 0.5)
        surface.fill(mark.ink, (edge_px, top, mark.length, mark.thick))
        if mark.type_px and division <= scale.last_number:
            number = str(division // scale.per_unit)
            put(surface, number, mark.type_px, (number_px, row), mark.ink[:3], side)


WOOD = (
    (0.0, mixed(BOXWOOD, (255, 255, 255), 0.35)),
    (0.10, BOXWOOD),
    (0.86, BOXWOOD),
    (1.0, BOXWOOD_SHADE),
)
ROD = ((0.0, STEEL_DARK), (0.3, STEEL_LIGHT), (0.55, STEEL_MID), (1.0, STEEL_DARK))
"""A round steel rod, lit from the left."""
JAWS_M = (0.075, 0.925)
"""The heights of the two clamps: between numbers, so that they cover none."""


@lru_cache(maxsize=2)
def rule_sprite(layout: Layout) -> pygame.Surface:
    """The rule of the wall view: marks every half-centimetre, numbers every 5 cm or 10 cm.

    Zero and 100 are the ends of the wood itself; brass tips would hide them.
    """
    width, height = layout.rule[2:]
    picture = gradient((width, height), WOOD)
    full, thick = layout.px(20), max(1, round(layout.scale * 0.9))
    size, small = layout.mark_px(TYPE_SMALL), layout.mark_px(TYPE_SMALL - 2)
    marks = (
        Mark(20, full, thick, RULE_INK, size),
        Mark(10, round(full * 0.82), thick, RULE_INK, small if layout.mark_scale < 1.3 else 0),
        Mark(2, round(full * 0.60), thick, mixed(RULE_INK, BOXWOOD, 0.10)),
        Mark(1, round(full * 0.32), thick, mixed(RULE_INK, BOXWOOD, 0.45)),
    )
    right = width - layout.px(6)
    scale = Graduations(marks, 1, 199, height, height / 200.0, last_number=180, per_unit=2)
    draw_graduations(picture, scale, 0, right, "right")
    _draw_ends(picture, (0, height), right, size)
    put(picture, "cm", small, (right, height * 0.05), RULE_INK, "right")
    pygame.draw.rect(picture, mixed(BOXWOOD_SHADE, RULE_INK, 0.5), picture.get_rect(), 1)
    return picture


def _draw_ends(surface: pygame.Surface, rows: tuple[int, int], right: int, size: int) -> None:
    """The numbers at the rule's ends, which stand inside them."""
    top, foot = rows
    for number, row in (("0", foot - size * 0.62), ("100", top + size * 0.62)):
        put(surface, number, size, (right, row), RULE_INK, "right")


def draw_rule_strip(surface: pygame.Surface, layout: Layout, sight: Sight, strip: Box) -> None:
    """As much of the rule as `sight` sees through the lens, in the columns of `strip`.

    Every millimetre is a whole number of pixels, so that the marks are even.
    """
    top, foot = round(sight.to_px(RULE_LENGTH_M)), round(sight.floor_y_px)
    before = surface.get_clip()
    surface.set_clip(pygame.Rect(strip.x, top, strip.width, foot - top).clip(before))
    surface.blit(_wood(strip.width, strip.height), strip[:2])
    full, bold, fine = layout.px(40), max(1, round(2 * layout.scale)), max(1, round(layout.scale))
    size, right = layout.mark_px(TYPE_SMALL + 3), strip.right - layout.px(5)
    marks = (
        Mark(10, full, bold, RULE_INK, size),
        Mark(5, round(full * 0.72), fine, RULE_INK),
        Mark(1, round(full * 0.46), fine, RULE_INK),
    )
    per_mm = layout.lens_px_per_m / 1000.0
    scale = Graduations(marks, 0, 1000, foot, per_mm, last_number=990, per_unit=10)
    draw_graduations(surface, scale, strip.x, right, "right")
    _draw_ends(surface, (top, foot), right, size)
    surface.set_clip(before)


@lru_cache(maxsize=2)
def _wood(width: int, height: int) -> pygame.Surface:
    return gradient((width, height), WOOD)


@lru_cache(maxsize=2)
def stand_sprite(layout: Layout) -> tuple[pygame.Surface, tuple[int, int]]:
    """The retort stand behind the rule, with two bosses and clamps; and where it goes."""
    box, px = layout.rule, layout.px
    left, top = box.x - px(20), box.y - px(34)
    width, foot = box.width + px(60), box.bottom - top
    picture = pygame.Surface((width, foot + px(12)), pygame.SRCALPHA)
    plate = Plate(width, px(18))
    plate.area(rounded(0, px(5), width - px(4), px(12), 4), (44, 46, 50))
    plate.shaded(
        rounded(0, 0, width - px(4), px(13), 4),
        [(0.0, (112, 116, 122)), (0.4, IRON), (1.0, (40, 42, 46))],
    )
    picture.blit(plate.finished(), (0, foot - px(6)))
    rod_x = box.right - left + px(4)
    picture.blit(gradient((px(7), foot - px(4)), ROD), (rod_x, 1))
    clamp = _clamp(layout)
    for height_m in JAWS_M:
        y = round(foot - height_m * box.height)
        picture.blit(clamp, (rod_x - px(16), y - px(10)))
    return picture, (left, top)


def _clamp(layout: Layout) -> pygame.Surface:
    """A boss on the rod with its screw, and the arm that goes behind the rule."""
    px = layout.px
    rod_x, y = px(16), px(10)
    plate = Plate(px(40), px(20))
    brass = [(0.0, (150, 154, 158)), (0.35, (206, 210, 213)), (1.0, (92, 98, 104))]
    plate.shaded(rounded(0, y - px(4), px(20), px(8), 2), brass, upright=True)
    plate.shaded(rounded(rod_x - px(3), y - px(9), px(13), px(18), 3), brass)
    plate.area(rounded(rod_x + px(9), y - px(3), px(8), px(6), 2), STEEL_DARK)
    plate.area(ellipse(rod_x + px(19), y, px(4), px(6)), IRON)
    plate.area(ellipse(rod_x + px(18), y - px(1), px(1.5), px(3)), STEEL_MID)
    return plate.finished()


def draw_jaws(surface: pygame.Surface, layout: Layout) -> None:
    """The jaws that come round the rule's plain edge."""
    sprite = _jaw(layout.px(9), layout.px(16))
    for height_m in JAWS_M:
        y = layout.rule.bottom - height_m * layout.rule.height
        at = (layout.rule.right - layout.px(4), round(y - sprite.get_height() / 2.0))
        surface.blit(sprite, at)


@lru_cache(maxsize=4)
def _jaw(width: int, height: int) -> pygame.Surface:
    plate = Plate(width, height)
    outline = rounded(0, 1, width, height - 2, 3)
    plate.shaded(outline, [(0.0, (96, 100, 106)), (0.4, (150, 155, 160)), (1.0, (70, 74, 80))])
    return plate.finished()


def draw_marker(surface: pygame.Surface, layout: Layout, height_m: float) -> None:
    """A paper flag on the rule's plain edge that shows the drop height.

    A height above the picture is shown at its upper edge, by the flag pointing up.
    """
    y = layout.rule.bottom - height_m * layout.rule.height
    sprite = _flag(layout.px(16), layout.px(14))
    if y < 0:
        sprite, y = pygame.transform.rotate(sprite, -90), sprite.get_width() / 2.0
    surface.blit(sprite, (layout.rule.right - layout.px(2), round(y - sprite.get_height() / 2.0)))


@lru_cache(maxsize=4)
def _flag(width: int, height: int) -> pygame.Surface:
    plate = Plate(width, height)
    tip = [(0.0, height / 2.0), (width * 0.5, 1.0), (width - 1.0, 1.0)]
    plate.area([*tip, (width - 1.0, height - 1.0), (width * 0.5, height - 1.0)], (150, 40, 44))
    return plate.finished()


def draw_eye_mark(surface: pygame.Surface, layout: Layout, eye_height_m: float) -> None:
    """An eye beside the rule at its own height, looking at the rule along a fine line.

    An eye above the picture waits at its upper edge under an arrow.
    """
    box = layout.eye_mark(eye_height_m)
    row = round(layout.sight(eye_height_m).to_px(eye_height_m))
    sprite = _eye(box.width, layout.px(26))
    least = sprite.get_height() // 2 + layout.px(12)
    middle = max(row, least)
    surface.blit(sprite, (box.x, middle - sprite.get_height() // 2))
    if row < 0:
        x, y, half = box.centre[0], box.y + layout.px(1), layout.px(7)
        pygame.draw.polygon(surface, EYE, [(x, y), (x - half, y + half), (x + half, y + half)])
        return
    for x in range(layout.ball_x_px, box.x - layout.px(2), layout.px(6)):
        on_rule = layout.rule.x <= x < layout.rule.right and eye_height_m <= RULE_LENGTH_M
        if not on_rule:
            surface.fill(EYE, (x, middle, layout.px(3), max(1, layout.px(1))))


@lru_cache(maxsize=4)
def _eye(width: int, height: int) -> pygame.Surface:
    """A side view: lids, iris and lashes, looking to the left."""
    plate = Plate(width, height)
    w, h = float(width), float(height)
    upper = smooth(
        [(w * 0.10, h * 0.50), (w * 0.36, h * 0.22), (w * 0.72, h * 0.20), (w - 2, h * 0.42)]
    )
    lower = smooth(
        [(w - 2, h * 0.42), (w * 0.74, h * 0.74), (w * 0.40, h * 0.78), (w * 0.10, h * 0.50)]
    )
    plate.area([*upper, *lower], (255, 255, 252))
    plate.area(ellipse(w * 0.42, h * 0.49, h * 0.25, h * 0.27), EYE)
    plate.area(ellipse(w * 0.38, h * 0.49, h * 0.12, h * 0.14), (10, 22, 30))
    plate.area(ellipse(w * 0.44, h * 0.40, h * 0.06, h * 0.06), (255, 255, 255))
    plate.stroke(upper, EYE, h * 0.10)
    plate.stroke(lower, EYE, h * 0.05)
    brow = smooth(in_box(w, h, [(0.24, 0.14), (0.55, 0.03), (0.92, 0.16)]))
    plate.stroke(brow, (*EYE, 190), h * 0.07)
    return plate.finished()
