"""What a screen knows beside the practical, how time passes at it, and what hands do there.

A `Desk` is the practical's state and what only the bench in use needs: the open page, the
focus, the hand and the eye on their way, the fall that is being watched. It is replaced,
never changed. Whatever the practical must know becomes an action: `HANDLING` says of each wish
at the apparatus which, and `clicked` and `carried_onto` what the pointer wishes for there.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any, Literal, NamedTuple

from analysis.marking.questions import GRAPH
from analysis.marking.work import Remark
from analysis.paper.scales import LARGE_ACROSS, LARGE_UP, SMALL_SQUARES
from analysis.quantity.units import celsius, centimetres, counted, fixed, kelvin, temperature_text
from physics.bath import change_time_s
from physics.path import Path, path
from physics.reading import CAMERAS, CAREFUL, READERS
from physics.restitution import restitution
from sim import actions as act
from sim.actions import NotPossible
from sim.bench.model import intents as want
from sim.bench.ui.blocks import PaperPoint, Pencil, Squares
from sim.bench.ui.fields import TextLine
from sim.dropping import HIGHEST_M
from sim.passing import advance
from sim.practical import apply
from sim.soaking import HOT_BATH, TONGS_FROM_K
from sim.state import COLDEST_BATH_K, FIRST_EYE_HEIGHT_M, HOTTEST_BATH_K, Place, State

STOPWATCH_HASTE = 20.0
"""With the stopwatch on, soaking and the bath's warming pass so many times as fast. The physics is
not shortened: the same seconds pass at the bench."""
LONGEST_OWED_S = 5.0
"""Time that passes with nothing done goes on the record in pieces of this length, so that a
crash loses no more."""
LEAST_OWED_S = 1e-6
FIRST_HAND_M = 0.90
"""Where the ball is brought beside the rule the first time: the mark is for the student to set."""
AID = CAREFUL.name
"""Whose eye the reading aid lends."""
ROUGH = "Rough readings"
"""The page that lies open first."""
BENCH = "bench"
"""The focus is on the apparatus, and single letters are its keys."""
PAPER = f"{GRAPH}.paper"
"""What the focus and the pointer know the sheet of graph paper by."""

SQUARES = Squares(LARGE_ACROSS * SMALL_SQUARES, LARGE_UP * SMALL_SQUARES, SMALL_SQUARES)
"""The sheet of graph paper that everybody draws on."""


class Step(NamedTuple):
    """What came of an intent: the new desk, and the actions that were done for it."""

    desk: Desk
    actions: tuple[act.Action, ...] = ()

    def then(self, further: Callable[[Desk], Step]) -> Step:
        """What comes of going on from here; the actions follow one another."""
        step = further(self.desk)
        return Step(step.desk, (*self.actions, *step.actions))


@dataclass(frozen=True)
class WatchedFall:
    """A fall that is being watched: its path, and the desk's clock at the release."""

    path: Path
    began_s: float


@dataclass(frozen=True)
class Pouring:
    """A vessel that is being poured from, and the desk's clock when it began."""

    what: Literal["hot", "cold", "away"]
    began_s: float


@dataclass(frozen=True)
class Note:
    """A line of words at the foot of the corner."""

    text: str = ""
    kind: Literal["hint", "refusal", "caution", "trouble"] = "hint"


def _untouched() -> Pencil:
    return Pencil(SQUARES, PaperPoint(SQUARES.across / 2.0, SQUARES.up / 2.0))


@dataclass(frozen=True)
class Desk:
    """Everything that the picture is drawn from."""

    state: State
    clock_s: float = 0.0
    owed_s: float = 0.0
    """Time that has passed on the wall and not yet at the practical; below zero while a fall
    is watched whose time the practical has counted already."""
    hand_m: float = FIRST_HAND_M
    eye_m: float = FIRST_EYE_HEIGHT_M
    frame_rate: int = 240
    frame: int = 0
    """Which frame the camera's picture shows, counted from the one nearest the apex."""
    fall: WatchedFall | None = None
    pouring: Pouring | None = None
    stopwatch_on: bool = False
    page: str = ROUGH
    focus: str = BENCH
    fields: Mapping[str, TextLine] = field(default_factory=lambda: MappingProxyType({}))
    composing: str = ""
    """Text that the keyboard is still putting together where the focus is."""
    pencil: Pencil = field(default_factory=_untouched)
    remarks: Mapping[str, tuple[Remark, ...]] = field(default_factory=lambda: MappingProxyType({}))
    """What feedback said when it was last asked for, by page."""
    text_scale: float = 1.0
    help_open: bool = False
    note: Note = Note()
    demonstrating: bool = False
    """Whether the teacher's page, which shows true values, is wanted next."""
    trouble: str = ""
    """Why the record is not being kept, or nothing."""

    def saying(self, text: str, kind: Literal["hint", "refusal", "caution"] = "hint") -> Desk:
        """The desk with a line of words at its foot."""
        return replace(self, note=Note(text, kind))

    def at(self, name: str) -> Desk:
        """The desk with the focus on a name."""
        return replace(self, focus=name, composing="")

    def writing(self, fields: Mapping[str, TextLine]) -> Desk:
        """The desk with some fields as they are given."""
        return replace(self, fields=MappingProxyType({**self.fields, **fields}))


def shown(desk: Desk) -> State:
    """The practical as it is at this very moment, time owed included."""
    return advance(desk.state, desk.owed_s) if desk.owed_s > 0.0 else desk.state


def done(desk: Desk, *actions: act.Action) -> Step:
    """Do actions at the practical, the time owed first; stop at one that is not possible."""
    performed: list[act.Action] = []
    state = desk.state
    owed_s = desk.owed_s
    if owed_s > LEAST_OWED_S:
        performed.append(act.Wait(owed_s))
        state, owed_s = apply(state, performed[-1]), 0.0
    note = Note()
    for action in actions:
        try:
            after = apply(state, action)
        except NotPossible as refusal:
            note = Note(str(refusal), "refusal")
            break
        if isinstance(action, act.Release):
            owed_s -= after.time_s - state.time_s
        if len(after.cautions) > len(state.cautions):
            note = Note(after.cautions[-1].text, "caution")
        state = after
        performed.append(action)
    return Step(replace(desk, state=state, owed_s=owed_s, note=note), tuple(performed))


def passed(desk: Desk, time_s: float) -> Step:
    """Let time pass on the wall: the clock goes on, and owed time becomes a wait in the end."""
    hasty = desk.stopwatch_on and _worth_hastening(desk.state) and desk.owed_s >= 0.0
    owed_s = desk.owed_s + time_s * (STOPWATCH_HASTE if hasty else 1.0)
    desk = replace(desk, clock_s=desk.clock_s + time_s, owed_s=owed_s)
    if owed_s < LONGEST_OWED_S:
        return Step(desk)
    note = desk.note
    step = done(desk)
    return Step(replace(step.desk, note=note), step.actions)


def _worth_hastening(state: State) -> bool:
    """Whether the student only waits: for a soak, or for the bath while the ball lies about."""
    return state.soaking or (state.bath_changing and state.place is not Place.TONGS)


def fall_of(desk: Desk) -> WatchedFall | None:
    """The fall of the last drop, as if it began now."""
    drop = desk.state.last_drop
    if drop is None:
        return None
    ball = desk.state.ball

    def left(speed_m_s: float) -> float:
        return float(restitution(ball, drop.ball_k, speed_m_s))

    return WatchedFall(
        path(ball, desk.state.setup.room_k, drop.release_height_m, left), desk.clock_s
    )


def ball_height_m(desk: Desk) -> float | None:
    """The height of the ball's lowest point beside the rule; None while it is elsewhere."""
    if desk.fall is not None:
        return float(desk.fall.path.height_m(desk.clock_s - desk.fall.began_s))
    return desk.hand_m if desk.state.held_height_m is not None else None


LOWEST_HAND_M = 0.02
HALF_DEGREE_K, FIVE_DEGREES_K = 0.5, 5.0
"""A click of the bath's dial, and how far one press turns it."""
INTO_WATER = {"beaker": act.PutBallIn("beaker"), "bath": act.PutBallIn("bath")}
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


def _bath_words(state: State) -> str:
    """What the bath is set to, and how long it takes."""
    minutes = float(change_time_s(state.bath_k, state.bath_setting_k)) / 60.0
    return (
        f"The bath goes to {temperature_text(state.bath_setting_k)} in about "
        f"{counted(max(round(minutes), 1), 'minute')}; the stopwatch (S) shortens that."
    )


def _place_thermometer(desk: Desk, intent: want.PlaceThermometer) -> Step:
    other: act.Vessel = "bath" if desk.state.thermometer_in == "beaker" else "beaker"
    return done(desk, act.MoveThermometer(intent.to or other))


def _move_ball(desk: Desk, intent: want.MoveBall) -> Step:
    """The ball goes where it is wanted, by way of the tongs."""
    desk = replace(desk, fall=None)
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
    """Open the tongs: the hand and the eye are where the student has them."""
    state = desk.state
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


def _turn_stopwatch(desk: Desk, _: want.TurnStopwatch) -> Step:
    on = not desk.stopwatch_on
    quicker = "Stopwatch on: soaking, and the bath's warming, go by 20 times as fast."
    words = quicker if on else "Stopwatch off."
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
    want.TurnDial: _turn_dial,
    want.PlaceThermometer: _place_thermometer,
    want.MoveBall: _move_ball,
    want.MoveHand: lambda desk, wish: _place_hand(desk, desk.hand_m + wish.by_m),
    want.PlaceHand: lambda desk, wish: _place_hand(desk, wish.height_m),
    want.MoveEye: lambda desk, wish: _place_eye(desk, desk.eye_m + wish.by_m),
    want.PlaceEye: lambda desk, wish: _place_eye(desk, wish.height_m),
    want.LetGo: lambda desk, _: _released(desk),
    want.WipeUp: lambda desk, _: done(desk, act.WipeFloor()),
    want.TurnStopwatch: _turn_stopwatch,
    want.UseCamera: _use_camera,
    want.ChangeRate: _change_rate,
    want.TurnFrames: _turn_frames,
    want.UseAid: _use_aid,
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
        "stopwatch": want.TurnStopwatch(),
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
