"""The still frames of the two call-outs, painted into the room once."""

from __future__ import annotations

import pygame

from sim.bench.apparatus.brush import Plate, rounded, soft_box
from sim.bench.apparatus.words import put
from sim.bench.layout import Box, Layout
from sim.bench.theme import FRAME_STROKE, INK, LENS_FRAME, LENS_GROUND, TYPE_TEXT


def draw_frames(surface: pygame.Surface, layout: Layout) -> None:
    """The lens's frame, and the thermometer's call-out with its unit."""
    _frame(surface, layout, layout.lens)
    box = layout.thermometer_lens
    _frame(surface, layout, box)
    y = box.y + layout.px(6) + layout.thermometer_heading_px / 2.0
    put(surface, "°C", layout.type_px(TYPE_TEXT), (box.right - layout.px(14), y), INK, "right")


def _frame(surface: pygame.Surface, layout: Layout, box: Box) -> None:
    """A rounded frame on a soft shadow; only its corners need a fine brush."""
    m, edge, radius = layout.px(8), round(FRAME_STROKE * layout.scale), layout.px(10)
    surface.blit(soft_box(box.width, box.height, m, (40, 40, 40, 100)), (box.x - m, box.y - m))
    for outer, paint in ((box, LENS_FRAME), (box.inset(edge), LENS_GROUND)):
        surface.fill(paint, (outer.x + radius, outer.y, outer.width - 2 * radius, outer.height))
        surface.fill(paint, (outer.x, outer.y + radius, outer.width, outer.height - 2 * radius))
        plate = Plate(2 * radius, 2 * radius)
        plate.area(rounded(0, 0, 2 * radius, 2 * radius, radius), paint)
        disc = plate.finished()
        for x, left in ((outer.x, 0), (outer.right - radius, radius)):
            for y, top in ((outer.y, 0), (outer.bottom - radius, radius)):
                surface.blit(disc, (x, y), (left, top, radius, radius))
