"""The plain warning before true values are shown."""

from __future__ import annotations

import pygame

from sim.bench.demonstration.paper import Letters, write
from sim.bench.layout import BASE_HEIGHT, BASE_WIDTH, Box
from sim.bench.lettering import MEASURE, broken
from sim.bench.theme import CAUTION_GROUND, CAUTION_INK, PAGE

WARNING = (
    "This page is for teachers.",
    "It shows true values: how warm the ball really is at every drop, which no student at the "
    "bench is told. It shows an example of its own, not the practical on this bench.",
    "Return or a click: show it.   Esc: go back.",
)
TYPE = 36
WIDTH, PAD, BETWEEN = 1100, 44, 24


def draw_warning(surface: pygame.Surface) -> None:
    """Draw the warning in the middle of the window."""
    width, height = surface.get_size()
    scale = min(width / BASE_WIDTH, height / BASE_HEIGHT)
    size, pad, between = round(TYPE * scale), round(PAD * scale), round(BETWEEN * scale)
    inner = round(WIDTH * scale) - 2 * pad
    step = MEASURE.line_height_px(size, True)
    paragraphs = [broken(text, size, inner, True) for text in WARNING]
    tall = sum(len(lines) * step + between for lines in paragraphs) - between
    area = pygame.Rect(0, 0, inner + 2 * pad, tall + 2 * pad)
    area.center = (width // 2, height // 2)
    surface.fill(PAGE)
    pygame.draw.rect(surface, CAUTION_GROUND, area, border_radius=round(12 * scale))
    pygame.draw.rect(surface, CAUTION_INK, area, round(3 * scale), round(12 * scale))
    letters = Letters(size, CAUTION_INK, bold=True)
    y = area.y + pad
    for lines in paragraphs:
        for line in lines:
            write(surface, line, Box(area.x + pad, y, inner, step), letters)
            y += step
        y += between
