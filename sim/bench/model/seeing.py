"""What is seen at the bench: the ball at the rule, what the lens shows, the words at the foot.

No true height is told here but the place at which a ball is to be drawn.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from sim.bench.model.desk import Desk, Note, WatchedFall, ball_height_m, fall_of
from sim.chance import single_chance
from sim.passing import is_wet
from sim.soaking import COVERING_KG
from sim.state import CameraStand, Drop, Place, State

SETTLED_S = 0.4
"""So long after the first rebound's apex the film is shown."""
GRID_M = 0.05
"""A frame's strip is centred on a multiple of this, so that its place tells nothing."""
POUR_S = 0.9
"""How long a pouring vessel is seen over the beaker."""


@dataclass(frozen=True)
class BallSeen:
    """The ball beside the rule: its lowest point, wet or dry, in the tongs or free."""

    lowest_m: float
    wet: bool = False
    held: bool = False


class LensView(NamedTuple):
    """What the lens shows: from which height it looks, about which, the ball, and its heading."""

    eye_m: float
    centre_m: float | None
    ball: BallSeen | None
    heading: str


def ball_seen(desk: Desk) -> BallSeen | None:
    """The ball beside the rule or on the floor; None while it is on the table."""
    state = desk.state
    height_m = ball_height_m(desk)
    if height_m is None:
        return BallSeen(0.0) if state.place is Place.FLOOR else None
    held = state.held_height_m is not None
    return BallSeen(height_m, wet=held and is_wet(state), held=held)


def lens_seen(desk: Desk, ball: BallSeen | None) -> LensView:
    """The view that the lens panel shows of this desk; `ball` is the ball as it is now."""
    stand, drop = desk.state.camera, desk.state.last_drop
    if stand is None:
        return LensView(desk.eye_m, None, ball, "At eye level")
    fall = desk.fall or fall_of(desk)
    if drop is None or fall is None or _still_falling(desk):
        return LensView(stand.height_m, None, ball, "Camera, live")
    film = BallSeen(_frame_height_m(desk, stand, drop, fall))
    centre_m = round(drop.apex_m / GRID_M) * GRID_M
    heading = f"Frame {desk.frame:+d}".replace("-", "−").replace("+0", "0")
    return LensView(stand.height_m, centre_m, film, heading)


def _frame_height_m(desk: Desk, stand: CameraStand, drop: Drop, fall: WatchedFall) -> float:
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


def poured_now(desk: Desk) -> str:
    """What is being poured just now: "hot", "cold", "away" or nothing."""
    pouring = desk.pouring
    if pouring is None or desk.clock_s - pouring.began_s > POUR_S:
        return ""
    return pouring.what


def bath_word(state: State) -> str:
    """What the bath is doing."""
    if not state.bath_changing:
        return "ready"
    return "warming" if state.bath_k < state.bath_setting_k else "cooling"


# Each fits one line at 150 % text, so that it covers nothing of the rule.
WARM = "Hot water: from kettle and jug (H, C), or set the bath (D). F1: all keys."
SET_BATH = "Turn the bath's dial to a temperature of the plan (D). F1: all keys."
POUR = "Pour from the kettle and the jug into the beaker (H, C). F1: all keys."
WAIT_FOR_BATH = "The bath changes 3 °C a minute; the stopwatch (S) shortens that."
BATH_READY = "Thermometer into the bath (M), read it; then the ball goes in (V)."
PUT_IN = "Read the thermometer when it has settled. Then the ball goes in (B)."
SOAK = "Soak it five minutes; the stopwatch (S) shortens that. Then dry it (T)."
SOAK_AS_PLANNED = "Soak it as planned; the stopwatch (S) shortens that. Then dry it (T)."
TO_RULE = "Bring the ball to the rule before it cools (R)."
SET_AND_LET_GO = "Lowest point to the flag (↑ ↓), eye to the bounce (Page ↑ ↓), Space."
WRITE = "Write what you read, with its units, on the rough page (Tab)."
_BEGIN = {None: WARM, "kept": SET_BATH, "beaker": POUR}
"""How a practical begins, by what its plan warms the ball in."""
ALL = (
    *_BEGIN.values(),
    WAIT_FOR_BATH,
    BATH_READY,
    PUT_IN,
    SOAK,
    SOAK_AS_PLANNED,
    TO_RULE,
    SET_AND_LET_GO,
    WRITE,
)


def hint(desk: Desk) -> str:
    """The hint for a desk; nothing once a reading stands on the rough page."""
    state = desk.state
    if state.rough:
        return ""
    if state.place is Place.TONGS:
        return TO_RULE if state.held_height_m is None else SET_AND_LET_GO
    if state.place is Place.FLOOR:
        return WRITE
    if state.soaking:
        return SOAK if state.setup.plan is None else SOAK_AS_PLANNED
    return _before_the_soak(state)


def _before_the_soak(state: State) -> str:
    """The hint while the ball lies in its dish: for the way of warming that was begun."""
    if state.bath_changing:
        return WAIT_FOR_BATH
    plan = state.setup.plan
    if state.water_kg >= COVERING_KG and (plan is None or plan.bath == "beaker"):
        return PUT_IN
    if state.bath_setting_k != state.setup.room_k or state.thermometer_in == "bath":
        return BATH_READY
    return _BEGIN[None if plan is None else plan.bath]


SIGNS = {"hint": "", "refusal": "Not now: ", "caution": "Caution: ", "trouble": "Record: "}
"""What stands before the words, so that no colour has to say it."""


def told(desk: Desk) -> Note:
    """The words at the foot of the corner: trouble with the record, what was said, or a hint."""
    note = desk.note
    if desk.trouble and note.kind != "caution":
        note = Note(desk.trouble, "trouble")
    if not note.text:
        note = Note(hint(desk))
    return Note(SIGNS[note.kind] + note.text, note.kind) if note.text else note
