"""The metre rule on its stand, its strip in the lens, and the marks that stand beside it."""

from __future__ import annotations

from functools import lru_cache

import pygame

from sim.bench.screen.apparatus.brush import Plate, ellipse, gradient, put, rounded, smooth
from sim.bench.screen.layout import RULE_LENGTH_M, Layout
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
    Colour,
    mixed,
)

WOOD = (
    (0.0, mixed(BOXWOOD, (255, 255, 255), 0.35)),
    (0.10, BOXWOOD),
    (0.86, BOXWOOD),
    (1.0, BOXWOOD_SHADE),
)
JAWS_M = (0.075, 0.925)
"""The heights of the two clamps: between numbers, so that they cover none."""


@lru_cache(maxsize=2)
def rule_sprite(layout: Layout) -> pygame.Surface:
    """The rule of the wall view: marks every half-centimetre, numbers every 5 cm or 10 cm."""
    box = layout.rule
    picture = gradient((box.width, box.height), WOOD)
    for half_cm in range(1, 200):
        length, ink = _mark(half_cm, layout.px(20))
        thick = max(1, round(layout.scale * 0.9))
        top = round(box.height * (1.0 - half_cm / 200.0) - thick / 2.0)
        picture.fill(ink, (0, top, length, thick))
    every = 5 if layout.text_scale < 1.3 else 10
    right = box.width - layout.px(6)
    for cm in range(every, 95, every):
        size = layout.type_px(TYPE_SMALL if cm % 10 == 0 else TYPE_SMALL - 2)
        y = box.height * (1.0 - cm / 100.0)
        put(picture, str(cm), size, (right, y), RULE_INK, "right")
    _ends(picture, layout)
    return picture


def _mark(half_cm: int, full: int) -> tuple[int, Colour]:
    """Length and ink of one mark: the longer it is, the darker."""
    if half_cm % 20 == 0:
        return full, RULE_INK
    if half_cm % 10 == 0:
        return round(full * 0.82), RULE_INK
    if half_cm % 2 == 0:
        return round(full * 0.60), mixed(RULE_INK, BOXWOOD, 0.10)
    return round(full * 0.32), mixed(RULE_INK, BOXWOOD, 0.45)


def _ends(picture: pygame.Surface, layout: Layout) -> None:
    """Zero and 100 are the ends of the wood itself; brass tips would hide them."""
    right, size = picture.get_width() - layout.px(6), layout.type_px(TYPE_SMALL)
    high = size * 0.62
    put(picture, "0", size, (right, picture.get_height() - high), RULE_INK, "right")
    put(picture, "100", size, (right, high), RULE_INK, "right")
    unit_y = picture.get_height() * 0.05
    put(picture, "cm", layout.type_px(TYPE_SMALL - 2), (right, unit_y), RULE_INK, "right")
    pygame.draw.rect(picture, mixed(BOXWOOD_SHADE, RULE_INK, 0.5), picture.get_rect(), 1)


@lru_cache(maxsize=2)
def stand_sprite(layout: Layout) -> tuple[pygame.Surface, tuple[int, int]]:
    """The retort stand behind the rule, with two bosses and clamps; and where it goes."""
    box, px = layout.rule, layout.px
    left, top = box.x - px(20), box.y - px(34)
    width, height = box.width + px(60), box.bottom - top + px(12)
    plate = Plate(width, height)
    foot = float(box.bottom - top)
    plate.area(rounded(0, foot - px(1), width - px(4), px(12), 4), (44, 46, 50))
    plate.shaded(
        rounded(0, foot - px(6), width - px(4), px(13), 4),
        [(0.0, (112, 116, 122)), (0.4, IRON), (1.0, (40, 42, 46))],
    )
    rod_x, thick = float(box.right - left + px(4)), float(px(7))
    steel = [(0.0, STEEL_DARK), (0.3, STEEL_LIGHT), (0.55, STEEL_MID), (1.0, STEEL_DARK)]
    plate.shaded(rounded(rod_x, 1.0, thick, foot - px(4), 3), steel)
    for height_m in JAWS_M:
        _clamp(plate, layout, rod_x, foot - height_m * box.height)
    return plate.finished(), (left, top)


def _clamp(plate: Plate, layout: Layout, rod_x: float, y: float) -> None:
    """A boss on the rod with its screw, and the arm that goes behind the rule."""
    px = layout.px
    brass = [(0.0, (150, 154, 158)), (0.35, (206, 210, 213)), (1.0, (92, 98, 104))]
    plate.shaded(rounded(rod_x - px(16), y - px(4), px(20), px(8), 2), brass, upright=True)
    plate.shaded(rounded(rod_x - px(3), y - px(9), px(13), px(18), 3), brass)
    plate.area(rounded(rod_x + px(9), y - px(3), px(8), px(6), 2), STEEL_DARK)
    plate.area(ellipse(rod_x + px(19), y, px(4), px(6)), IRON)
    plate.area(ellipse(rod_x + px(18), y - px(1), px(1.5), px(3)), STEEL_MID)


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


@lru_cache(maxsize=2)
def rule_strip(layout: Layout, width: int) -> pygame.Surface:
    """The whole rule at the lens's scale, every millimetre a whole number of pixels."""
    per_mm = layout.lens_px_per_m // 1000
    height = 1000 * per_mm
    picture = pygame.Surface((width, height))
    picture.blit(gradient((width, height), WOOD), (0, 0))
    for mm in range(1001):
        _lens_mark(picture, layout, mm, height - mm * per_mm)
    right, size = width - layout.px(5), layout.type_px(TYPE_SMALL + 3)
    for cm in range(1, 100):
        y = height - cm * 10 * per_mm
        put(picture, str(cm), size, (right, y), RULE_INK, "right")
    put(picture, "0", size, (right, height - size * 0.6), RULE_INK, "right")
    put(picture, "100", size, (right, size * 0.6), RULE_INK, "right")
    return picture


def _lens_mark(picture: pygame.Surface, layout: Layout, mm: int, y: int) -> None:
    full = layout.px(40)
    if mm % 10 == 0:
        length, thick = full, 2
    elif mm % 5 == 0:
        length, thick = round(full * 0.72), 1
    else:
        length, thick = round(full * 0.46), 1
    thick = max(1, round(thick * layout.scale))
    picture.fill(RULE_INK, (0, y - thick // 2, length, thick))


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
    brow = smooth([(w * 0.24, h * 0.14), (w * 0.55, h * 0.03), (w * 0.92, h * 0.16)])
    plate.stroke(brow, (*EYE, 190), h * 0.07)
    return plate.finished()
