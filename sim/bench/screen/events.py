"""From pygame's events to wishes: keys and wheel, and what the pointer is put on and carries.

What the window alone does with page and pointer stays here; everything else becomes intents.
"""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import pygame

from sim.bench.model import intents as want
from sim.bench.model.desk import BENCH, PAPER, Desk, ball_height_m
from sim.bench.model.handling import HURRIED_S, VESSELS, Onto, carried_onto, clicked
from sim.bench.model.keys import Held, intent_of, writing
from sim.bench.model.pages.graph_page import line_begins
from sim.bench.screen.layout import Layout
from sim.bench.screen.scene import Carried, Point, Scene
from sim.bench.ui.fields import Cut, Paste, PlaceCaret, Typed
from sim.bench.ui.theme import Box
from sim.state import Place

WHEEL_PX = 48
_NAMES = {code: name[2:] for name, code in vars(pygame).items() if name.startswith("K_")}
"""What the table of keys calls a key, by pygame's number for it."""
_PAGE_KEYS = {pygame.K_PAGEUP: -8, pygame.K_PAGEDOWN: 8}
"""How many turns of the wheel a key is worth."""


class Scroll(NamedTuple):
    """Move the page up or down, in pixels at 100 % text."""

    by_px: int


def wish_of(event: pygame.Event, desk: Desk) -> want.Intent | Scroll | Point | None:
    """The wish that an event stands for at this desk, or None."""
    if event.type == pygame.QUIT:
        return want.Leave()
    if event.type == pygame.TEXTINPUT:
        return want.EditText(Typed(event.text)) if writing(desk) else None
    if event.type == pygame.MOUSEWHEEL:
        return Scroll(-event.y * WHEEL_PX)
    if event.type == pygame.KEYDOWN:
        return _key(event, desk)
    return _pointing(event)


def key_name(event: pygame.Event) -> str:
    """What the table of keys calls the key that went down."""
    return _NAMES.get(event.key, "")


def _key(event: pygame.Event, desk: Desk) -> want.Intent | Scroll | None:
    held = Held(
        shift=bool(event.mod & pygame.KMOD_SHIFT),
        control=bool(event.mod & pygame.KMOD_CTRL),
        alt=bool(event.mod & pygame.KMOD_ALT),
    )
    found = intent_of(key_name(event), held, desk)
    if found is not None or desk.focus in (BENCH, PAPER):
        return found
    if event.key in _PAGE_KEYS:
        return Scroll(_PAGE_KEYS[event.key] * WHEEL_PX)
    return _clipboard(event.key, desk) if held.control else None


def _clipboard(key: int, desk: Desk) -> want.Intent | None:
    """Copy, cut and paste go through the system's clipboard; copying changes nothing."""
    if key == pygame.K_v:
        return want.EditText(Paste(pygame.scrap.get_text()))
    field = desk.fields.get(desk.focus)
    if key in (pygame.K_c, pygame.K_x) and field is not None and field.selected:
        pygame.scrap.put_text(field.selected)
        return want.EditText(Cut()) if key == pygame.K_x else None
    return None


def _pointing(event: pygame.Event) -> Point | None:
    if event.type == pygame.MOUSEMOTION:
        return Point("move", event.pos)
    if event.type in (pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP) and event.button == 1:
        return Point("down" if event.type == pygame.MOUSEBUTTONDOWN else "up", event.pos)
    return None


CLICK_PX = 6
"""A pointer that moves less than this has clicked, not carried."""
DIAL = ("dial up", "dial down")
NEAR_RULE_PX = 110
"""How far from the rule the ball may be let down to be held beside it."""


Pointed = tuple[Carried | None, tuple[want.Intent, ...]]
"""What the pointer holds from now on, and what is wished for."""


def pointed(desk: Desk, scene: Scene, point: Point) -> Pointed:
    """What follows when the pointer goes down, moves or comes up; a help leaf only goes away."""
    if desk.help_open:
        return scene.carried, (want.Dismiss(),) if point.what == "down" else ()
    if point.what == "down":
        return _down(desk, scene, point.at)
    if scene.carried is None:
        return None, ()
    if scene.carried.thing == PAPER:
        return _pencil(scene, scene.carried, point)
    if point.what == "up":
        return None, _put_down(desk, scene.layout, scene.carried, point.at)
    moved = replace(scene.carried, at_px=point.at)
    return moved, _carried_on(desk, scene.layout, scene.carried, point.at)


def _down(desk: Desk, scene: Scene, at: tuple[int, int]) -> Pointed:
    """Down on the apparatus, on a ribbon, or on the page."""
    if scene.layout.corner.holds(at):
        thing = thing_at(desk, scene.layout, at)
        carried = None if thing is None else Carried(thing, at, at, desk.clock_s)
        return carried, (want.FocusOn(BENCH),)
    for number, (_, box) in enumerate(scene.ribbons, start=1):
        if box.holds(at):
            return None, (want.OpenPage(number),)
    point = scene.on_page(at)
    name = scene.sheet.name_at(*point)
    if name is None:
        return None, ()
    focus = want.FocusOn(name)
    if name == PAPER:
        begun: tuple[want.Intent, ...] = (focus, *_placed(scene, at))
        if line_begins(desk):
            begun = (*begun, want.Press(PAPER))
        return Carried(PAPER, at, at, desk.clock_s), begun
    if name in desk.fields:
        caret = PlaceCaret(scene.sheet.caret_index(name, *point))
        return None, (focus, want.EditText(caret))
    return None, (focus, want.Press(name))


def _pencil(scene: Scene, carried: Carried, point: Point) -> Pointed:
    """The pencil follows the pointer, and is put down where it comes up, or where it was clicked.

    Past the edge of the view the sheet moves along; coming up there puts nothing down.
    """
    clicked_only = _clicked(carried, point.at)
    placed = _placed(scene, carried.from_px if clicked_only else point.at)
    if not placed or point.what == "move":
        return carried if placed else None, placed
    frame = scene.sheet.frame(PAPER)
    inside = frame and frame.paper and frame.paper[1].grid.inset(-2).holds(scene.on_page(point.at))
    return None, (*placed, want.Press(PAPER)) if inside else placed


def _placed(scene: Scene, at: tuple[int, int]) -> tuple[want.Intent, ...]:
    """The pencil's point under the pointer; nothing where no graph paper is on the page."""
    frame = scene.sheet.frame(PAPER)
    if frame is None or frame.paper is None:
        return ()
    return (want.PlacePencil(*frame.paper[1].to_place(*scene.on_page(at))),)


def _carried_on(
    desk: Desk, layout: Layout, carried: Carried, at: tuple[int, int]
) -> tuple[want.Intent, ...]:
    """Eye and held ball are moved as the pointer goes."""
    if _clicked(carried, at):
        return ()
    if carried.thing == "eye":
        return (want.PlaceEye(layout.sight(desk.eye_m).to_m(at[1])),)
    if carried.thing == "held ball":
        return (want.PlaceHand(_held_at_m(desk, layout, carried, at)),)
    return ()


def _put_down(
    desk: Desk, layout: Layout, carried: Carried, at: tuple[int, int]
) -> tuple[want.Intent, ...]:
    """What putting the thing down here asks for, or clicking it."""
    if _clicked(carried, at):
        wish = clicked(desk, carried.thing)
    elif carried.thing in DIAL:
        wish = want.TurnDial(layout.dial_turn_k(carried.from_px, at))
    else:
        careful = desk.clock_s - carried.began_s >= HURRIED_S
        wish = carried_onto(carried.thing, _onto(layout, carried.thing, at), careful)
    return () if wish is None else (wish,)


def _onto(layout: Layout, thing: str, at: tuple[int, int]) -> Onto:
    """Upon what a thing is put down; a vessel need only come over the beaker."""
    rim, bath, px = layout.beaker, layout.bath, layout.px
    beside, above = (px(70), rim.y) if thing in VESSELS else (0, px(80))
    over = Box(rim.x - beside, rim.y - above, rim.width + 2 * beside, rim.height + above)
    places: tuple[tuple[Onto, bool], ...] = (
        ("beaker", (rim if thing == "beaker" else over).holds(at)),
        ("bath", (bath._replace(y=bath.y - above, height=bath.height + above)).holds(at)),
        ("puddle", thing == "towel" and layout.floor_puddle.holds(at)),
        ("towel", layout.towel.holds(at)),
        ("rule", abs(at[0] - layout.ball_x_px) <= px(NEAR_RULE_PX)),
    )
    return next((name for name, there in places if there), "")


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


def place_of_thing(desk: Desk, layout: Layout, thing: str) -> Box:
    """Where a thing is just now, by the name that the focus knows it by."""
    moving = _moving_handles(desk, layout)
    if thing == "ball":
        return moving.get("held ball") or moving["ball"]
    return moving.get(thing) or layout.handles[thing]


def _moving_handles(desk: Desk, layout: Layout) -> dict[str, Box]:
    """Where ball, eye, thermometer and camera on its stand are just now, the foremost first."""
    state, handles = desk.state, {}
    height_m = ball_height_m(desk)
    sight = layout.sight(desk.eye_m)
    if state.place is Place.TONGS and state.held_height_m is not None and height_m is not None:
        handles["held ball"] = _ball_box(layout, sight.ball_px(height_m))
    elif state.place is Place.FLOOR:
        handles["ball"] = _ball_box(layout, float(layout.rule.bottom))
    elif state.place is Place.WATER:
        handles["ball"] = layout.held_ball(*layout.beaker_ball)
    elif state.place is Place.BATH:
        handles["ball"] = layout.held_ball(*layout.bath_ball)
    elif state.place is Place.TONGS:
        handles["ball"] = layout.held_ball(*layout.hand_ball)
    else:
        handles["ball"] = layout.tray
    handles["eye"] = layout.eye_mark(desk.eye_m)
    handles["thermometer"] = layout.thermometer_stem(state.thermometer_in)
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
