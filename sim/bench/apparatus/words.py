"""Numbers and words on the apparatus: one line, placed by its middle row."""

from __future__ import annotations

from typing import Literal

import pygame

from sim.bench.lettering import line_surface
from sim.bench.theme import Colour

Side = Literal["left", "middle", "right"]


def put(
    surface: pygame.Surface,
    text: str,
    size_px: int,
    at: tuple[float, float],
    ink: Colour,
    side: Side = "left",
) -> pygame.Rect:
    """Write a line whose middle row is `at[1]` and whose named side is at `at[0]`.

    Returns the rectangle that it covers.
    """
    line = line_surface(text, size_px, ink)
    shift = {"left": 0.0, "middle": 0.5, "right": 1.0}[side] * line.get_width()
    return surface.blit(line, (round(at[0] - shift), round(at[1] - line.get_height() / 2.0)))
