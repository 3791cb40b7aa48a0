"""The passing of time at the bench: ball, water and thermometer by Newton's law."""

from __future__ import annotations

from physics.bath import Temperatures, read_thermometer_k, soaked, standing
from physics.heat import in_air, in_flight
from sim.state import Caution, Place, State, replace


def advance(state: State, time_s: float) -> State:
    """Let time pass.

    The laws are solved exactly, so it makes no difference how a wait is cut up.
    """
    if time_s == 0.0:
        return state
    if state.place is Place.WATER:
        return _soaking(state, time_s)
    setup = state.setup
    ball_k, wet_left_s = in_air(state.ball, setup.room_k, state.ball_k, state.wet_left_s, time_s)
    return replace(
        _water_standing(state, time_s), ball_k=float(ball_k), wet_left_s=float(wet_left_s)
    )


def advance_in_flight(state: State, time_s: float) -> State:
    """Let time pass while the ball falls and bounces: moving air cools it faster.

    What water is still on the ball flies off at the first impact (stated assumption).
    """
    ball_k = in_flight(state.ball, state.setup.room_k, state.ball_k, time_s)
    return replace(_water_standing(state, time_s), ball_k=float(ball_k), wet_left_s=0.0)


def thermometer_reading_k(state: State) -> float:
    """What the thermometer in the beaker shows, in kelvin, read to half a division."""
    return float(read_thermometer_k(state.thermometer_k, state.setup.thermometer_error_k))


def thermometer_reading_exact_k(state: State) -> float:
    """Where the thermometer's thread ends, in kelvin: what an eye has to read."""
    return state.thermometer_k + state.setup.thermometer_error_k


def cautioned(state: State, text: str) -> State:
    """Give a caution. The same words are given once only."""
    if any(caution.text == text for caution in state.cautions):
        return state
    return replace(state, cautions=(*state.cautions, Caution(state.time_s, text)))


def _soaking(state: State, time_s: float) -> State:
    before = Temperatures(state.ball_k, state.water_k, state.thermometer_k)
    after = soaked(state.ball, state.setup.room_k, state.water_kg, before, time_s)
    return replace(
        state,
        ball_k=float(after.ball_k),
        water_k=float(after.water_k),
        thermometer_k=float(after.thermometer_k),
        time_s=state.time_s + time_s,
    )


def _water_standing(state: State, time_s: float) -> State:
    """The beaker without the ball. In an empty one the thermometer hangs in the room's air."""
    room_k = state.setup.room_k
    time_after_s = state.time_s + time_s
    if state.water_kg == 0.0:
        return replace(state, water_k=room_k, thermometer_k=room_k, time_s=time_after_s)
    after = standing(room_k, state.water_kg, state.water_k, state.thermometer_k, time_s)
    return replace(
        state,
        water_k=float(after.water_k),
        thermometer_k=float(after.thermometer_k),
        time_s=time_after_s,
    )
