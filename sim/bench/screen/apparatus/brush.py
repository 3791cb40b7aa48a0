"""How paint is laid: smooth-edged shapes, gradients, soft shadows, lettering.

A `Plate` is painted at twice its size and reduced, so its edges are smooth. It is slow and
meant for things that stand still or are kept; nothing here knows what it draws.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Literal

import numpy as np
import pygame
from numpy.typing import NDArray

from sim.bench.screen.lettering import line_surface
from sim.bench.ui.theme import Colour

Paint = Colour | tuple[int, int, int, int]
Point = tuple[float, float]
Ramp = Sequence[tuple[float, Paint]]
"""Colours along a gradient: (place from 0 to 1, colour), in rising order."""
Side = Literal["left", "middle", "right"]

FINER = 2
WHITE = (255, 255, 255, 255)


class Plate:
    """A transparent picture under work. Lengths are in pixels of the finished picture."""

    def __init__(self, width: float, height: float) -> None:
        """Start with nothing on it."""
        self.size = (math.ceil(width), math.ceil(height))
        self._large = pygame.Surface((self.size[0] * FINER, self.size[1] * FINER), pygame.SRCALPHA)

    def area(self, outline: Sequence[Point], paint: Paint) -> None:
        """Fill a closed shape with one paint."""
        self.areas([outline], paint)

    def areas(self, outlines: Sequence[Sequence[Point]], paint: Paint) -> None:
        """Fill closed shapes with one paint, no darker where they meet."""
        self._laid(_Shape(outlines), paint)

    def shaded(self, outline: Sequence[Point], ramp: Ramp, upright: bool = False) -> None:
        """Fill a closed shape with a gradient, from its left to its right or downward."""
        shape = _Shape([outline])
        area = shape.reach().clip(self._large.get_rect())
        stencil = pygame.Surface(area.size, pygame.SRCALPHA)
        shape.draw(stencil, WHITE, area.topleft)
        line = _gradient_line(area.size, ramp, upright, pygame.SRCALPHA)
        layer = pygame.transform.scale(line, area.size)
        layer.blit(stencil, (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
        self._large.blit(layer, area)

    def stroke(self, path: Sequence[Point], paint: Paint, width: float) -> None:
        """Draw along a path with a round pen."""
        self.strokes([path], paint, width)

    def strokes(self, paths: Sequence[Sequence[Point]], paint: Paint, width: float) -> None:
        """Draw along paths with a round pen, no darker where they meet."""
        half = width / 2.0
        bars = []
        for (x0, y0), (x1, y1) in itertools.chain.from_iterable(map(itertools.pairwise, paths)):
            length = math.hypot(x1 - x0, y1 - y0)
            if length > 0.0:
                across, down = (y1 - y0) / length * half, (x0 - x1) / length * half
                bar = [(x0 + across, y0 + down), (x1 + across, y1 + down)]
                bars.append([*bar, (x1 - across, y1 - down), (x0 - across, y0 - down)])
        points = list(itertools.chain.from_iterable(paths))
        self._laid(_Shape(bars, points, half), paint)

    def finished(self) -> pygame.Surface:
        """The picture at its own size, with smooth edges and clean colours in them."""
        small = pygame.transform.smoothscale(self._large.premul_alpha(), self.size)
        return _straight(small)

    def _laid(self, shape: _Shape, paint: Paint) -> None:
        """Lay one paint: straight on where it covers, through a layer where it lets through."""
        if (*paint, 255)[3] == 255:
            shape.draw(self._large, paint, (0, 0))
            return
        area = shape.reach().clip(self._large.get_rect())
        layer = pygame.Surface(area.size, pygame.SRCALPHA)
        shape.draw(layer, paint, area.topleft)
        self._large.blit(layer, area)


class _Shape:
    """Polygons, and discs of one radius. Enlarged once, here."""

    def __init__(
        self, polygons: Sequence[Sequence[Point]], discs: Sequence[Point] = (), radius: float = 0.0
    ) -> None:
        self.polygons = [[(x * FINER, y * FINER) for x, y in shape] for shape in polygons]
        self.discs = [(x * FINER, y * FINER) for x, y in discs]
        self.radius = radius * FINER

    def reach(self) -> pygame.Rect:
        """The whole pixels that it may touch."""
        points = [*itertools.chain.from_iterable(self.polygons), *self.discs]
        across, down = zip(*points, strict=True)
        margin = self.radius + 2.0
        left, top = math.floor(min(across) - margin), math.floor(min(down) - margin)
        width, height = max(across) + margin - left, max(down) + margin - top
        return pygame.Rect(left, top, math.ceil(width), math.ceil(height))

    def draw(self, surface: pygame.Surface, paint: Paint, corner: tuple[int, int]) -> None:
        """Set every pixel of the shape to a paint; the surface begins at `corner`."""
        left, top = corner
        for shape in self.polygons:
            pygame.draw.polygon(surface, paint, [(x - left, y - top) for x, y in shape])
        for x, y in self.discs:
            pygame.draw.circle(surface, paint, (x - left, y - top), self.radius)


def turned(picture: pygame.Surface, turn_deg: float) -> pygame.Surface:
    """A picture turned anticlockwise, with clean edges."""
    return _straight(pygame.transform.rotozoom(picture.premul_alpha(), turn_deg, 1.0))


def gradient(size: tuple[int, int], ramp: Ramp, upright: bool = False) -> pygame.Surface:
    """A picture filled with a gradient, from left to right or downward.

    It has an alpha channel only where a paint of the ramp lets something through.
    """
    clear = any((*paint, 255)[3] < 255 for _, paint in ramp)
    flags = pygame.SRCALPHA if clear else 0
    return pygame.transform.scale(_gradient_line(size, ramp, upright, flags), size)


def pour(
    surface: pygame.Surface, area: tuple[int, int, int, int], ramp: Ramp, upright: bool = False
) -> None:
    """Fill an area of a surface without alpha with a gradient of covering paints."""
    ground = surface.subsurface(area)
    line = _gradient_line(ground.get_size(), ramp, upright, 0)
    pygame.transform.scale(line, ground.get_size(), ground)


def _gradient_line(size: tuple[int, int], ramp: Ramp, upright: bool, flags: int) -> pygame.Surface:
    """A gradient of a size, one pixel thin."""
    steps = max(size[1] if upright else size[0], 1)
    places = [place for place, _ in ramp]
    along = np.linspace(0.0, 1.0, max(steps, 2))[:steps]
    channels = np.array([(*paint, 255)[:4] for _, paint in ramp], dtype=np.float64)
    colours = np.stack([np.interp(along, places, channel) for channel in channels.T], axis=-1)
    colours = np.round(colours)[np.newaxis, :] if upright else np.round(colours)[:, np.newaxis]
    line = pygame.Surface(colours.shape[:2], flags, 32)
    pygame.surfarray.pixels3d(line)[:] = colours[..., :3]
    if flags:
        pygame.surfarray.pixels_alpha(line)[:] = colours[..., 3]
    return line


@lru_cache(maxsize=16)
def soft_ellipse(width: int, height: int, paint: Paint) -> pygame.Surface:
    """A blurred oval, strongest in its middle: a shadow on something flat, or a glow.

    Kept for the next frame: never draw on it.
    """
    across = (np.arange(width, dtype=np.float32) + 0.5) / width * 2.0 - 1.0
    down = (np.arange(height, dtype=np.float32) + 0.5) / height * 2.0 - 1.0
    radius = np.hypot(across[:, np.newaxis], down[np.newaxis, :])
    strength = np.clip(1.0 - radius, 0.0, 1.0)
    strength = strength * strength * (3.0 - 2.0 * strength)
    return _tinted(strength, paint)


def soft_box(width: int, height: int, blur: int, paint: Paint) -> pygame.Surface:
    """A blurred rectangle `blur` larger on each side than `width` x `height`."""

    def ramp(length: int) -> NDArray[np.floating]:
        place = np.arange(length + 2 * blur, dtype=np.float32) + 0.5
        edge = np.minimum(place, length + 2 * blur - place)
        share = np.clip(edge / (2.0 * blur), 0.0, 1.0)
        return np.asarray(share * share * (3.0 - 2.0 * share))

    return _tinted(np.outer(ramp(width), ramp(height)), paint)


def ellipse(
    x: float, y: float, across: float, down: float, start: float = 0.0, stop: float = 360.0
) -> list[Point]:
    """Points along an ellipse about (x, y), in degrees clockwise from the right."""
    turn = abs(stop - start)
    steps = max(8, int(turn / 360.0 * (12.0 + 4.0 * math.sqrt(max(across, down, 1.0)))))
    angles = (math.radians(start + (stop - start) * n / steps) for n in range(steps + 1))
    return [(x + across * math.cos(a), y + down * math.sin(a)) for a in angles]


def rounded(x: float, y: float, width: float, height: float, radius: float) -> list[Point]:
    """The outline of a rectangle with round corners."""
    r = min(radius, width / 2.0, height / 2.0)
    right, bottom = x + width, y + height
    return [
        *ellipse(x + r, y + r, r, r, 180, 270),
        *ellipse(right - r, y + r, r, r, 270, 360),
        *ellipse(right - r, bottom - r, r, r, 0, 90),
        *ellipse(x + r, bottom - r, r, r, 90, 180),
    ]


def in_box(width: float, height: float, shares: Sequence[Point]) -> list[Point]:
    """Points given in shares of a box's width and height."""
    return [(width * x, height * y) for x, y in shares]


def smooth(points: Sequence[Point], closed: bool = False, fine: int = 8) -> list[Point]:
    """A smooth curve through points (Catmull and Rom's, uniform)."""
    count = len(points)
    spans = count if closed else count - 1

    def at(index: int) -> Point:
        return points[index % count] if closed else points[min(max(index, 0), count - 1)]

    curve = [
        _between(at(n - 1), at(n), at(n + 1), at(n + 2), step / fine)
        for n in range(spans)
        for step in range(fine)
    ]
    return curve if closed else [*curve, points[-1]]


def _between(a: Point, b: Point, c: Point, d: Point, t: float) -> Point:
    x, y = (
        0.5
        * (
            2.0 * q
            + (r - p) * t
            + (2.0 * p - 5.0 * q + 4.0 * r - s) * t * t
            + (3.0 * q - p - 3.0 * r + s) * t * t * t
        )
        for p, q, r, s in zip(a, b, c, d, strict=True)
    )
    return x, y


def _tinted(strength: NDArray[np.floating], paint: Paint) -> pygame.Surface:
    """One paint, its opacity following `strength` from 0 to 1."""
    red, green, blue, alpha = (*paint, 255)[:4]
    picture = pygame.Surface(strength.shape, pygame.SRCALPHA)
    picture.fill((red, green, blue, 0))
    pygame.surfarray.pixels_alpha(picture)[:] = np.round(strength * alpha)
    return picture


def _straight(premultiplied: pygame.Surface) -> pygame.Surface:
    """Colours divided by their opacity again, so that an ordinary blit is right."""
    alpha = pygame.surfarray.array_alpha(premultiplied)
    edge = (alpha > 0) & (alpha < 255)
    colours = pygame.surfarray.pixels3d(premultiplied)
    share = 255.0 / alpha[edge]
    colours[edge] = np.minimum(np.round(colours[edge] * share[:, np.newaxis]), 255.0)
    return premultiplied


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
