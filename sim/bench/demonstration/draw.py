"""A showing drawn: a function of the show and the window's size alone."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
import pygame

from analysis.quantity import centimetres, fixed, significant
from sim.bench.demonstration.paper import head_letters, paper, plain_letters, put_sign, write
from sim.bench.demonstration.plan import Plan, first_row
from sim.bench.demonstration.show import DROPS_PER_S, Show
from sim.bench.demonstration.warning import draw_warning
from sim.bench.layout import Box
from sim.bench.lettering import MEASURE, broken
from sim.bench.theme import BUTTON_HELD, INK, SOFT_INK
from sim.demonstration import Demonstration, FloatArray, Standing
from sim.demonstration_words import plain_sentence
from sim.scattered import lifts

WHAT = (
    "Left to cool: warmed once, then all drops of the set.   Put back: into the water before "
    "every drop."
)
FALLING = 0.75
"""From this part of the way to the next drop on, its sign is seen coming down."""
RELEASE_SIGN = 14


def draw_show(surface: pygame.Surface, show: Show) -> None:
    """Draw the whole window: the warning, or the demonstration as far as it has gone."""
    if not show.heeded:
        draw_warning(surface)
        return
    plan = _plan(show.shown, surface.get_size(), first_row(show.shown, show.progress))
    surface.blit(_landed(plan, show.shown.count(show.progress)), (0, 0))
    for side in (0, 1):
        _coming_down(surface, plan, show, side)
        _curve(surface, plan, side, (float(show.shown.count(show.progress)), show.progress))
        _ball(surface, plan, side, show.progress)
    _foot(surface, plan, show)


@lru_cache(maxsize=4)
def _plan(shown: Demonstration, size: tuple[int, int], row: int) -> Plan:
    return Plan(size, shown, row)


@lru_cache(maxsize=4)
def _paper(plan: Plan) -> pygame.Surface:
    return paper(plan)


@lru_cache(maxsize=4)
def _landed(plan: Plan, drops: int) -> pygame.Surface:
    """The page with all that stands still until the next drop lands."""
    page = _paper(plan).copy()
    standing = plan.shown.standing(drops)
    for side in (0, 1):
        for row in plan.rows:
            _strip(page, plan, standing, (row, side))
        _curve(page, plan, side, (0.0, float(drops)))
        time, warmth = plan.time_scale(side), plan.warmth_scale(side)
        for landing in plan.shown.sides[side].landings[:drops]:
            at = (time.px(landing.time_s / 60.0), warmth.px(landing.ball_k))
            put_sign(page, side, at, plan.px(RELEASE_SIGN))
    _head(page, plan, standing)
    return page


@lru_cache(maxsize=4)
def _last_words(shown: Demonstration) -> str:
    return plain_sentence(shown)


def _strip(surface: pygame.Surface, plan: Plan, standing: Standing, place: tuple[int, int]) -> None:
    """The readings of one strip, the bar of their range, and their half-range."""
    row, side = place
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


def _coming_down(surface: pygame.Surface, plan: Plan, show: Show, side: int) -> None:
    """The sign of the next reading on its way into its strip, as a falling thing goes."""
    landed = show.shown.count(show.progress)
    share = (show.progress - landed - FALLING) / (1.0 - FALLING)
    if landed >= show.shown.drops or share < 0.0:
        return
    landing = show.shown.sides[side].landings[landed]
    x = plan.height_scale(landing.row).px(float(centimetres(landing.height_m)))
    top, foot = plan.lane(landing.row, side).y, plan.ground_px(landing.row, side)
    put_sign(surface, side, (x, top + (foot - top) * share * share), plan.sign_px)


def _curve(surface: pygame.Surface, plan: Plan, side: int, part: tuple[float, float]) -> None:
    """The ball's true temperature against time, from one number of landed drops to another."""
    one = plan.shown.sides[side]
    since_s, until_s = (one.clock_s(progress) for progress in part)
    times_s, temperatures_k = one.trace(until_s)
    started = times_s >= since_s
    time, warmth = plan.time_scale(side), plan.warmth_scale(side)
    points = [
        (time.px(time_s / 60.0), warmth.px(ball_k))
        for time_s, ball_k in zip(times_s[started], temperatures_k[started], strict=True)
    ]
    for down in range(max(plan.px(2), 1) if len(points) > 1 else 0):
        pygame.draw.aalines(surface, SOFT_INK, False, [(x, y + down) for x, y in points])


def _ball(surface: pygame.Surface, plan: Plan, side: int, progress: float) -> None:
    """The ball itself, as warm as it is now."""
    one = plan.shown.sides[side]
    now_s = one.clock_s(progress)
    at = (
        plan.time_scale(side).px(now_s / 60.0),
        plan.warmth_scale(side).px(one.ball_k_at(now_s)),
    )
    pygame.draw.aacircle(surface, INK, at, plan.px(6))


def _head(surface: pygame.Surface, plan: Plan, standing: Standing) -> None:
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


def _foot(surface: pygame.Surface, plan: Plan, show: Show) -> None:
    """The last words once all drops have landed; till then the half-ranges so far."""
    letters = plain_letters(plan)
    step = MEASURE.line_height_px(letters.size_px) + plan.px(1)
    standing = show.shown.standing(show.progress)
    lines = (
        broken(_last_words(show.shown), letters.size_px, plan.words.width)
        if show.at_end
        else (WHAT, _half_ranges(standing), _pace(show))
    )
    for row, line in enumerate(lines):
        box = Box(plan.words.x, plan.words.y + row * step, plan.words.width, step)
        write(surface, line, box, letters)


def _half_ranges(standing: Standing) -> str:
    if math.isnan(standing.mean_half_range_m[0]):
        return "Mean half-range so far: none yet, it takes two drops at one temperature."
    left, back = (fixed(float(centimetres(each)), 2) for each in standing.mean_half_range_m)
    return f"Mean half-range so far: left to cool ± {left} cm, put back ± {back} cm."


def _pace(show: Show) -> str:
    if show.paused:
        return "Paused: Space goes on."
    speed = DROPS_PER_S[show.speed]
    return f"{speed:g} drops a second" if speed > 1.0 else f"A drop every {1.0 / speed:g} s."
