"""What hands do at the apparatus: of each wish there, which actions of the practical it becomes.

`HANDLING` holds that; `clicked` and `carried_onto` say what the pointer wishes for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, Literal

from analysis.quantity.units import celsius, centimetres, counted, fixed, kelvin, temperature_text
from physics.bath import change_time_s
from physics.reading import CAMERAS, CAREFUL, READERS
from sim import actions as act
from sim.bench.model import intents as want
from sim.bench.model.desk import (
    HASTE,
    Desk,
    Note,
    Pouring,
    Step,
    Wording,
    by_hand,
    done,
    fall_of,
    haste_until_s,
)
from sim.dropping import HIGHEST_M
from sim.procedure import COLDEST_BATH_K, HOTTEST_BATH_K
from sim.soaking import HOT_BATH, TONGS_FROM_K
from sim.state import Place, State

LOWEST_HAND_M = 0.02
AID = CAREFUL.name
"""Whose eye the reading aid lends."""
HALF_DEGREE_K, FIVE_DEGREES_K = 0.5, 5.0
"""A click of the bath's dial, and how far one press turns it."""
INTO_WATER = {"beaker": act.PutBallIn("beaker"), "bath": act.PutBallIn("bath")}
CARRIED_FROM_FLOOR = (Place.FLOOR, Place.TRAY)
RATES = tuple(CAMERAS)
VESSELS: dict[str, Literal["hot", "cold"]] = {"kettle": "hot", "jug": "cold"}
HURRIED_S = 0.45
"""A vessel swung to the beaker faster than this is poured in a hurry, and spills."""
LEAVE_IT = by_hand(
    "your last drop has no line yet. [N writes it down; Space again lets go without it."
    "|Tap “write it down”, or the ball again to let go without it.]"
)
NO_LEVEL_YET = by_hand(
    "[L brings the eye|a tap on the eye brings it] to the height that you wrote down last; "
    "nothing stands there yet."
)
OWN_PACE = "Time goes at its own pace again."
NOTHING_TO_WAIT_FOR = by_hand(
    "[S|the stopwatch] hastens a soak, or the bath on its way; nothing is waited for."
)
THE_BATH_GOES = by_hand(
    "The bath goes to {} in about {}; [S|a tap on the stopwatch] makes that {:.0f} times as fast."
)
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


def _turn_dial(desk: Desk, intent: want.TurnDial) -> Step:
    """The dial is turned, and it is said how long the bath takes, or each time that it scalds."""
    step = done(desk, act.SetBath(dial_at_k(desk.state, intent.by_k)))
    if step.desk.note.text or not step.desk.state.bath_changing:
        return step
    if step.desk.state.bath_setting_k > TONGS_FROM_K:
        return Step(step.desk.saying(HOT_BATH, "caution"), step.actions)
    return Step(step.desk.saying(_bath_words(step.desk.state)), step.actions)


def dial_at_k(state: State, by_k: float) -> float:
    """Where the dial is when turned by so much: at a click, and never past its ends."""
    clicks = round(float(celsius(state.bath_setting_k + by_k)) / HALF_DEGREE_K)
    return min(max(kelvin(clicks * HALF_DEGREE_K), COLDEST_BATH_K), HOTTEST_BATH_K)


def _bath_words(state: State) -> Wording:
    """What the bath is set to, and how long it takes."""
    minutes = float(change_time_s(state.bath_k, state.bath_setting_k)) / 60.0
    time = counted(max(round(minutes), 1), "minute")
    return THE_BATH_GOES.format(temperature_text(state.bath_setting_k), time, HASTE)


def _place_thermometer(desk: Desk, intent: want.PlaceThermometer) -> Step:
    other: act.Vessel = "bath" if desk.state.thermometer_in == "beaker" else "beaker"
    return done(desk, act.MoveThermometer(intent.to or other))


def _move_ball(desk: Desk, intent: want.MoveBall) -> Step:
    """The ball goes where it is wanted, by way of the tongs; beside the rule, to the flag."""
    desk = replace(desk, fall=None, hand_m=desk.state.setup.drop_height_m)
    if intent.to in INTO_WATER:
        return done(desk, INTO_WATER[intent.to])
    taken: tuple[act.Action, ...] = ()
    if desk.state.soaking:
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


def _released(desk: Desk) -> Step:
    """Open the tongs: the hand and the eye are where the student has them.

    A drop before that has no line yet is asked about first: it could be written no more.
    """
    state = desk.state
    if state.line_missing and state.held_height_m is not None and desk.leaving != state.drops:
        return Step(replace(desk, leaving=state.drops).saying(LEAVE_IT, "refusal"))
    before: list[act.Action] = []
    if state.held_height_m is not None and state.held_height_m != desk.hand_m:
        before.append(act.Hold(desk.hand_m))
    if state.eye_height_m != desk.eye_m:
        before.append(act.SetEyeLevel(desk.eye_m))
    step = done(desk, *before, act.Release())
    if step.desk.state.drops == state.drops:
        return step
    fallen = replace(step.desk, fall=fall_of(step.desk), frame=0)
    return Step(_called_out(fallen), step.actions)


def _called_out(desk: Desk) -> Desk:
    """With the reading aid, and only then, the height that the model reader reads is said."""
    drop = desk.state.last_drop
    if drop is None or drop.called_out is None or desk.state.camera is not None:
        return desk
    reader = READERS[desk.state.reading_aid or AID]
    read_cm = fixed(centimetres(float(drop.called_out.height_m)), reader.decimal_places_cm)
    return desk.saying(f"The reader calls out: {read_cm} cm.")


def _place_hand(desk: Desk, height_m: float) -> Step:
    height_m = min(max(height_m, LOWEST_HAND_M), HIGHEST_M)
    return Step(replace(desk, hand_m=round(height_m, 4)))


def _place_eye(desk: Desk, height_m: float) -> Step:
    height_m = min(max(height_m, 0.0), HIGHEST_M)
    return Step(replace(desk, eye_m=round(height_m, 4)))


def _level_eye(desk: Desk, _: want.LevelEye) -> Step:
    """The eye goes level with the height that was last written down: the student's own reading."""
    standing = [line for line in desk.state.rough if line.struck_out is None]
    if not standing:
        return Step(desk.saying(NO_LEVEL_YET, "refusal"))
    return _place_eye(desk, standing[-1].height_m)


def _hasten(desk: Desk, _: want.HastenWait) -> Step:
    """Waiting goes faster, to the end of what is waited for; or at its own pace again."""
    if desk.hasty_until_s is not None:
        return Step(replace(desk, hasty_until_s=None).saying(OWN_PACE))
    until_s = haste_until_s(desk.shown)
    if until_s is None:
        return Step(desk.saying(NOTHING_TO_WAIT_FOR, "refusal"))
    return Step(replace(desk, hasty_until_s=until_s, note=Note()))


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


def _still_steam(desk: Desk, _: want.StillSteam) -> Step:
    still = not desk.steam_still
    words = "Steam stands still." if still else "Steam rises."
    return Step(replace(desk, steam_still=still).saying(words))


HANDLING: dict[type[want.AtTheBench], Callable[[Desk, Any], Step]] = {
    want.Pour: _pour,
    want.TurnDial: _turn_dial,
    want.PlaceThermometer: _place_thermometer,
    want.MoveBall: _move_ball,
    want.MoveHand: lambda desk, wish: _place_hand(desk, desk.hand_m + wish.by_m),
    want.PlaceHand: lambda desk, wish: _place_hand(desk, wish.height_m),
    want.MoveEye: lambda desk, wish: _place_eye(desk, desk.eye_m + wish.by_m),
    want.PlaceEye: lambda desk, wish: _place_eye(desk, wish.height_m),
    want.LetGo: lambda desk, _: _released(desk),
    want.WipeUp: lambda desk, _: done(desk, act.WipeFloor()),
    want.LevelEye: _level_eye,
    want.HastenWait: _hasten,
    want.UseCamera: _use_camera,
    want.ChangeRate: _change_rate,
    want.TurnFrames: _turn_frames,
    want.UseAid: _use_aid,
    want.StillSteam: _still_steam,
}

Onto = Literal["beaker", "bath", "towel", "rule", "puddle", ""]
"""Where a thing may be put down; "" is anywhere else."""


def clicked(desk: Desk, thing: str) -> want.Intent | None:
    """What a click on a thing means, without carrying it."""
    wet = desk.state.floor_wet
    clicks: dict[str, want.Intent] = {
        "held ball": want.LetGo(),
        "floor puddle": want.WipeUp(),
        "towel": want.WipeUp() if wet else want.MoveBall("towel"),
        "stopwatch": want.HastenWait(),
        "thermometer": want.PlaceThermometer(),
        "dial up": want.TurnDial(FIVE_DEGREES_K),
        "dial down": want.TurnDial(-FIVE_DEGREES_K),
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
    return _CARRIED_ONTO.get(thing, {}).get(onto)


_BALL_ONTO: dict[Onto, want.Intent] = {
    "beaker": want.MoveBall("beaker"),
    "bath": want.MoveBall("bath"),
    "towel": want.MoveBall("towel"),
    "rule": want.MoveBall("rule"),
}
_CARRIED_ONTO: dict[str, dict[Onto, want.Intent]] = {
    "ball": _BALL_ONTO,
    "held ball": _BALL_ONTO,
    "thermometer": {
        "beaker": want.PlaceThermometer("beaker"),
        "bath": want.PlaceThermometer("bath"),
    },
}
