"""The picture of a desk: what is drawn, in which order. A function of the desk alone.

What the lens shows: the strip at the eye's level or, with the camera, a frame of the film.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import pygame

from analysis.quantity.units import celsius
from sim.bench.model.desk import Desk, WatchedFall, ball_height_m, fall_of, shown
from sim.bench.screen.apparatus.ball import (
    UPRIGHT_DEG,
    draw_ball,
    draw_floor_shadow,
    draw_held_ball,
    draw_resting_shadow,
    draw_steam,
    draw_stream,
    draw_tongs_at_rest,
)
from sim.bench.screen.apparatus.lens import (
    BallSeen,
    draw_ball_at_rule,
    draw_camera_on_shelf,
    draw_camera_on_stand,
    draw_lens,
)
from sim.bench.screen.apparatus.room import (
    draw_bench_puddle,
    draw_floor_puddle,
    draw_room,
    draw_towel,
)
from sim.bench.screen.apparatus.rule import draw_eye_mark, draw_jaws, draw_marker
from sim.bench.screen.apparatus.thermometer import (
    draw_stopwatch,
    draw_thermometer,
    draw_thermometer_lens,
)
from sim.bench.screen.apparatus.vessels import (
    draw_beaker_back,
    draw_beaker_front,
    draw_jug,
    draw_kettle,
    draw_water,
    jug_lip,
    kettle_lip,
)
from sim.bench.screen.layout import Layout, Sight
from sim.bench.screen.leaf import draw_book, draw_help, draw_note
from sim.bench.screen.pointer import VESSELS, Carried, Scene
from sim.chance import single_chance
from sim.passing import thermometer_reading_exact_k
from sim.procedure import KETTLE_K
from sim.state import CameraStand, Drop, Place, State

SETTLED_S = 0.4
"""So long after the first rebound's apex the film is shown."""
GRID_M = 0.05
"""The strip is centred on a multiple of this, so that its place tells nothing."""


class Through(NamedTuple):
    """A view through the lens."""

    sight: Sight
    ball: BallSeen | None
    heading: str


def lens_seen(desk: Desk, layout: Layout, ball: BallSeen | None) -> Through:
    """The view that the lens panel shows of this desk; `ball` is the ball as it is now."""
    stand, drop = desk.state.camera, desk.state.last_drop
    if stand is None:
        return Through(layout.lens_sight(desk.eye_m), ball, "At eye level")
    fall = desk.fall or fall_of(desk)
    if drop is None or fall is None or _still_falling(desk):
        return Through(layout.lens_sight(stand.height_m), ball, "Camera, live")
    height_m = frame_height_m(desk, stand, drop, fall)
    centre_m = round(drop.apex_m / GRID_M) * GRID_M
    heading = f"Frame {desk.frame:+d}".replace("-", "−").replace("+0", "0")
    return Through(layout.lens_sight(stand.height_m, centre_m), BallSeen(height_m), heading)


def frame_height_m(desk: Desk, stand: CameraStand, drop: Drop, fall: WatchedFall) -> float:
    """The ball's height in the frame that is shown.

    Frames miss the apex by up to half a frame, by this drop's own chance: the same chance
    that `physics.reading` gives a camera.
    """
    setup = desk.state.setup
    chance = single_chance(setup.seed, drop.number, member=setup.member)
    missed = float(chance.digit) - 0.5
    time_s = fall.path.apex_times_s[1] + (desk.frame + missed) / stand.camera.frames_per_second
    return float(fall.path.height_m(time_s))


def _still_falling(desk: Desk) -> bool:
    """Whether the film of the drop that is being watched is not complete yet."""
    fall = desk.fall
    if fall is None:
        return False
    return desk.clock_s - fall.began_s < fall.path.apex_times_s[1] + SETTLED_S


POUR_S = 0.9
"""How long a pouring vessel is seen over the beaker."""
TILT_DEG = 32


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
    poured = _pouring(desk)
    if carried != "towel":
        draw_towel(surface, layout)
    draw_stopwatch(surface, layout, state.time_s, desk.stopwatch_on)
    if carried != "kettle" and poured != "hot":
        draw_kettle(surface, layout)
        draw_steam(surface, kettle_lip(layout), layout.px(44), celsius(KETTLE_K), desk.clock_s)
    if carried != "jug" and poured != "cold":
        draw_jug(surface, layout)
    if state.floor_wet:
        draw_floor_puddle(surface, layout)
        draw_bench_puddle(surface, layout)
    _beaker(surface, desk, state, layout, carried)
    if poured:
        _poured(surface, poured, state, layout)
    if state.place is Place.TRAY and carried != "ball":
        x, y = layout.tray_ball
        radius = layout.table_ball_radius_px
        draw_resting_shadow(surface, x, y + radius, radius)
        draw_ball(surface, x, y + radius, radius)
    if state.place in (Place.TRAY, Place.FLOOR) and carried != "ball":
        draw_tongs_at_rest(surface, layout)


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


def _pouring(desk: Desk) -> str:
    """What is being poured just now, or nothing."""
    pouring = desk.pouring
    if pouring is None or desk.clock_s - pouring.began_s > POUR_S:
        return ""
    return pouring.what


def _poured(surface: pygame.Surface, what: str, state: State, layout: Layout) -> None:
    """The vessel tilted over the beaker, and the stream from its lip."""
    level = layout.water_level_px(state.water_kg)
    if what == "hot":
        at = (layout.beaker.x - layout.px(108), layout.beaker.y - layout.px(152))
        draw_stream(surface, kettle_lip(layout, at, TILT_DEG), level, layout.px(7))
        draw_kettle(surface, layout, at, TILT_DEG)
    elif what == "cold":
        at = (layout.beaker.x + layout.px(58), layout.beaker.y - layout.px(112))
        draw_stream(surface, jug_lip(layout, at, TILT_DEG), level, layout.px(8))
        draw_jug(surface, layout, at, TILT_DEG)


def _rule(surface: pygame.Surface, desk: Desk, state: State, layout: Layout, carried: str) -> None:
    """The rule's fittings, the ball before it, the eye, the lens or the camera's picture."""
    sight = layout.sight(desk.eye_m)
    draw_jaws(surface, layout)
    draw_marker(surface, layout, state.setup.drop_height_m)
    if state.camera is None:
        draw_camera_on_shelf(surface, layout)
    ball = None if carried == "ball" else ball_seen(desk)
    through = lens_seen(desk, layout, ball)
    draw_lens(surface, layout, through.sight, through.ball, through.heading)
    if state.camera is not None:
        draw_camera_on_stand(surface, layout, state.camera.height_m)
    draw_eye_mark(surface, layout, desk.eye_m)
    if ball is not None:
        radius = layout.rule.height * state.ball.diameter_m / 2.0
        draw_floor_shadow(surface, layout, layout.ball_x_px, ball.lowest_m, radius)
        draw_ball_at_rule(surface, layout, sight, ball)


def ball_seen(desk: Desk) -> BallSeen | None:
    """The ball beside the rule or on the floor; None while it is on the table."""
    state = desk.state
    height_m = ball_height_m(desk)
    if height_m is None:
        return BallSeen(0.0) if state.place is Place.FLOOR else None
    held = state.held_height_m is not None
    return BallSeen(height_m, wet=held and state.wet_left_s > 0.0, held=held)


def _carried(surface: pygame.Surface, desk: Desk, layout: Layout, carried: Carried | None) -> None:
    """What hangs on the pointer, or is held beside the towel."""
    if carried is None:
        _between(surface, desk, layout)
        return
    x, y = carried.at_px
    if carried.thing in VESSELS:
        draw = draw_kettle if carried.thing == "kettle" else draw_jug
        box = layout.kettle if carried.thing == "kettle" else layout.jug
        draw(surface, layout, (x - box.width // 2, y - box.height // 2))
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
