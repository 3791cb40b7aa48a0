"""A scripted student: carries out a procedure through the same actions as a person.

The student knows only what a person could: the plan, the thermometer's reading and the
readings on the rough page. `sim.cohort` does the same for thousands at once.
"""

from __future__ import annotations

from collections.abc import Callable, Generator
from dataclasses import dataclass

from physics.reading import Camera
from sim import actions as act
from sim.chance import single_chance
from sim.passing import thermometer_reading_k
from sim.practical import apply
from sim.procedure import (
    FIRST_GUESS_M,
    KETTLE_K,
    SETTLE_S,
    WATER_KG,
    Procedure,
    dawdle_s,
    exchange_for,
    hot_share,
    watching_height_m,
)
from sim.state import Setup, State, beginning

Script = Generator[act.Action, State, State]
"""Yields an action, is sent the state that came of it, and returns the last state."""


@dataclass(frozen=True)
class Performance:
    """A practical carried out: the actions in order, and the state at the end."""

    actions: tuple[act.Action, ...]
    end: State


def perform(
    setup: Setup, procedure: Procedure, after_reading: Callable[[], object] | None = None
) -> Performance:
    """Carry out a procedure at one bench.

    Args:
        setup: the bench.
        procedure: the plan; its reader must be one of the model readers of the bench.
        after_reading: called after each reading, for a progress bar.

    Raises:
        NotPossible: the plan asks for what the bench does not have.

    """
    done: list[act.Action] = []
    state = beginning(setup)
    script = _script(state, procedure)
    action = next(script)
    while True:
        state = apply(state, action)
        done.append(action)
        if after_reading is not None and isinstance(action, act.NoteReading):
            after_reading()
        try:
            action = script.send(state)
        except StopIteration:
            return Performance(tuple(done), state)


def _script(state: State, procedure: Procedure) -> Script:
    state = yield from _reader_ready(procedure)
    for temperature_k in procedure.temperatures_k:
        for repeat in range(procedure.repeats):
            if repeat == 0 or procedure.reheat:
                state = yield from _warmed(state, temperature_k, procedure)
            else:
                state = yield act.PickUp()
            state = yield from _dropped(state, temperature_k, procedure)
    return state


def _reader_ready(procedure: Procedure) -> Script:
    observer = procedure.observer
    if isinstance(observer, Camera):
        height_m = float(watching_height_m(procedure, FIRST_GUESS_M))
        return (yield act.SetUpCamera(observer.frames_per_second, height_m))
    return (yield act.AskReader(observer.name))


def _warmed(state: State, target_k: float, procedure: Procedure) -> Script:
    """The beaker is brought to the temperature, and the ball soaked, lifted out and dried."""
    if state.water_kg == 0.0:
        share = hot_share(target_k)
        yield act.AddColdWater(WATER_KG * (1.0 - share))
        state = yield act.AddHotWater(WATER_KG * share)
        state = yield act.Wait(SETTLE_S)
    state = yield from _adjusted(state, target_k)
    yield act.PutBallIn()
    yield act.Wait(procedure.soak_s)
    state = yield act.LiftOut()
    if procedure.towel:
        state = yield act.Towel()
    return state


def _adjusted(state: State, target_k: float) -> Script:
    """Some water is exchanged for hot or cold, as the thermometer's reading asks."""
    exchange = exchange_for(target_k, thermometer_reading_k(state))
    mass_kg = float(exchange.mass_kg)
    if mass_kg == 0.0:
        return state
    yield act.PourAway(mass_kg)
    return (yield (act.AddHotWater if exchange.source_k == KETTLE_K else act.AddColdWater)(mass_kg))


def _dropped(state: State, temperature_k: float, procedure: Procedure) -> Script:
    """One drop from the tongs to the line on the rough page."""
    setup = state.setup
    chance = single_chance(setup.seed, state.drops, member=setup.member)
    yield act.Wait(float(dawdle_s(chance.handling)))
    state = yield act.Hold(procedure.drop_height_m)
    if not isinstance(procedure.observer, Camera):
        seen_m = state.rough[-1].height_m if state.rough else FIRST_GUESS_M
        state = yield act.SetEyeLevel(float(watching_height_m(procedure, seen_m)))
    state = yield act.Release()
    assert state.last_drop is not None
    assert state.last_drop.called_out is not None
    return (
        yield act.NoteReading(
            temperature_k=temperature_k,
            height_m=float(state.last_drop.called_out.height_m),
            aided=True,
            decimal_places=procedure.observer.decimal_places_cm,
        )
    )
