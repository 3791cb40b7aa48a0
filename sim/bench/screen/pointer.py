"""The pointer at the apparatus: what is taken up, carried and put down becomes a wish."""

from __future__ import annotations

from dataclasses import replace

from sim.bench.model import intents as want
from sim.bench.model.desk import Carried, Desk, ball_height_m
from sim.bench.screen.layout import Box, Layout
from sim.state import Place

CLICK_PX = 6
"""A pointer that moves less than this has clicked, not carried."""
HURRIED_S = 0.45
"""A vessel swung to the beaker faster than this is poured in a hurry, and spills."""
NEAR_RULE_PX = 110
"""How far from the rule the ball may be let down to be held beside it."""
VESSELS = {"kettle": "hot", "jug": "cold"}


def taken_up(desk: Desk, layout: Layout, at: tuple[int, int]) -> Desk:
    """The desk with what lies under the pointer in the hand, if anything can be carried."""
    thing = thing_at(desk, layout, at)
    if thing is None:
        return desk
    return replace(desk, carried=Carried(thing, at, at, desk.clock_s))


def carried_on(desk: Desk, layout: Layout, at: tuple[int, int]) -> tuple[Desk, want.Intent | None]:
    """The thing in the hand follows the pointer; eye and held ball are moved as they go."""
    carried = desk.carried
    if carried is None:
        return desk, None
    desk = replace(desk, carried=replace(carried, at_px=at))
    if _clicked(carried, at):
        return desk, None
    if carried.thing == "eye":
        return desk, want.PlaceEye(layout.sight(desk.eye_m).to_m(at[1]))
    if carried.thing == "held ball":
        return desk, want.PlaceHand(_held_at_m(desk, layout, carried, at))
    return desk, None


def put_down(desk: Desk, layout: Layout, at: tuple[int, int]) -> tuple[Desk, want.Intent | None]:
    """What putting the thing down here asks for, or clicking it."""
    carried = desk.carried
    empty = replace(desk, carried=None)
    if carried is None:
        return empty, None
    if _clicked(carried, at):
        return empty, _click(desk, carried.thing)
    return empty, _dropped(desk, layout, carried, at)


def thing_at(desk: Desk, layout: Layout, at: tuple[int, int]) -> str | None:
    """The name of what can be taken up at a point of the window."""
    moving = _moving_handles(desk, layout)
    found = next((name for name, box in moving.items() if box.holds(at)), None)
    if found is not None:
        return found
    for name, box in layout.handles.items():
        if name in ("ball", "tongs", "lens", "thermometer") or not box.holds(at):
            continue
        if name == "floor puddle" and not desk.state.floor_wet:
            continue
        return "camera" if name == "camera" and desk.state.camera is None else name
    return None


def _moving_handles(desk: Desk, layout: Layout) -> dict[str, Box]:
    """Where the ball, the eye and the camera on its stand are just now, the foremost first."""
    state, handles = desk.state, {}
    height_m = ball_height_m(desk)
    sight = layout.sight(desk.eye_m)
    if state.place is Place.TONGS and state.held_height_m is not None and height_m is not None:
        handles["held ball"] = _ball_box(layout, sight.ball_px(height_m))
    elif state.place is Place.FLOOR:
        handles["ball"] = _ball_box(layout, float(layout.rule.bottom))
    elif state.place is Place.WATER:
        handles["ball"] = layout.held_ball(*layout.beaker_ball)
    elif state.place is Place.TONGS:
        handles["ball"] = layout.held_ball(*layout.hand_ball)
    else:
        handles["ball"] = layout.tray
    handles["eye"] = layout.eye_mark(desk.eye_m)
    if state.camera is not None:
        handles["camera"] = layout.camera_on_stand(state.camera.height_m)
    return handles


def _ball_box(layout: Layout, lowest_px: float) -> Box:
    return layout.held_ball(layout.ball_x_px, lowest_px - layout.px(11))


def _clicked(carried: Carried, at: tuple[int, int]) -> bool:
    return max(abs(at[0] - carried.from_px[0]), abs(at[1] - carried.from_px[1])) < CLICK_PX


def _held_at_m(desk: Desk, layout: Layout, carried: Carried, at: tuple[int, int]) -> float:
    """The hand's height as the pointer moves: the ball keeps its place under the pointer."""
    sight = layout.sight(desk.eye_m)
    moved_px = at[1] - carried.at_px[1]
    return sight.ball_m(sight.ball_px(desk.hand_m) + moved_px)


def _click(desk: Desk, thing: str) -> want.Intent | None:
    """What a click without carrying means."""
    if thing == "held ball":
        return want.LetGo()
    if thing in ("floor puddle",) or (thing == "towel" and desk.state.floor_wet):
        return want.WipeUp()
    if thing == "towel":
        return want.MoveBall("towel")
    clicks: dict[str, want.Intent] = {
        "stopwatch": want.TurnStopwatch(),
        "camera": want.UseCamera(),
    }
    return clicks.get(thing)


def _dropped(
    desk: Desk, layout: Layout, carried: Carried, at: tuple[int, int]
) -> want.Intent | None:
    if carried.thing in VESSELS:
        return _poured(desk, layout, carried, at)
    if carried.thing == "beaker":
        return want.Pour("away") if not layout.beaker.holds(at) else None
    if carried.thing == "towel":
        return want.WipeUp() if layout.floor_puddle.holds(at) else want.MoveBall("towel")
    if carried.thing == "ball":
        return _ball_put(layout, at)
    if carried.thing == "held ball" and not _near_rule(layout, at):
        return _ball_put(layout, at)
    return None


def _poured(
    desk: Desk, layout: Layout, carried: Carried, at: tuple[int, int]
) -> want.Intent | None:
    rim = layout.beaker
    above = Box(rim.x - layout.px(70), 0, rim.width + layout.px(140), rim.bottom)
    if not above.holds(at):
        return None
    careful = desk.clock_s - carried.began_s >= HURRIED_S
    if carried.thing == "kettle":
        return want.Pour("hot", carefully=careful)
    return want.Pour("cold", carefully=careful)


def _ball_put(layout: Layout, at: tuple[int, int]) -> want.Intent | None:
    rim = layout.beaker
    if Box(rim.x, rim.y - layout.px(80), rim.width, rim.height + layout.px(80)).holds(at):
        return want.MoveBall("water")
    if layout.towel.holds(at):
        return want.MoveBall("towel")
    return want.MoveBall("rule") if _near_rule(layout, at) else None


def _near_rule(layout: Layout, at: tuple[int, int]) -> bool:
    return abs(at[0] - layout.ball_x_px) <= layout.px(NEAR_RULE_PX)
