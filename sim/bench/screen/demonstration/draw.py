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

from analysis.paper.document import typeset
from analysis.quantity.units import (
    FloatArray,
    celsius,
    centimetres,
    counted,
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
from sim.procedure import BATH_WORDS
from sim.teaching.demonstration import (
    NAMES,
    Demonstration,
    ReadingsSoFar,
    lifts,
    minutes_text,
    own_about_cm,
    plain_sentence,
)

QUESTION = (
    "Which will scatter more: these readings, or those with the ball put back before every drop?",
    "Say why. Then Space.",
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
    landed = min(max(int(progress), 0), shown.length)
    surface.blit(_landed(plan, landed), (0, 0))
    for side in (0, 1):
        on_the_way = shown.progress_of(side, progress)
        _coming_down(surface, plan, on_the_way, side)
        _curve(surface, plan, side, (float(int(on_the_way)), on_the_way))
        if side == 0 or progress > shown.drops:
            _ball(surface, plan, side, on_the_way)
    if progress == shown.drops:
        _ask(surface, plan)
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
    """A reading's sign: open circle for left to cool, cross for put back, triangle for own."""
    plate = Plate(size_px + 4, size_px + 4)
    middle, reach, pen = size_px / 2 + 2, size_px / 2, max(size_px / 6, 2.0)
    if side == 2:
        top, foot = middle - reach * 0.8, middle + reach * 0.7
        plate.area([(middle, top), (middle + reach, foot), (middle - reach, foot)], SOFT_INK)
    elif side == 0:
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
    lower, label = plan.lane(row, plan.lanes - 1), _label(plan, row)
    above = Box(label.x, label.y, label.width, label.height // 2)
    write(sheet, temperature_text(plan.shown.temperatures_k[row]), above, head_letters(plan))
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
    if plan.shown.own is not None:
        write(sheet, "own", Box(label.x, lower.y, label.width, lower.height), plain_letters(plan))
        _strip(sheet, plan, own_about_cm(plan.shown, row, (scale.low + scale.high) / 2), (row, 2))


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
    for side, landed in enumerate(standing.drops):
        for row in plan.rows:
            heights_cm = centimetres(standing.heights_m[side][row])
            _strip(page, plan, heights_cm[~np.isnan(heights_cm)], (row, side))
        _curve(page, plan, side, (0.0, float(landed)))
        time, warmth = plan.time_scale(side), plan.warmth_scale(side)
        for landing in plan.shown.sides[side].landings[:landed]:
            at = (time.px(minutes(landing.time_s)), warmth.px(landing.ball_k))
            put_sign(page, side, at, plan.px(RELEASE_SIGN))
    for row in plan.rows:
        if standing.drops[0] > row * plan.shown.repeats:
            _own_warmth(page, plan, row)
    _head(page, plan, standing)
    return page


def _own_warmth(page: pygame.Surface, plan: ShowPlan, row: int) -> None:
    """How warm the ball itself is, below the water's temperature, when it is first dropped."""
    landing = plan.shown.sides[0].landings[row * plan.shown.repeats]
    label = _label(plan, row)
    below = Box(label.x, label.y + label.height // 2, label.width, label.height // 2)
    text = f"ball {fixed(float(celsius(landing.ball_k)), 0)} °C"
    write(page, text, below, plain_letters(plan))


def _label(plan: ShowPlan, row: int) -> Box:
    """The place of a row's temperatures, beside the strips of both procedures."""
    first, second = plan.lane(row, 0), plan.lane(row, 1)
    return Box(plan.row(row).x, first.y, plan.px(130), second.bottom - first.y)


@lru_cache(maxsize=4)
def _last_words(shown: Demonstration) -> str:
    # No number leaves its unit or its sign at the end of a line.
    return typeset(plain_sentence(shown)).replace("± ", "±\u00a0")


def _strip(
    surface: pygame.Surface, plan: ShowPlan, known: FloatArray, lane: tuple[int, int]
) -> None:
    """The readings (cm) of the strip of a row and side, the bar of their range, the half-range."""
    row, side = lane
    scale, ground_y = plan.height_scale(row), plan.ground_px(row, side)
    if known.size > 1:
        half_cm = float(np.ptp(known)) / 2.0
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


def _ask(surface: pygame.Surface, plan: ShowPlan) -> None:
    """The question between the two procedures, where the second one's curve will be drawn."""
    panel = plan.panel(1)
    area = pygame.Rect(panel.x + plan.px(2), panel.y, panel.width, panel.height - plan.px(2))
    surface.fill(PAGE, area)
    lines = [
        line
        for text in QUESTION
        for line in broken(text, plan.px(TYPE_HEAD), panel.width - plan.px(20), True)
    ]
    step = min(MEASURE.line_height_px(plan.px(TYPE_HEAD), True), panel.height // len(lines))
    for place, line in enumerate(lines):
        box = Box(panel.x + plan.px(14), panel.y + place * step, panel.width, step)
        write(surface, line, box, head_letters(plan))


def _coming_down(surface: pygame.Surface, plan: ShowPlan, progress: float, side: int) -> None:
    """The sign of the next reading on its way into its strip, as a falling thing goes.

    `progress` is that of its own side; a side that has not begun has none.
    """
    landed = int(progress)
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
    count = f"drop {sum(standing.drops)} of {plan.shown.length}"
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
    side = int(progress >= plan.shown.drops)
    lines: tuple[str, ...] = (_what(plan.shown, side), _half_ranges(plan.shown, standing), pace)
    if sum(standing.drops) == plan.shown.length:
        lines = tuple(broken(_last_words(plan.shown), letters.size_px, plan.words.width))
    for row, line in enumerate(lines):
        box = Box(plan.words.x, plan.words.y + row * step, plan.words.width, step)
        write(surface, line, box, letters)


def _what(shown: Demonstration, side: int) -> str:
    """What is done, in which bath, and how long it takes."""
    plan = shown.procedure
    soak = f"{plain(minutes(plan.soak_s), 1)} min in {BATH_WORDS[plan.bath]}"
    done = (
        f"{soak}, then all {counted(plan.repeats, 'drop')} of a set"
        if side == 0
        else f"{soak} before every drop"
    )
    return f"{NAMES[side].capitalize()}: {done}. It takes {minutes_text(shown, side)}."


def _half_ranges(shown: Demonstration, standing: ReadingsSoFar) -> str:
    if math.isnan(standing.mean_half_range_m[0]):
        return "Mean half-range so far: none yet, it takes two drops at one temperature."
    said = [
        f"{name} ± {fixed(float(centimetres(each)), 2)} cm"
        for name, each in zip(NAMES, standing.mean_half_range_m, strict=True)
        if math.isfinite(each)
    ]
    if shown.own is not None and math.isfinite(shown.own.half_range_m):
        own_cm = fixed(float(centimetres(shown.own.half_range_m)), 2)
        said.append(f"own readings, laid mean on middle, ± {own_cm} cm")
    return f"Mean half-range so far: {', '.join(said)}."
