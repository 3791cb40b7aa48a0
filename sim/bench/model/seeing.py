"""What is seen at the bench: the ball at the rule, what the lens and the stopwatch show.

No true height is told here but the place at which a ball is to be drawn.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from sim.bench.model.desk import HASTE, Desk, WatchedFall, ball_height_m, fall_of
from sim.chance import single_chance
from sim.passing import is_wet
from sim.state import MOVING_S, CameraStand, Drop, Place, State

SETTLED_S = 0.4
"""So long after the first rebound's apex the film is shown."""
GRID_M = 0.05
"""A frame's strip is centred on a multiple of this, so that its place tells nothing."""
LENS_STRIP_M = 0.09
"""How much of the rule the lens shows."""
RULE_LENGTH_M = 1.0
LOWEST_C, HIGHEST_C = -10, 110
"""The ends of the thermometer's scale."""
THERMOMETER_SHOWS_K = 15
"""How much of the thermometer's scale its call-out shows, about the thread's end."""
FAINT_C, FULL_C = 42.0, 95.0
"""Below the first no steam is seen; at the second it is at its thickest."""
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


def lens_centre_m(wanted_m: float, strip_m: float) -> float:
    """The height that the lens is centred on: as wanted, but never far off the rule.

    `strip_m` is the height of the strip that the lens shows. A quarter of it may lie
    below the floor and half of it above the rule's end, where a ball at the mark hangs.
    """
    return min(max(wanted_m, strip_m / 4.0), RULE_LENGTH_M)


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


def in_the_air(desk: Desk) -> bool:
    """Whether the ball that was let go still falls, bounces or rolls."""
    return desk.fall is not None and desk.clock_s - desk.fall.began_s < MOVING_S


def poured_now(desk: Desk) -> str:
    """What is being poured just now: "hot", "cold", "away" or nothing."""
    pouring = desk.pouring
    if pouring is None or desk.clock_s - pouring.began_s > POUR_S:
        return ""
    return pouring.what


STILL_AT_S = 1.0


def steam_s(desk: Desk) -> float:
    """The moment at which steam is seen: always the same where it was stilled."""
    return STILL_AT_S if desk.steam_still else desk.clock_s


def steam_strength(temperature_c: float) -> float:
    """How thick the steam over water is, from none at 0 to 1."""
    return min(max((temperature_c - FAINT_C) / (FULL_C - FAINT_C), 0.0), 1.0)


def bath_word(state: State) -> str:
    """What the bath is doing."""
    if not state.bath_changing:
        return "ready"
    return "warming" if state.bath_k < state.bath_setting_k else "cooling"


STOPPED, RUNNING, HASTENED = "stopped", "running", f"{HASTE:.0f} times"
"""What the stopwatch is seen to do."""


def stopwatch_seen(desk: Desk, state: State) -> tuple[float, str]:
    """What the stopwatch shows, in seconds since the ball last went into water, and what it does.

    `state` is the practical as it is now.
    """
    word = HASTENED if desk.hasty_until_s is not None else RUNNING
    if state.put_in_s is None:
        return 0.0, word if word == HASTENED else STOPPED
    return state.time_s - state.put_in_s, word
