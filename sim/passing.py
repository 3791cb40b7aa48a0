"""The passing of time at the bench: ball, water and thermometer."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np

from physics.ball import Ball
from physics.bath import (
    BATH_KG,
    Standing,
    Temperatures,
    brought,
    read_thermometer_k,
    soaked,
    standing,
)
from physics.heat import Warmth, in_air, in_flight, towelled
from physics.number import FloatArray, Number
from physics.wall import bounce_k
from sim.state import Caution, Place, Since, State, replace


def advance(state: State, time_s: float) -> State:
    """Let time pass.

    It makes no difference how a wait is cut up: the water that stands has an exact solution, and
    the ball and the water about it are worked out from when the ball came to where it is.
    """
    if time_s == 0.0:
        return state
    later = replace(state, time_s=state.time_s + time_s)
    beaker, bath = _beaker_after(state, later, time_s), _bath_after(state, time_s)
    beside = beaker if state.thermometer_in == "beaker" else bath
    return replace(
        later,
        water_k=_one(beaker.water_k),
        bath_k=_one(bath.water_k),
        thermometer_k=_one(beside.thermometer_k),
    )


def warmth(state: State) -> Warmth:
    """The ball's wall and the film of water on it, as they are now."""
    if state.place is Place.WATER:
        return Warmth(_in_the_beaker(state).profile_k, 0.0)
    then, lasted_s = state.since, state.time_s - state.since.time_s
    if state.place is Place.BATH:
        return Warmth(_in_bath(state.ball, state.setup.room_k, state.bath_k, then, lasted_s), 0.0)
    return _in_air(state.ball, state.setup.room_k, then, lasted_s)


@lru_cache(maxsize=8)
def _in_air(ball: Ball, room_k: float, then: Since, lasted_s: float) -> Warmth:
    """The ball in air; a bench that is drawn asks for the same moment several times."""
    return in_air(ball, room_k, Warmth(_profile_k(then), then.film_kg), lasted_s)


@lru_cache(maxsize=8)
def _in_bath(ball: Ball, room_k: float, bath_k: float, then: Since, lasted_s: float) -> FloatArray:
    """The ball's wall in the kept bath, remembered as in air."""
    before = Temperatures(_profile_k(then), bath_k, bath_k)
    return soaked(ball, room_k, BATH_KG, before, lasted_s, kept=True).profile_k


def ball_k(state: State) -> float:
    """The temperature of the ball that sets how high it bounces, kelvin."""
    return _one(bounce_k(state.ball, warmth(state).profile_k))


def is_wet(state: State) -> bool:
    """Whether there is a film of water on the ball: a dry one gets none before its next soak."""
    return state.since.film_kg > 0.0 and _one(warmth(state).film_kg) > 0.0


def into(state: State, place: Place, film_kg: float = 0.0) -> State:
    """The ball comes to another place, with so much water on it."""
    return _from_here(replace(state, place=place), warmth(state).profile_k, film_kg)


def beaker_changed(state: State, **changes: Any) -> State:
    """The beaker's water is another, or the thermometer is put elsewhere; the ball may be in it."""
    changed = replace(state, **changes)
    if state.place is not Place.WATER:
        return changed
    return _from_here(changed, warmth(state).profile_k, 0.0)


def advance_in_flight(state: State, time_s: float) -> State:
    """Let time pass while the ball falls and bounces: moving air cools it faster.

    What water is still on the ball flies off at the first impact (stated assumption).
    """
    flown_k = in_flight(state.ball, state.setup.room_k, warmth(state).profile_k, time_s)
    return _from_here(advance(state, time_s), flown_k, 0.0)


def advance_in_towel(state: State, time_s: float) -> State:
    """Let time pass with the ball in the towel, which dries it at once."""
    dried_k = towelled(state.ball, state.setup.room_k, warmth(state).profile_k, time_s)
    return _from_here(advance(state, time_s), dried_k, 0.0)


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


def _from_here(state: State, profile_k: FloatArray, film_kg: float) -> State:
    """From now on the ball's temperatures are worked out from these."""
    shown_k = state.thermometer_k if state.thermometer_in == "beaker" else state.water_k
    wall_k = tuple(profile_k[:, 0].tolist())
    return replace(state, since=Since(state.time_s, wall_k, film_kg, state.water_k, shown_k))


def _in_the_beaker(state: State) -> Temperatures:
    """Ball, water and thermometer of a ball that is in the beaker."""
    then = state.since
    lasted_s = state.time_s - then.time_s
    return _in_water(state.ball, state.setup.room_k, state.water_kg, then, lasted_s)


@lru_cache(maxsize=8)
def _in_water(
    ball: Ball, room_k: float, water_kg: float, then: Since, lasted_s: float
) -> Temperatures:
    """As `_in_air`: the same moment is asked for by an act and by what is drawn after it."""
    before = Temperatures(_profile_k(then), then.water_k, then.thermometer_k)
    return soaked(ball, room_k, water_kg, before, lasted_s)


def _beaker_after(state: State, later: State, time_s: float) -> Standing:
    """In an empty beaker the thermometer hangs in the room's air."""
    room_k = state.setup.room_k
    if state.place is Place.WATER:
        return Standing(*_in_the_beaker(later)[1:])
    if state.water_kg == 0.0:
        return Standing(room_k, room_k)
    return standing(room_k, state.water_kg, state.water_k, state.thermometer_k, time_s)


def _bath_after(state: State, time_s: float) -> Standing:
    """The ball is in it only while its water is held."""
    if state.thermometer_in == "beaker" and not state.bath_changing:
        return Standing(state.bath_k, state.thermometer_k)
    return brought(state.bath_k, state.bath_setting_k, state.thermometer_k, time_s)


def _profile_k(since: Since) -> FloatArray:
    return np.array(since.wall_k)[:, None]


def _one(number: Number) -> float:
    """The number of the one ball or vessel that there is."""
    return float(np.ravel(number)[0])
