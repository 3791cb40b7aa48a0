"""The instruments: the thermometer, in the beaker and in its call-out, and the stopwatch.

One division of the thermometer is 1 °C. The call-out shows the divisions about the thread's end
so large that half a division can be judged.
"""

from __future__ import annotations

import math
from functools import lru_cache

import pygame

from sim.bench.model.seeing import HIGHEST_C, LOWEST_C, STOPPED, THERMOMETER_SHOWS_K
from sim.bench.screen.apparatus.brush import (
    Plate,
    Point,
    Ramp,
    ellipse,
    put,
    rounded,
    smooth,
    soft_ellipse,
)
from sim.bench.screen.apparatus.rule import Graduations, Mark, draw_graduations
from sim.bench.screen.layout import Layout
from sim.bench.ui.theme import (
    DIAL,
    DIAL_INK,
    GLASS_EDGE,
    INK,
    LENS_FRAME,
    LENS_GROUND,
    SPIRIT,
    STEEL_DARK,
    TYPE_LARGE,
    TYPE_SMALL,
    TYPE_TEXT,
    Box,
)

Spot = tuple[int, int]
"""A place in the window, in pixels."""
SHINE = (226, 120, 122)
"""Where light falls on the thread."""


def draw_thermometer(surface: pygame.Surface, layout: Layout, bulb: Spot, reading_c: float) -> None:
    """The thermometer with its bulb's middle at a place, its thread up to the reading."""
    at = _corner(layout, bulb)
    surface.blit(_stem(layout), at)
    end = thread_end(layout, bulb, reading_c)
    thread = _thread(layout)
    cut = max(0, round(end[1]) - at[1])
    area = pygame.Rect(0, cut, thread.get_width(), thread.get_height() - cut)
    surface.blit(thread, (at[0], at[1] + cut), area)


def thread_end(layout: Layout, bulb: Spot, reading_c: float) -> Point:
    """Where the thread ends in the picture."""
    x, y = _corner(layout, bulb)
    across, down = _along(layout, _share(min(max(reading_c, LOWEST_C), HIGHEST_C)))
    return x + across, y + down


def _share(reading_c: float) -> float:
    """How far up the stem a temperature stands, from the bulb's middle to the upper end."""
    return 0.14 + 0.80 * (reading_c - LOWEST_C) / (HIGHEST_C - LOWEST_C)


def _reach(layout: Layout) -> Point:
    """How far the upper end lies to the right of the bulb's middle, and above it."""
    return float(layout.px(27)), float(layout.px(261))


def _corner(layout: Layout, bulb: Spot) -> tuple[int, int]:
    return bulb[0] - layout.px(12), bulb[1] - round(_reach(layout)[1]) - layout.px(4)


def _along(layout: Layout, share: float) -> Point:
    across, up = _reach(layout)
    return layout.px(12) + across * share, layout.px(4) + up * (1.0 - share)


def _plate(layout: Layout) -> Plate:
    across, up = _reach(layout)
    return Plate(across + layout.px(24), up + layout.px(18))


@lru_cache(maxsize=2)
def _stem(layout: Layout) -> pygame.Surface:
    plate, s = _plate(layout), layout.scale
    foot, top = _along(layout, 0.05), _along(layout, 1.0)
    plate.stroke([foot, top], (*GLASS_EDGE, 235), 9.0 * s)
    plate.stroke([foot, top], (244, 247, 244, 255), 7.2 * s)
    marks = []
    for c in range(LOWEST_C, HIGHEST_C + 1, 2):
        x, y = _along(layout, _share(c))
        marks.append([(x + 0.6 * s, y), (x + (3.4 if c % 10 == 0 else 2.0) * s, y)])
    plate.strokes(marks, (*INK, 200), 0.5 * s)
    plate.stroke([foot, top], (150, 120, 120, 120), 1.4 * s)
    shine = [(x - 2.2 * s, y) for x, y in (foot, top)]
    plate.stroke(shine, (255, 255, 255, 235), 1.2 * s)
    bulb = _along(layout, 0.0)
    plate.area(ellipse(*bulb, 6.2 * s, 10.0 * s), (*GLASS_EDGE, 235))
    plate.area(ellipse(*bulb, 5.0 * s, 8.8 * s), SPIRIT)
    plate.area(ellipse(bulb[0] - 1.7 * s, bulb[1] - 3 * s, 1.2 * s, 3 * s), (255, 205, 205, 200))
    ring = ellipse(top[0], top[1], 3.4 * s, 3.0 * s)
    plate.area(ring, (*GLASS_EDGE, 255))
    return plate.finished()


@lru_cache(maxsize=2)
def _thread(layout: Layout) -> pygame.Surface:
    plate = _plate(layout)
    plate.stroke([_along(layout, 0.0), _along(layout, 0.96)], SPIRIT, 2.2 * layout.scale)
    return plate.finished()


def draw_thermometer_lens(
    surface: pygame.Surface, layout: Layout, bulb: Spot, reading_c: float
) -> None:
    """The call-out: 15 °C about the thread's end, and fine lines to where that is."""
    box, px = layout.thermometer_lens, layout.px
    end = thread_end(layout, bulb, reading_c)
    lower, edge = box.bottom - px(8), px(8)
    beside = ((box.x + 1, box.y + edge), (box.x + 1, lower))
    below = ((box.x + edge, box.bottom - 1), (box.right - edge, box.bottom - 1))
    for corner in below if end[1] > box.bottom + px(60) else beside:
        pygame.draw.aaline(surface, LENS_FRAME, end, corner)
    inside, before = lens_inside(layout), surface.get_clip()
    surface.set_clip(pygame.Rect(inside).clip(before))
    surface.blit(_glass(layout), inside[:2])
    bore, tip = inside.x + px(28), inside.y + inside.height // 2
    size, fine = layout.mark_px(TYPE_TEXT), max(1, round(layout.scale))
    marks = (
        Mark(5, px(30), max(1, round(2 * layout.scale)), INK, size),
        Mark(1, px(19), fine, INK),
    )
    per_k = inside.height // THERMOMETER_SHOWS_K
    zero_px = tip + round(reading_c * per_k)
    scale = Graduations(marks, LOWEST_C, HIGHEST_C, zero_px, per_k, last_number=HIGHEST_C)
    draw_graduations(surface, scale, bore + px(7), bore + px(41))
    left, width = bore - px(9) // 2, px(9)
    surface.fill(SPIRIT, (left, tip, width, inside.bottom - tip))
    surface.fill(SHINE, (left + px(2), tip + px(3), px(2), inside.bottom - tip - px(3)))
    surface.set_clip(before)


def lens_inside(layout: Layout) -> Box:
    """The part of the call-out in which the scale is seen."""
    box, heading = layout.thermometer_lens.inset(layout.px(7)), layout.thermometer_heading_px
    return Box(box.x, box.y + heading, box.width, box.height - heading)


@lru_cache(maxsize=2)
def _glass(layout: Layout) -> pygame.Surface:
    """The call-out's ground: the glass about the bore, without divisions and thread."""
    inside, px = lens_inside(layout), layout.px
    picture = pygame.Surface(inside[2:])
    picture.fill(LENS_GROUND)
    bore, half, height = px(28), px(22), inside.height
    for x in range(-half, half + 1):
        edge = abs(x) / half
        shade = round(255 - 46 * edge**4 - (14 if x > half * 0.5 else 0))
        picture.fill((shade, shade, shade), (bore + x, 0, 1, height))
    picture.fill((255, 255, 255), (bore - round(half * 0.62), 0, px(4), height))
    picture.fill((206, 202, 202), (bore - px(9) // 2 - 1, 0, px(9) + 2, height))
    picture.fill((232, 230, 228), (bore - px(9) // 2, 0, px(9), height))
    return picture


CHROME: Ramp = (
    (0.0, (250, 251, 251)),
    (0.3, (196, 202, 206)),
    (0.7, (120, 128, 134)),
    (1.0, (74, 82, 88)),
)


def draw_stopwatch(surface: pygame.Surface, layout: Layout, elapsed_s: float, word: str) -> None:
    """The stopwatch: whole seconds in digits, a short hand at the rim once round in a minute.

    What it does stands in a word; its crown is pressed in while it runs.
    """
    box = layout.stopwatch
    surface.blit(_case(layout, word), box[:2])
    x, y, radius = _dial(layout)
    x, y = x + box.x, y + box.y
    angle = math.radians(elapsed_s % 60.0 * 6.0 - 90.0)
    tip = (x + math.cos(angle) * radius * 0.92, y + math.sin(angle) * radius * 0.92)
    across, down = math.sin(angle) * radius * 0.09, -math.cos(angle) * radius * 0.09
    root = (x + math.cos(angle) * radius * 0.66, y + math.sin(angle) * radius * 0.66)
    hand = [tip, (root[0] + across, root[1] + down), (root[0] - across, root[1] - down)]
    minutes, seconds = divmod(int(elapsed_s), 60)
    digits = f"{minutes}:{seconds:02d}"
    put(surface, digits, layout.mark_px(TYPE_LARGE), (x, y - radius * 0.10), DIAL_INK, "middle")
    pygame.draw.polygon(surface, SPIRIT, hand)
    pygame.draw.aalines(surface, SPIRIT, True, hand)


def _dial(layout: Layout) -> tuple[float, float, float]:
    """Middle and radius of the dial, inside the stopwatch's box."""
    box = layout.stopwatch
    radius = box.width * 0.40
    return box.width / 2.0, box.height - radius - layout.px(10), radius


@lru_cache(maxsize=4)
def _case(layout: Layout, word: str) -> pygame.Surface:
    box, px = layout.stopwatch, layout.px
    x, y, radius = _dial(layout)
    case = radius + px(8)
    picture = pygame.Surface(box[2:], pygame.SRCALPHA)
    shadow = soft_ellipse(round(case * 2.3), round(case * 2.3), (40, 40, 40, 110))
    picture.blit(shadow, (round(x - case * 1.08), round(y - case * 1.08)))
    plate = Plate(*box[2:])
    crown = y - case - px(10 if word == STOPPED else 6)
    cord = smooth(
        [(x, 1.0), (x - px(9), crown * 0.5), (x, crown + px(3)), (x + px(9), crown * 0.5), (x, 1.0)]
    )
    plate.stroke(cord, (92, 44, 48), 1.8 * layout.scale)
    plate.shaded(rounded(x - px(8), crown, px(16), px(9), 3), CHROME)
    plate.shaded(rounded(x - px(4), crown + px(6), px(8), px(12), 2), CHROME)
    plate.shaded(ellipse(x, y, case, case), CHROME)
    plate.shaded(
        ellipse(x, y, case - px(2), case - px(2)), [(0.0, (150, 156, 162)), (1.0, (222, 226, 229))]
    )
    plate.area(ellipse(x, y, radius, radius), STEEL_DARK)
    plate.area(ellipse(x, y, radius - 1, radius - 1), DIAL)
    for fives, inner, thick in ((True, 0.84, 1.6), (False, 0.91, 0.8)):
        turns = [math.radians(6.0 * n) for n in range(60) if (n % 5 == 0) is fives]
        ticks = [
            [
                (x + math.sin(turn) * r, y - math.cos(turn) * r)
                for r in (inner * radius, 0.96 * radius)
            ]
            for turn in turns
        ]
        plate.strokes(ticks, DIAL_INK, thick * layout.scale)
    picture.blit(plate.finished(), (0, 0))
    size = layout.mark_px(TYPE_SMALL - 2)
    put(picture, word, size, (x, y + radius * 0.32), DIAL_INK, "middle")
    return picture
