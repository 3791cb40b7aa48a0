"""What each wish at the apparatus does: intents into actions of the practical.

Here too is what is wished for by clicking a thing, or by carrying it somewhere.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, Literal

from physics.reading import CAMERAS
from sim import actions as act
from sim.bench.model import intents as want
from sim.bench.model.desk import AID, Desk, Pouring, Step, done, released
from sim.dropping import HIGHEST_M
from sim.state import Place

LOWEST_HAND_M = 0.02
CARRIED_FROM_FLOOR = (Place.FLOOR, Place.TRAY)
RATES = tuple(CAMERAS)
VESSELS: dict[str, Literal["hot", "cold"]] = {"kettle": "hot", "jug": "cold"}
HURRIED_S = 0.45
"""A vessel swung to the beaker faster than this is poured in a hurry, and spills."""
FRAMES_EACH_WAY = 12
"""How far the camera's frames reach on either side of the apex."""


def _pour(desk: Desk, intent: want.Pour) -> Step:
    """A portion goes in or out; what is left in the beaker is poured away whole."""
    if intent.what == "away":
        step = done(desk, act.PourAway(min(intent.mass_kg, desk.state.water_kg)))
    else:
        pouring = act.AddHotWater if intent.what == "hot" else act.AddColdWater
        step = done(desk, pouring(intent.mass_kg, carefully=intent.carefully))
    if step.desk.state.water_kg == desk.state.water_kg:
        return step
    seen = Pouring(intent.what, desk.clock_s)
    return Step(replace(step.desk, pouring=seen), step.actions)


def _move_ball(desk: Desk, intent: want.MoveBall) -> Step:
    """The ball goes where it is wanted, by way of the tongs."""
    desk = replace(desk, fall=None)
    if intent.to == "water":
        return done(desk, act.PutBallIn())
    taken: tuple[act.Action, ...] = ()
    if desk.state.place is Place.WATER:
        taken = (act.LiftOut(with_tongs=intent.with_tongs),)
    elif desk.state.place in CARRIED_FROM_FLOOR:
        taken = (act.PickUp(),)
    there = act.Towel() if intent.to == "towel" else act.Hold(desk.hand_m)
    step = done(desk, *taken)
    if taken and step.desk.state.place is not Place.TONGS:
        return step
    further = done(step.desk, there)
    note = further.desk.note if further.desk.note.text else step.desk.note
    return Step(replace(further.desk, note=note), (*step.actions, *further.actions))


def _place_hand(desk: Desk, height_m: float) -> Step:
    height_m = min(max(height_m, LOWEST_HAND_M), HIGHEST_M)
    return Step(replace(desk, hand_m=round(height_m, 4)))


def _place_eye(desk: Desk, height_m: float) -> Step:
    height_m = min(max(height_m, 0.0), HIGHEST_M)
    return Step(replace(desk, eye_m=round(height_m, 4)))


def _turn_stopwatch(desk: Desk, _: want.TurnStopwatch) -> Step:
    on = not desk.stopwatch_on
    words = "Stopwatch on: a soak goes by 20 times as fast." if on else "Stopwatch off."
    return Step(replace(desk, stopwatch_on=on).saying(words))


def _use_camera(desk: Desk, _: want.UseCamera) -> Step:
    if desk.state.camera is not None:
        return done(desk, act.PutCameraAway())
    return done(desk, act.SetUpCamera(desk.frame_rate, desk.eye_m))


def _change_rate(desk: Desk, _: want.ChangeRate) -> Step:
    """The other frame rate; a camera that stands already is set up anew with it."""
    rate = RATES[(RATES.index(desk.frame_rate) + 1) % len(RATES)]
    changed = replace(desk, frame_rate=rate).saying(f"Camera: {rate} frames a second.")
    stand = desk.state.camera
    if stand is None:
        return Step(changed)
    return done(changed, act.SetUpCamera(rate, stand.height_m))


def _turn_frames(desk: Desk, intent: want.TurnFrames) -> Step:
    frame = min(max(desk.frame + intent.by, -FRAMES_EACH_WAY), FRAMES_EACH_WAY)
    return Step(replace(desk, frame=frame))


def _use_aid(desk: Desk, _: want.UseAid) -> Step:
    """The model reader is asked, or thanked."""
    asked = desk.state.reading_aid is None
    step = done(desk, act.AskReader(AID if asked else None))
    words = (
        "Reading aid on: a careful reader calls out each height; it goes on the record as aided."
        if asked
        else "Reading aid off: read with your own eye."
    )
    return Step(step.desk.saying(words), step.actions)


HANDLING: dict[type[want.AtTheBench], Callable[[Desk, Any], Step]] = {
    want.Pour: _pour,
    want.MoveBall: _move_ball,
    want.MoveHand: lambda desk, wish: _place_hand(desk, desk.hand_m + wish.by_m),
    want.PlaceHand: lambda desk, wish: _place_hand(desk, wish.height_m),
    want.MoveEye: lambda desk, wish: _place_eye(desk, desk.eye_m + wish.by_m),
    want.PlaceEye: lambda desk, wish: _place_eye(desk, wish.height_m),
    want.LetGo: lambda desk, _: released(desk),
    want.WipeUp: lambda desk, _: done(desk, act.WipeFloor()),
    want.TurnStopwatch: _turn_stopwatch,
    want.UseCamera: _use_camera,
    want.ChangeRate: _change_rate,
    want.TurnFrames: _turn_frames,
    want.UseAid: _use_aid,
}

Onto = Literal["beaker", "towel", "rule", "puddle", ""]
"""Where a thing may be put down; "" is anywhere else."""


def clicked(desk: Desk, thing: str) -> want.Intent | None:
    """What a click on a thing means, without carrying it."""
    wet = desk.state.floor_wet
    clicks: dict[str, want.Intent] = {
        "held ball": want.LetGo(),
        "floor puddle": want.WipeUp(),
        "towel": want.WipeUp() if wet else want.MoveBall("towel"),
        "stopwatch": want.TurnStopwatch(),
        "camera": want.UseCamera(),
    }
    return clicks.get(thing)


def carried_onto(thing: str, onto: Onto, carefully: bool = True) -> want.Intent | None:
    """What putting a thing down somewhere asks for; in a hurry a vessel spills."""
    if thing in VESSELS:
        return want.Pour(VESSELS[thing], carefully=carefully) if onto == "beaker" else None
    if thing == "beaker":
        return want.Pour("away") if onto != "beaker" else None
    if thing == "towel":
        return want.WipeUp() if onto == "puddle" else want.MoveBall("towel")
    if thing == "held ball" and onto == "rule":
        return None
    return _BALL_ONTO.get(onto) if thing in ("ball", "held ball") else None


_BALL_ONTO: dict[Onto, want.Intent] = {
    "beaker": want.MoveBall("water"),
    "towel": want.MoveBall("towel"),
    "rule": want.MoveBall("rule"),
}
