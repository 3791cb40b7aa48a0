"""The stopwatch on its hook: a dial with a sweeping hand, and digits."""

from __future__ import annotations

import math
from functools import lru_cache

import pygame

from sim.bench.apparatus.brush import Plate, Ramp, ellipse, rounded, smooth, soft_ellipse
from sim.bench.apparatus.words import put
from sim.bench.layout import Layout
from sim.bench.theme import DIAL, DIAL_INK, SPIRIT, STEEL_DARK, TYPE_LARGE, TYPE_SMALL

CHROME: Ramp = (
    (0.0, (250, 251, 251)),
    (0.3, (196, 202, 206)),
    (0.7, (120, 128, 134)),
    (1.0, (74, 82, 88)),
)


def draw_stopwatch(
    surface: pygame.Surface, layout: Layout, elapsed_s: float, running: bool
) -> None:
    """The stopwatch: whole seconds in digits, a short hand at the rim once round in a minute.

    Running and stopped differ in the crown (pressed in or standing out) and in a word.
    """
    box = layout.stopwatch
    surface.blit(_case(layout, running), box[:2])
    x, y, radius = _dial(layout)
    x, y = x + box.x, y + box.y
    angle = math.radians(elapsed_s % 60.0 * 6.0 - 90.0)
    tip = (x + math.cos(angle) * radius * 0.92, y + math.sin(angle) * radius * 0.92)
    across, down = math.sin(angle) * radius * 0.09, -math.cos(angle) * radius * 0.09
    root = (x + math.cos(angle) * radius * 0.66, y + math.sin(angle) * radius * 0.66)
    hand = [tip, (root[0] + across, root[1] + down), (root[0] - across, root[1] - down)]
    minutes, seconds = divmod(int(elapsed_s), 60)
    digits = f"{minutes}:{seconds:02d}"
    put(surface, digits, layout.type_px(TYPE_LARGE), (x, y - radius * 0.10), DIAL_INK, "middle")
    pygame.draw.polygon(surface, SPIRIT, hand)
    pygame.draw.aalines(surface, SPIRIT, True, hand)


def _dial(layout: Layout) -> tuple[float, float, float]:
    """Middle and radius of the dial, inside the stopwatch's box."""
    box = layout.stopwatch
    radius = box.width * 0.40
    return box.width / 2.0, box.height - radius - layout.px(10), radius


@lru_cache(maxsize=4)
def _case(layout: Layout, running: bool) -> pygame.Surface:
    box, px = layout.stopwatch, layout.px
    x, y, radius = _dial(layout)
    case = radius + px(8)
    picture = pygame.Surface(box[2:], pygame.SRCALPHA)
    shadow = soft_ellipse(round(case * 2.3), round(case * 2.3), (40, 40, 40, 110))
    picture.blit(shadow, (round(x - case * 1.08), round(y - case * 1.08)))
    plate = Plate(*box[2:])
    crown = y - case - px(10 if not running else 6)
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
    for second in range(60):
        turn = math.radians(second * 6.0)
        inner = radius * (0.84 if second % 5 == 0 else 0.91)
        ends = [(x + math.sin(turn) * r, y - math.cos(turn) * r) for r in (inner, radius * 0.96)]
        plate.stroke(ends, DIAL_INK, (1.6 if second % 5 == 0 else 0.8) * layout.scale)
    picture.blit(plate.finished(), (0, 0))
    size = layout.type_px(TYPE_SMALL - 2)
    word = "running" if running else "stopped"
    put(picture, word, size, (x, y + radius * 0.32), DIAL_INK, "middle")
    return picture
