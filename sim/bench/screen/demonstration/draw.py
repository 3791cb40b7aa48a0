"""The demonstration drawn as it stands at one moment: for the window and for the film.

All that is shown is chosen here: strips of readings at the left, one row a temperature; at
the right the ball's true temperature against time; the spreads above and the words below.
Circles: left to cool; crosses: put back; never told apart by colour. The picture follows from
the demonstration, the moment and the size alone.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

import numpy as np
import pygame

from analysis.quantity.units import (
    FloatArray,
    celsius,
    centimetres,
    fixed,
    kelvin,
    minutes,
    plain,
    significant,
    temperature_text,
)
from sim.bench.screen.apparatus.brush import Plate, ellipse
from sim.bench.screen.demonstration.plan import TYPE_HEAD, TYPE_PLAIN, ShowPlan, first_row
from sim.bench.screen.lettering import MEASURE, broken, line_surface
from sim.bench.ui.theme import (
    BUTTON_HELD,
    INK,
    PAGE,
    PAGE_RULING,
    SOFT_INK,
    Box,
    Colour,
)
from sim.teaching.demonstration import (
    NAMES,
    Demonstration,
    ReadingsSoFar,
    lifts,
    plain_sentence,
)

WHAT = (
    "Left to cool: warmed once, then all drops of the set.   Put back: into the water before "
    "every drop."
)
FALLING = 0.75
"""From this part of the way to the next drop on, its sign is seen coming down."""
RELEASE_SIGN = 14


def draw_moment(
    surface: pygame.Surface, shown: Demonstration, progress: float, pace: str = ""
) -> None:
    """Draw the page when so many drops have landed, fractions on the way to the next.

    `pace` is said below, with the half-ranges, until all have landed.
    """
    plan = plan_of(shown, surface.get_size(), first_row(shown, progress))
    landed = shown.count(progress)
    surface.blit(_landed(plan, landed), (0, 0))
    for side in (0, 1):
        _coming_down(surface, plan, progress, side)
        _curve(surface, plan, side, (float(landed), progress))
        _ball(surface, plan, side, progress)
    _foot(surface, plan, progress, pace)


@lru_cache(maxsize=4)
def _paper(plan: ShowPlan) -> pygame.Surface:
    """The page with its axes, their numbers and names."""
    sheet = pygame.Surface(plan.size)
    sheet.fill(PAGE)
    _key(sheet, plan)
    for row in plan.rows:
        _paper_strip(sheet, plan, row)
    for side in (0, 1):
        _panel(sheet, plan, side)
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


def plain_letters(plan: ShowPlan, ink: Colour = INK) -> Letters:
    """The ordinary lettering of the page."""
    return Letters(plan.px(TYPE_PLAIN), ink)


def head_letters(plan: ShowPlan) -> Letters:
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


def _key(sheet: pygame.Surface, plan: ShowPlan) -> None:
    x = plan.key.x
    for side, name in enumerate(NAMES):
        put_sign(sheet, side, (x + plan.px(14), plan.key.centre[1]), plan.px(24))
        box = Box(x + plan.px(36), plan.key.y, plan.px(200), plan.key.height)
        x = write(sheet, name, box, head_letters(plan)).right + plan.px(30)


def _paper_strip(sheet: pygame.Surface, plan: ShowPlan, row: int) -> None:
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


def _panel(sheet: pygame.Surface, plan: ShowPlan, side: int) -> None:
    """A field for the ball's true temperature against time."""
    panel = plan.panel(side)
    title = plan.title(side)
    put_sign(sheet, side, (title.x + plan.px(12), title.centre[1]), plan.px(20))
    words = Box(title.x + plan.px(32), title.y, title.width, title.height)
    write(sheet, "true temperature of the ball / °C", words, plain_letters(plan))
    warmth, time = plan.warmth_scale(side), plan.time_scale(side)
    in_c = replace(warmth, low=celsius(warmth.low), high=celsius(warmth.high))
    for value in in_c.ticks(plan.px(40)):
        y = round(warmth.px(kelvin(value)))
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


@lru_cache(maxsize=4)
def plan_of(shown: Demonstration, size: tuple[int, int], row: int) -> ShowPlan:
    """The page's plan for a window, kept: its places are worked out once."""
    return ShowPlan(size, shown, row)


@lru_cache(maxsize=4)
def _landed(plan: ShowPlan, drops: int) -> pygame.Surface:
    """The page with all that stands still until the next drop lands."""
    page = _paper(plan).copy()
    standing = plan.shown.standing(drops)
    for side in (0, 1):
        for row in plan.rows:
            _strip(page, plan, standing, row, side)
        _curve(page, plan, side, (0.0, float(drops)))
        time, warmth = plan.time_scale(side), plan.warmth_scale(side)
        for landing in plan.shown.sides[side].landings[:drops]:
            at = (time.px(minutes(landing.time_s)), warmth.px(landing.ball_k))
            put_sign(page, side, at, plan.px(RELEASE_SIGN))
    _head(page, plan, standing)
    return page


@lru_cache(maxsize=4)
def _last_words(shown: Demonstration) -> str:
    return plain_sentence(shown)


def _strip(
    surface: pygame.Surface, plan: ShowPlan, standing: ReadingsSoFar, row: int, side: int
) -> None:
    """The readings of one strip, the bar of their range, and their half-range."""
    scale, ground_y = plan.height_scale(row), plan.ground_px(row, side)
    heights_cm = centimetres(standing.heights_m[side][row])
    known = heights_cm[~np.isnan(heights_cm)]
    half_cm = float(centimetres(standing.half_range_m[side][row]))
    if math.isfinite(half_cm):
        left, right = scale.px(float(known.min())), scale.px(float(known.max()))
        bar = pygame.Rect(round(left), ground_y - plan.px(5), round(right - left), plan.px(10))
        pygame.draw.rect(surface, BUTTON_HELD, bar)
        box = plan.beside(row, side)
        put_sign(surface, side, (box.x + plan.px(8), box.centre[1]), plan.px(16))
        words = Box(box.x + plan.px(28), box.y, box.width, box.height)
        write(surface, f"± {fixed(half_cm, 2)} cm", words, plain_letters(plan))
    room = plan.lane(row, side).height - plan.sign_px
    for height_cm, lift in zip(known, _lifted_px(known, plan.sign_px, room), strict=True):
        put_sign(surface, side, (scale.px(float(height_cm)), ground_y - lift), plan.sign_px)


def _lifted_px(values: FloatArray, sign_px: int, room_px: int) -> FloatArray:
    """Equal readings stand on one another, closer where there are many."""
    steps = lifts(values)
    most = float(steps.max()) if steps.size else 0.0
    lifted: FloatArray = steps * (min(0.6 * sign_px, room_px / most) if most else 0.0)
    return lifted


def _coming_down(surface: pygame.Surface, plan: ShowPlan, progress: float, side: int) -> None:
    """The sign of the next reading on its way into its strip, as a falling thing goes."""
    landed = plan.shown.count(progress)
    share = (progress - landed - FALLING) / (1.0 - FALLING)
    if landed >= plan.shown.drops or share < 0.0:
        return
    landing = plan.shown.sides[side].landings[landed]
    x = plan.height_scale(landing.row).px(float(centimetres(landing.height_m)))
    top, foot = plan.lane(landing.row, side).y, plan.ground_px(landing.row, side)
    put_sign(surface, side, (x, top + (foot - top) * share * share), plan.sign_px)


def _curve(surface: pygame.Surface, plan: ShowPlan, side: int, part: tuple[float, float]) -> None:
    """The ball's true temperature against time, from one number of landed drops to another."""
    one = plan.shown.sides[side]
    since_s, until_s = (one.clock_s(progress) for progress in part)
    times_s, temperatures_k = one.trace(until_s)
    started = times_s >= since_s
    time, warmth = plan.time_scale(side), plan.warmth_scale(side)
    points = [
        (time.px(minutes(time_s)), warmth.px(ball_k))
        for time_s, ball_k in zip(times_s[started], temperatures_k[started], strict=True)
    ]
    for down in range(max(plan.px(2), 1) if len(points) > 1 else 0):
        pygame.draw.aalines(surface, SOFT_INK, False, [(x, y + down) for x, y in points])


def _ball(surface: pygame.Surface, plan: ShowPlan, side: int, progress: float) -> None:
    """The ball itself, as warm as it is now."""
    one = plan.shown.sides[side]
    now_s = one.clock_s(progress)
    at = (
        plan.time_scale(side).px(minutes(now_s)),
        plan.warmth_scale(side).px(one.ball_k_at(now_s)),
    )
    pygame.draw.aacircle(surface, INK, at, plan.px(6))


def _head(surface: pygame.Surface, plan: ShowPlan, standing: ReadingsSoFar) -> None:
    count = f"drop {standing.drops} of {plan.shown.drops}"
    letters = head_letters(plan)
    write(surface, count, plan.count, letters)
    ratio = standing.spreads.ratio
    said = significant(ratio, 2) if math.isfinite(ratio) else "…"
    box = plan.ratio
    x = write(surface, "spread", box, letters).right + plan.px(14)
    for side, between in ((1, "÷"), (0, f"= {said}")):
        put_sign(surface, side, (x + plan.px(10), box.centre[1]), plan.px(22))
        rest = Box(x + plan.px(30), box.y, box.width, box.height)
        x = write(surface, between, rest, letters).right + plan.px(10)


def _foot(surface: pygame.Surface, plan: ShowPlan, progress: float, pace: str) -> None:
    """The last words once all drops have landed; till then the half-ranges so far."""
    letters = plain_letters(plan)
    step = MEASURE.line_height_px(letters.size_px) + plan.px(1)
    standing = plan.shown.standing(progress)
    lines = (
        broken(_last_words(plan.shown), letters.size_px, plan.words.width)
        if standing.drops == plan.shown.drops
        else (WHAT, _half_ranges(standing), pace)
    )
    for row, line in enumerate(lines):
        box = Box(plan.words.x, plan.words.y + row * step, plan.words.width, step)
        write(surface, line, box, letters)


def _half_ranges(standing: ReadingsSoFar) -> str:
    if math.isnan(standing.mean_half_range_m[0]):
        return "Mean half-range so far: none yet, it takes two drops at one temperature."
    left, back = (fixed(float(centimetres(each)), 2) for each in standing.mean_half_range_m)
    return f"Mean half-range so far: left to cool ± {left} cm, put back ± {back} cm."
