"""What the lens shows: the strip at the eye's level or, with the camera, a frame of the film."""

from __future__ import annotations

from typing import NamedTuple

from sim.bench.apparatus.lens import BallSeen
from sim.bench.desk import Desk, Fall, fall_of
from sim.bench.eye import Sight
from sim.bench.layout import Layout
from sim.chance import single_chance
from sim.state import CameraStand, Drop

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


def frame_height_m(desk: Desk, stand: CameraStand, drop: Drop, fall: Fall) -> float:
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
