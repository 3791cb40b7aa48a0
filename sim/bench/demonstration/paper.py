"""What is printed on the demonstration's page before any drop has landed, drawn once."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

import pygame

from analysis.quantity import plain, temperature_text
from physics.constants import ZERO_CELSIUS_K
from sim.bench.apparatus.brush import Plate, ellipse
from sim.bench.demonstration.keys import WORDS
from sim.bench.demonstration.plan import TYPE_HEAD, TYPE_PLAIN, Plan
from sim.bench.layout import Box
from sim.bench.lettering import line_surface
from sim.bench.theme import INK, PAGE, PAGE_RULING, SOFT_INK, Colour
from sim.demonstration import NAMES


def paper(plan: Plan) -> pygame.Surface:
    """The page with its axes, their numbers and names."""
    sheet = pygame.Surface(plan.size)
    sheet.fill(PAGE)
    _key(sheet, plan)
    for row in plan.rows:
        _strip(sheet, plan, row)
    for side in (0, 1):
        _panel(sheet, plan, side)
    write(sheet, WORDS, plan.keys, plain_letters(plan, SOFT_INK))
    return sheet


class Letters(NamedTuple):
    """How large lettering is, in pixels, and how it looks."""

    size_px: int
    ink: Colour = INK
    bold: bool = False


def write(surface: pygame.Surface, text: str, box: Box, letters: Letters) -> pygame.Rect:
    """Set one line at the left of a box, in the middle of its height."""
    line = line_surface(text, letters.size_px, letters.ink, letters.bold)
    return surface.blit(line, (box.x, box.y + (box.height - line.get_height()) // 2))


def plain_letters(plan: Plan, ink: Colour = INK) -> Letters:
    """The ordinary lettering of the page."""
    return Letters(plan.px(TYPE_PLAIN), ink)


def head_letters(plan: Plan) -> Letters:
    """The lettering of what is read first."""
    return Letters(plan.px(TYPE_HEAD), INK, bold=True)


@lru_cache(maxsize=16)
def sign(side: int, size_px: int) -> pygame.Surface:
    """A reading's sign: an open circle for left to cool, a cross for put back."""
    plate = Plate(size_px + 4, size_px + 4)
    middle, reach, pen = size_px / 2 + 2, size_px / 2, max(size_px / 6, 2.0)
    if side == 0:
        ring = ellipse(middle, middle, reach - pen / 2, reach - pen / 2)
        plate.area(ring, PAGE)
        plate.stroke(ring, INK, pen)
    else:
        low, high = middle - reach * 0.8, middle + reach * 0.8
        plate.stroke([(low, low), (high, high)], INK, pen * 1.2)
        plate.stroke([(low, high), (high, low)], INK, pen * 1.2)
    return plate.finished()


def put_sign(surface: pygame.Surface, side: int, at: tuple[float, float], size_px: int) -> None:
    """A sign about a point."""
    picture = sign(side, size_px)
    surface.blit(picture, (round(at[0]) - size_px // 2 - 2, round(at[1]) - size_px // 2 - 2))


def _key(sheet: pygame.Surface, plan: Plan) -> None:
    x = plan.key.x
    for side, name in enumerate(NAMES):
        put_sign(sheet, side, (x + plan.px(14), plan.key.centre[1]), plan.px(24))
        box = Box(x + plan.px(36), plan.key.y, plan.px(200), plan.key.height)
        x = write(sheet, name, box, head_letters(plan)).right + plan.px(30)


def _strip(sheet: pygame.Surface, plan: Plan, row: int) -> None:
    """A row's temperature, its axis in centimetres and the signs of its strips."""
    whole, lower = plan.row(row), plan.lane(row, 1)
    label = Box(whole.x, plan.lane(row, 0).y, plan.px(96), 2 * lower.height)
    write(sheet, temperature_text(plan.shown.temperatures_k[row]), label, head_letters(plan))
    line_y = lower.bottom + plan.px(2)
    pygame.draw.line(sheet, INK, (lower.x, line_y), (lower.right, line_y), max(plan.px(2), 1))
    scale = plan.height_scale(row)
    for value in scale.ticks(plan.px(64)):
        x = round(scale.px(value))
        top = plan.lane(row, 0).y
        pygame.draw.line(sheet, PAGE_RULING, (x, top), (x, line_y - 2), 1)
        pygame.draw.line(sheet, INK, (x, line_y), (x, line_y + plan.px(5)), max(plan.px(2), 1))
        number = line_surface(plain(value, 1), plan.px(TYPE_PLAIN), SOFT_INK)
        sheet.blit(number, (x - number.get_width() // 2, line_y + plan.px(5)))
    unit = line_surface("cm", plan.px(TYPE_PLAIN), SOFT_INK)
    sheet.blit(unit, (lower.right + plan.px(34), line_y + plan.px(5)))


def _panel(sheet: pygame.Surface, plan: Plan, side: int) -> None:
    """A field for the ball's true temperature against time."""
    panel = plan.panel(side)
    title = plan.title(side)
    put_sign(sheet, side, (title.x + plan.px(12), title.centre[1]), plan.px(20))
    words = Box(title.x + plan.px(32), title.y, title.width, title.height)
    write(sheet, "true temperature of the ball / °C", words, plain_letters(plan))
    warmth, time = plan.warmth_scale(side), plan.time_scale(side)
    celsius = replace(warmth, low=warmth.low - ZERO_CELSIUS_K, high=warmth.high - ZERO_CELSIUS_K)
    for value in celsius.ticks(plan.px(40)):
        y = round(warmth.px(value + ZERO_CELSIUS_K))
        pygame.draw.line(sheet, PAGE_RULING, (panel.x, y), (panel.right, y), max(plan.px(1), 1))
        number = line_surface(plain(value, 1), plan.px(TYPE_PLAIN), SOFT_INK)
        place = (panel.x - number.get_width() - plan.px(8), y - number.get_height() // 2)
        sheet.blit(number, place)
    for value in time.ticks(plan.px(80)):
        x = round(time.px(value))
        pygame.draw.line(sheet, INK, (x, panel.bottom), (x, panel.bottom + plan.px(5)), 2)
        text = plain(value, 1) if value else "0 min"
        number = line_surface(text, plan.px(TYPE_PLAIN), SOFT_INK)
        left = x - number.get_width() // 2 if value else x - plan.px(6)
        sheet.blit(number, (left, panel.bottom + plan.px(5)))
    pen = max(plan.px(2), 1)
    pygame.draw.line(sheet, INK, (panel.x, panel.y), (panel.x, panel.bottom), pen)
    pygame.draw.line(sheet, INK, (panel.x, panel.bottom), (panel.right, panel.bottom), pen)
