"""The picture of a desk: what is drawn, in which order. A function of desk and scene alone."""

from __future__ import annotations

from functools import lru_cache

import pygame

from analysis.quantity.units import celsius
from sim.bench.model.desk import VESSELS, Desk, shown
from sim.bench.model.seeing import ball_seen, lens_seen, poured_now
from sim.bench.screen.apparatus.instruments import (
    draw_stopwatch,
    draw_thermometer,
    draw_thermometer_lens,
)
from sim.bench.screen.apparatus.lens import (
    draw_ball_seen,
    draw_camera_on_shelf,
    draw_camera_on_stand,
    draw_lens,
)
from sim.bench.screen.apparatus.room import (
    draw_room,
    draw_towel,
)
from sim.bench.screen.apparatus.rule import draw_eye_mark, draw_jaws, draw_marker
from sim.bench.screen.apparatus.tongs import (
    UPRIGHT_DEG,
    draw_ball,
    draw_floor_shadow,
    draw_held_ball,
    draw_resting_shadow,
    draw_tongs_at_rest,
)
from sim.bench.screen.apparatus.vessels import (
    draw_beaker_back,
    draw_beaker_front,
    draw_pouring,
    draw_vessel,
    draw_water,
    vessel_lip,
)
from sim.bench.screen.apparatus.water import draw_bench_puddle, draw_floor_puddle, draw_steam
from sim.bench.screen.layout import Carried, Layout, Scene
from sim.bench.screen.leaf import draw_book, draw_help, draw_note
from sim.passing import thermometer_reading_exact_k
from sim.state import KETTLE_K, Place, State


def picture(surface: pygame.Surface, desk: Desk, scene: Scene) -> None:
    """Draw the whole window. The same desk and scene give the same picture."""
    state, layout = shown(desk), scene.layout
    carried = scene.carried.thing if scene.carried else ""
    surface.blit(room(layout), (0, 0))
    _table(surface, desk, state, layout, carried)
    _rule(surface, desk, state, layout, carried)
    _carried(surface, desk, layout, scene.carried)
    draw_note(surface, desk, layout)
    draw_book(surface, desk, scene)
    if desk.help_open:
        draw_help(surface, layout)


@lru_cache(maxsize=2)
def room(layout: Layout) -> pygame.Surface:
    """The room with nothing in it, drawn once for a layout."""
    return draw_room(layout)


def _table(surface: pygame.Surface, desk: Desk, state: State, layout: Layout, carried: str) -> None:
    """All that stands on the table or hangs above it, the farthest first."""
    if carried != "towel":
        draw_towel(surface, layout)
    draw_stopwatch(surface, layout, state.time_s, desk.stopwatch_on)
    poured = next((thing for thing, water in VESSELS.items() if water == poured_now(desk)), "")
    _vessels(surface, desk, layout, (carried, poured))
    if state.floor_wet:
        draw_floor_puddle(surface, layout)
        draw_bench_puddle(surface, layout)
    _beaker(surface, desk, state, layout, carried)
    if poured:
        draw_pouring(surface, layout, poured, layout.water_level_px(state.water_kg))
    if state.place is Place.TRAY and carried != "ball":
        x, y = layout.tray_ball
        radius = layout.table_ball_radius_px
        draw_resting_shadow(surface, x, y + radius, radius)
        draw_ball(surface, x, y + radius, radius)
    if state.place in (Place.TRAY, Place.FLOOR) and carried != "ball":
        draw_tongs_at_rest(surface, layout)


def _vessels(surface: pygame.Surface, desk: Desk, layout: Layout, away: tuple[str, ...]) -> None:
    """Kettle and jug where they stand, unless they are away; the kettle steams."""
    for thing in VESSELS:
        if thing in away:
            continue
        draw_vessel(surface, layout, thing)
        if thing == "kettle":
            lip = vessel_lip(layout, thing)
            draw_steam(surface, lip, layout.px(44), celsius(KETTLE_K), desk.clock_s)


def _beaker(
    surface: pygame.Surface, desk: Desk, state: State, layout: Layout, carried: str
) -> None:
    """Far wall, thermometer, ball, water, near wall, steam; and the thermometer's call-out."""
    reading_c = celsius(thermometer_reading_exact_k(state))
    under = state.place is Place.WATER
    draw_beaker_back(surface, layout)
    draw_thermometer(surface, layout, reading_c)
    if under and carried != "ball":
        x, y = layout.beaker_ball
        radius = layout.table_ball_radius_px
        draw_held_ball(surface, x, y + radius, radius, wet=True, turn_deg=UPRIGHT_DEG)
    draw_water(surface, layout, state.water_kg, under)
    draw_beaker_front(surface, layout)
    if state.water_kg > 0.0:
        level = layout.water_level_px(state.water_kg, under)
        mouth = (layout.beaker.centre[0], level - layout.px(4))
        water_c = celsius(state.water_k)
        draw_steam(surface, mouth, layout.beaker.width * 0.9, water_c, desk.clock_s)
    draw_thermometer_lens(surface, layout, reading_c)


def _rule(surface: pygame.Surface, desk: Desk, state: State, layout: Layout, carried: str) -> None:
    """The rule's fittings, the ball before it, the eye, the lens or the camera's picture."""
    sight = layout.sight(desk.eye_m)
    draw_jaws(surface, layout)
    draw_marker(surface, layout, state.setup.drop_height_m)
    if state.camera is None:
        draw_camera_on_shelf(surface, layout)
    ball = None if carried == "ball" else ball_seen(desk)
    lens = lens_seen(desk, ball)
    through = layout.lens_sight(lens.eye_m, lens.centre_m)
    draw_lens(surface, layout, through, lens.ball, lens.heading)
    if state.camera is not None:
        draw_camera_on_stand(surface, layout, state.camera.height_m)
    draw_eye_mark(surface, layout, desk.eye_m)
    if ball is not None:
        radius = layout.rule.height * state.ball.diameter_m / 2.0
        draw_floor_shadow(surface, layout, layout.ball_x_px, ball.lowest_m, radius)
        draw_ball_seen(surface, layout.ball_x_px, sight, ball)


def _carried(surface: pygame.Surface, desk: Desk, layout: Layout, carried: Carried | None) -> None:
    """What hangs on the pointer, or is held beside the towel."""
    if carried is None:
        _between(surface, desk, layout)
        return
    x, y = carried.at_px
    if carried.thing in VESSELS:
        box = layout.handles[carried.thing]
        at = (x - box.width // 2, y - box.height // 2)
        draw_vessel(surface, layout, carried.thing, at)
    elif carried.thing == "towel":
        draw_towel(surface, layout, (x - layout.towel.width // 2, y - layout.px(10)))
    elif carried.thing == "ball":
        radius = 0.020 * layout.px_per_m_at(x)
        draw_held_ball(surface, x, y + radius, radius, wet=desk.state.place is Place.WATER)


def _between(surface: pygame.Surface, desk: Desk, layout: Layout) -> None:
    """The ball in the tongs, neither in the water nor at the rule: before the towel."""
    state = desk.state
    if state.place is not Place.TONGS or state.held_height_m is not None:
        return
    radius = layout.table_ball_radius_px
    x, y = layout.hand_ball
    draw_held_ball(surface, x, y + radius, radius, wet=state.wet_left_s > 0.0)
