"""What is done beside the rule: holding, releasing, watching, noting the reading."""

from __future__ import annotations

import math

from physics.ball import PLAYING_SPEEDS
from physics.drop import bounce, released_height_m
from physics.reading import CAMERAS, READERS, Camera, Reader, Reading, View, read
from sim import actions as act
from sim.actions import NotPossible
from sim.chance import single_chance
from sim.passing import advance, advance_in_flight, ball_k, cautioned, is_wet
from sim.state import MOVING_S, CameraStand, Drop, Place, RoughReading, State, replace

HIGHEST_M = 2.5
"""Neither ball, eye nor camera goes higher: a tall student's reach."""
LOWEST_RELEASE_M = 0.05
"""From lower the hand's error would be as large as the drop."""
MOST_PLACES = 6
"""Decimal places that a reading in centimetres can have."""
DRIPS = "A wet ball drips on the floor: dry it with the towel, and wipe the drips up."
WET_FLOOR = "The floor by the rule is wet: wipe it before anybody slips."


def choose_extent(state: State, action: act.ChooseExtent) -> State:
    """The short practical is chosen, or the whole one."""
    if state.setup.plan is not None:
        raise NotPossible("The plan of your class says how many readings are taken.")
    if state.rough:
        raise NotPossible("The length of the practical is chosen before the first reading.")
    return replace(state, short=action.short)


def choose_ball(state: State, action: act.ChooseBall) -> State:
    """A ball of another playing speed is taken from the box."""
    if action.speed not in PLAYING_SPEEDS:
        raise NotPossible(
            f"There is no ball called {action.speed!r}: choose {', '.join(PLAYING_SPEEDS)}."
        )
    if state.drops or state.place is not Place.TRAY:
        raise NotPossible("The ball is a control variable: once it is in use it stays the same.")
    chosen = state.setup.individual(PLAYING_SPEEDS[action.speed])
    return replace(advance(state, action.handling_time_s), ball=chosen)


def pick_up(state: State, action: act.PickUp) -> State:
    """The ball comes from the floor or the tray into the tongs."""
    if state.place not in (Place.FLOOR, Place.TRAY):
        raise NotPossible(f"The ball is {state.place.value}.")
    return replace(advance(state, action.handling_time_s), place=Place.TONGS)


def hold(state: State, action: act.Hold) -> State:
    """The ball's lowest point is brought to a height beside the rule."""
    if state.place is not Place.TONGS:
        raise NotPossible("Take the ball in the tongs first.")
    _within_reach(action.height_m, "The ball")
    held = replace(advance(state, action.handling_time_s), held_height_m=action.height_m)
    return cautioned(replace(held, floor_wet=True), DRIPS) if is_wet(held) else held


def set_eye_level(state: State, action: act.SetEyeLevel) -> State:
    """The eye goes to a height."""
    _within_reach(action.height_m, "The eye")
    return replace(advance(state, action.handling_time_s), eye_height_m=action.height_m)


def set_up_camera(state: State, action: act.SetUpCamera) -> State:
    """The camera stands ready; from now on it records each rebound."""
    camera = CAMERAS.get(action.frames_per_second)
    if camera is None:
        rates = " or ".join(str(rate) for rate in CAMERAS)
        raise NotPossible(
            f"The camera takes {rates} frames a second, not {action.frames_per_second}."
        )
    _within_reach(action.height_m, "The camera")
    stand = CameraStand(camera, action.height_m)
    return replace(advance(state, action.handling_time_s), camera=stand)


def put_camera_away(state: State, action: act.PutCameraAway) -> State:
    """Readings are by eye again."""
    if state.camera is None:
        raise NotPossible("There is no camera on the stand.")
    return replace(advance(state, action.handling_time_s), camera=None)


def ask_reader(state: State, action: act.AskReader) -> State:
    """The reading aid: a model reader calls each height out."""
    if action.reader is not None and action.reader not in READERS:
        raise NotPossible(
            f"There is no reader called {action.reader!r}: choose {', '.join(READERS)}."
        )
    return replace(state, reading_aid=action.reader)


def release(state: State, action: act.Release) -> State:
    """The ball falls, bounces and comes to rest; the model readers read the first rebound."""
    mark_m = state.held_height_m
    if mark_m is None:
        raise NotPossible("Hold the ball beside the rule before releasing it.")
    if mark_m < LOWEST_RELEASE_M:
        raise NotPossible("Hold the ball at least 5 cm above the floor before releasing it.")
    if state.floor_wet:
        state = cautioned(state, WET_FLOOR)
    dropped = replace(
        state,
        last_drop=_drop(state, mark_m),
        drops=state.drops + 1,
        place=Place.FLOOR,
        held_height_m=None,
        reheated=False,
    )
    return advance(advance_in_flight(dropped, MOVING_S), action.handling_time_s - MOVING_S)


def note_reading(state: State, action: act.NoteReading) -> State:
    """A line is written on the rough page, for the last drop."""
    drop = state.last_drop
    degrees_places = action.temperature_places or 0
    if drop is None:
        raise NotPossible("There is no drop to note a reading for yet.")
    if any(line.drop.number == drop.number and line.struck_out is None for line in state.rough):
        raise NotPossible("This drop has its reading already; strike that out to write another.")
    if not (math.isfinite(action.height_m) and math.isfinite(action.temperature_k)):
        raise NotPossible("A reading is a number with its unit.")
    if not all(0 <= n <= MOST_PLACES for n in (action.decimal_places, degrees_places)):
        raise NotPossible(f"A reading in centimetres has {MOST_PLACES} decimal places at most.")
    state = advance(state, action.handling_time_s)
    line = RoughReading(
        temperature_k=action.temperature_k,
        height_m=action.height_m,
        drop=drop,
        aided=action.aided,
        decimal_places=action.decimal_places,
        time_s=state.time_s,
        temperature_places=action.temperature_places,
    )
    return replace(state, rough=(*state.rough, line))


def strike_reading(state: State, action: act.StrikeReading) -> State:
    """A line of the rough page is struck out and stays legible."""
    if not 0 <= action.number < len(state.rough):
        raise NotPossible(f"The rough page has no line {action.number + 1}.")
    if not action.reason.strip():
        raise NotPossible("Say why the reading is struck out: a laboratory book keeps the reason.")
    lines = list(state.rough)
    lines[action.number] = replace(lines[action.number], struck_out=action.reason.strip())
    return replace(advance(state, action.handling_time_s), rough=tuple(lines))


def observer(state: State) -> Reader | Camera | None:
    """Who reads besides the student's own eye: the camera before the reading aid."""
    if state.camera is not None:
        return state.camera.camera
    return READERS[state.reading_aid] if state.reading_aid is not None else None


def _drop(state: State, mark_m: float) -> Drop:
    """The drop as it truly is, at this bench's own random numbers."""
    setup = state.setup
    chance = single_chance(setup.seed, state.drops, member=setup.member)
    height_m = released_height_m(mark_m, setup.hand_sd_m, chance.release)
    warm_k = ball_k(state)
    true = bounce(state.ball, setup.room_k, warm_k, height_m)
    called_out = None
    eye_m = state.camera.height_m if state.camera is not None else state.eye_height_m
    reader = observer(state)
    if reader is not None:
        parts = read(true.apex_m, state.ball.diameter_m, reader, View(eye_m), chance)
        called_out = Reading(*(float(part) for part in parts))
    return Drop(
        number=state.drops,
        time_s=state.time_s,
        ball_k=warm_k,
        mark_m=mark_m,
        release_height_m=float(height_m),
        impact_speed_m_s=float(true.impact_speed_m_s),
        restitution=float(true.restitution),
        apex_m=float(true.apex_m),
        reheated=state.reheated,
        called_out=called_out,
        eye_height_m=eye_m,
        filmed=state.camera is not None,
        soak_k=state.soak_k,
        soak_preparation=state.soak_preparation,
    )


def _within_reach(height_m: float, what: str) -> None:
    if not 0.0 <= height_m <= HIGHEST_M:
        raise NotPossible(
            f"{what} goes from the floor up to {HIGHEST_M:.1f} m; {height_m:.2f} m was asked for."
        )
