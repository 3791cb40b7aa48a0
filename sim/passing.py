"""The passing of time at the bench: ball, water and thermometer by Newton's law."""

from __future__ import annotations

from physics.bath import BATH_KG, Temperatures, brought, read_thermometer_k, soaked, standing
from physics.heat import in_air, in_flight
from sim.state import Caution, Place, State, replace


def advance(state: State, time_s: float) -> State:
    """Let time pass.

    The laws are solved exactly, so it makes no difference how a wait is cut up.
    """
    if time_s == 0.0:
        return state
    after = _waters_after(state, time_s)
    if state.soaking:
        return after
    room_k = state.setup.room_k
    ball_k, wet_left_s = in_air(state.ball, room_k, state.ball_k, state.wet_left_s, time_s)
    return replace(after, ball_k=float(ball_k), wet_left_s=float(wet_left_s))


def advance_in_flight(state: State, time_s: float) -> State:
    """Let time pass while the ball falls and bounces: moving air cools it faster.

    What water is still on the ball flies off at the first impact (stated assumption).
    """
    ball_k = in_flight(state.ball, state.setup.room_k, state.ball_k, time_s)
    return replace(_waters_after(state, time_s), ball_k=float(ball_k), wet_left_s=0.0)


def thermometer_reading_k(state: State) -> float:
    """What the thermometer shows, in kelvin, read to half a division."""
    return float(read_thermometer_k(state.thermometer_k, state.setup.thermometer_error_k))


def thermometer_reading_exact_k(state: State) -> float:
    """Where the thermometer's thread ends, in kelvin: what an eye has to read."""
    return state.thermometer_k + state.setup.thermometer_error_k


def cautioned(state: State, text: str) -> State:
    """Give a caution. The same words are given once only."""
    if any(caution.text == text for caution in state.cautions):
        return state
    return replace(state, cautions=(*state.cautions, Caution(state.time_s, text)))


def _waters_after(state: State, time_s: float) -> State:
    """Beaker, bath and the thermometer in one of them, and the ball if it is in one."""
    beaker, bath = _beaker_after(state, time_s), _bath_after(state, time_s)
    ball_k = bath.ball_k if state.place is Place.BATH else beaker.ball_k
    beside = beaker if state.thermometer_in == "beaker" else bath
    return replace(
        state,
        ball_k=float(ball_k),
        water_k=float(beaker.water_k),
        bath_k=float(bath.water_k),
        thermometer_k=float(beside.thermometer_k),
        time_s=state.time_s + time_s,
    )


def _beaker_after(state: State, time_s: float) -> Temperatures:
    """In an empty beaker the thermometer hangs in the room's air."""
    room_k, before = state.setup.room_k, _with_water(state, state.water_k)
    if state.place is Place.WATER:
        return soaked(state.ball, room_k, state.water_kg, before, time_s)
    if state.water_kg == 0.0:
        return Temperatures(state.ball_k, room_k, room_k)
    return Temperatures(state.ball_k, *standing(room_k, state.water_kg, *before[1:], time_s))


def _bath_after(state: State, time_s: float) -> Temperatures:
    """The ball is in it only while its water is held."""
    before = _with_water(state, state.bath_k)
    if state.place is Place.BATH:
        return soaked(state.ball, state.setup.room_k, BATH_KG, before, time_s, kept=True)
    if state.thermometer_in == "beaker" and not state.bath_changing:
        return before
    water_k, thermometer_k = before[1:]
    return Temperatures(
        state.ball_k, *brought(water_k, state.bath_setting_k, thermometer_k, time_s)
    )


def _with_water(state: State, water_k: float) -> Temperatures:
    return Temperatures(state.ball_k, water_k, state.thermometer_k)
