"""A scripted student: carries out a procedure through the same actions as a person.

The student knows only what a person could: the plan, the thermometer's reading and the
readings on the rough page.

A cohort is thousands of them at once, worked out in arrays. Both go through the same formulas of
`physics` and the same random numbers, so member m of a cohort reads what a scripted student with
that member number reads (tested to 1e-9 m). The waits that the student cuts up are taken in one
piece for a cohort, which `physics.heat` and `physics.bath` allow.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Generator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from physics.ball import Ball, individual
from physics.bath import (
    BATH_KG,
    Temperatures,
    brought,
    change_time_s,
    mixed_k,
    read_thermometer_k,
    soaked,
    standing,
)
from physics.drop import bounce, released_height_m
from physics.heat import FILM_KG, Warmth, in_air, in_flight, towelled
from physics.number import FloatArray, Number
from physics.reading import Camera, Chance, View, read
from physics.wall import bounce_k, even_k
from sim import actions as act
from sim.chance import apparatus_chance, blocks, drop_chance, single_chance
from sim.habits import (
    FIRST_GUESS_M,
    SETTLE_S,
    WATER_KG,
    dawdle_s,
    dial_for,
    exchange_for,
    hot_share,
    watching_height_m,
)
from sim.passing import thermometer_reading_k
from sim.practical import apply
from sim.procedure import JUG_K, KETTLE_K, Procedure
from sim.state import MOVING_S, THERMOMETER_ERROR_SD_K, Setup, State, beginning

Script = Generator[act.Action, State, State]
"""Yields an action, is sent the state that came of it, and returns the last state."""


@dataclass(frozen=True)
class Performance:
    """A practical carried out: the actions in order, and the state at the end."""

    actions: tuple[act.Action, ...]
    end: State


def perform(
    setup: Setup,
    procedure: Procedure,
    after_reading: Callable[[], object] | None = None,
    first_drop: int = 0,
) -> Performance:
    """Carry out a procedure at one bench.

    Args:
        setup: the bench.
        procedure: the plan; its reader must be one of the model readers of the bench.
        after_reading: called after each reading, for a progress bar.
        first_drop: the number that drops are counted from: with another, other luck.

    Raises:
        NotPossible: the plan asks for what the bench does not have.

    """
    done: list[act.Action] = []
    state = beginning(setup, first_drop)
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
            if repeat == 0 and procedure.bath == "kept":
                state = yield from _bath_ready(state, temperature_k)
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


def _bath_ready(state: State, target_k: float) -> Script:
    """The dial is turned by as much as the thermometer in the bath is off, and waited for."""
    if state.thermometer_in != "bath":
        state = yield act.MoveThermometer("bath")
    setting_k = float(dial_for(state.bath_setting_k, target_k, thermometer_reading_k(state)))
    if setting_k == state.bath_setting_k:
        return state
    yield act.SetBath(setting_k)
    return (yield act.Wait(float(change_time_s(state.bath_k, setting_k)) + SETTLE_S))


def _warmed(state: State, target_k: float, procedure: Procedure) -> Script:
    """The ball soaked at the temperature, lifted out and dried."""
    if procedure.bath == "kept":
        yield act.PutBallIn("bath")
    else:
        yield from _beaker_ready(state, target_k)
        yield act.PutBallIn("beaker")
    yield act.Wait(procedure.soak_s)
    state = yield act.LiftOut()
    if procedure.towel:
        state = yield act.Towel()
    return state


def _beaker_ready(state: State, target_k: float) -> Script:
    """The water mixed, and some exchanged for hot or cold as the thermometer's reading asks."""
    if state.water_kg == 0.0:
        share = hot_share(target_k)
        yield act.AddColdWater(WATER_KG * (1.0 - share))
        state = yield act.AddHotWater(WATER_KG * share)
        state = yield act.Wait(SETTLE_S)
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


@dataclass(frozen=True)
class CohortReadings:
    """What a cohort read. Arrays of shape (members, temperatures, repeats)."""

    heights_m: FloatArray
    ball_k: FloatArray
    """The ball's true temperature at each release."""


@dataclass(frozen=True)
class _Crowd:
    """The benches of one block: arrays of shape (members,), or one number for all."""

    ball: Ball
    thermometer_error_k: Number
    profile_k: FloatArray
    """The ball's wall, (NODES, members), or (NODES, 1) for all."""
    water_k: Number
    """Of the beaker or the bath, whichever the procedure warms the ball in."""
    thermometer_k: Number
    kept: bool
    """Whether that is the bath, and held at its temperature."""
    film_kg: Number = 0.0
    air_owed_s: Number = 0.0
    """Time the ball has been in still air for, still to be worked into its temperature."""
    water_owed_s: Number = 0.0
    """Time the water has stood for without the ball, still to be worked in."""


def cohort(setup: Setup, procedure: Procedure, members: int, first_drop: int = 0) -> CohortReadings:
    """The readings of `members` scripted students who follow one procedure.

    Args:
        setup: the bench of the first member; the others follow it under the same seed.
        procedure: the plan.
        members: how many students, 1 or more.
        first_drop: the number that drops are counted from, as in `perform`.

    """
    # In memory the members of one drop lie side by side: so they are worked out.
    shape = (len(procedure.temperatures_k), procedure.repeats, members)
    out = CohortReadings(*(np.moveaxis(np.empty(shape), -1, 0) for _ in range(2)))

    work = []
    start = 0
    for block, part in blocks(setup.member, members):
        stop = start + part.stop - part.start
        rows = CohortReadings(out.heights_m[start:stop], out.ball_k[start:stop])
        work.append((_Share(setup, procedure, block, part, first_drop), rows))
        start = stop
    # numpy lets go of the interpreter inside its loops, so threads share the cores;
    # addressed random numbers make the result independent of who does what when.
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        list(pool.map(lambda each: _perform(*each), work))
    return out


@dataclass(frozen=True)
class _Share:
    """A part of a cohort that is worked on together: members of one block of numbers."""

    setup: Setup
    procedure: Procedure
    block: int
    part: slice
    first_drop: int

    def chance(self, drop: int) -> Chance:
        """The random numbers of a drop, one of each kind for each member."""
        whole = drop_chance(self.setup.seed, drop, self.block)
        return Chance(*(np.asarray(numbers)[self.part] for numbers in whole))


def _perform(share: _Share, out: CohortReadings) -> None:
    """Fill the readings of one share, in the order of `sim.student`."""
    setup, procedure = share.setup, share.procedure
    crowd = _beginning(share)
    if crowd.kept:
        crowd = _passed(crowd, act.MoveThermometer.handling_time_s)
    else:
        crowd = _mixed_afresh(crowd, setup, procedure.temperatures_k[0])
    seen_m: Number = FIRST_GUESS_M
    drop = share.first_drop
    for row, target_k in enumerate(procedure.temperatures_k):
        for repeat in range(procedure.repeats):
            chance = share.chance(drop)
            if repeat == 0 and crowd.kept:
                crowd = _baths_ready(crowd, setup, target_k)
            if repeat == 0 or procedure.reheat:
                crowd = _balls_soaked(crowd, setup, procedure, target_k)
            else:
                crowd = _passed(crowd, act.PickUp.handling_time_s)
            crowd = _passed(crowd, dawdle_s(chance.handling) + _beside_the_rule_s(procedure))
            crowd = _air_worked_in(crowd, setup)
            height_m = released_height_m(procedure.drop_height_m, setup.hand_sd_m, chance.release)
            ball_k = bounce_k(crowd.ball, crowd.profile_k)
            true = bounce(crowd.ball, setup.room_k, ball_k, height_m)
            view = View(watching_height_m(procedure, seen_m))
            seen_m = read(
                true.apex_m, crowd.ball.diameter_m, procedure.observer, view, chance
            ).height_m
            out.ball_k[:, row, repeat] = ball_k
            out.heights_m[:, row, repeat] = seen_m
            crowd = _after_release(crowd, setup)
            drop += 1


def _beginning(share: _Share) -> _Crowd:
    """The benches as `sim.state.beginning` leaves them."""
    setup = share.setup
    chance = apparatus_chance(setup.seed, share.block)
    return _Crowd(
        ball=individual(setup.model, chance.ball[share.part]),
        thermometer_error_k=THERMOMETER_ERROR_SD_K * chance.thermometer[share.part],
        profile_k=even_k(setup.room_k),
        water_k=setup.room_k,
        thermometer_k=setup.room_k,
        kept=share.procedure.bath == "kept",
    )


def _balls_soaked(crowd: _Crowd, setup: Setup, procedure: Procedure, target_k: float) -> _Crowd:
    """The ball soaked at the temperature, lifted out and dried."""
    if not crowd.kept:
        crowd = _waters_adjusted(crowd, setup, target_k)
    crowd = _passed(crowd, act.PutBallIn.handling_time_s)
    crowd = _water_worked_in(_air_worked_in(crowd, setup), setup)
    before = Temperatures(crowd.profile_k, crowd.water_k, crowd.thermometer_k)
    water_kg = BATH_KG if crowd.kept else WATER_KG
    after = soaked(crowd.ball, setup.room_k, water_kg, before, procedure.soak_s, kept=crowd.kept)
    crowd = replace(
        crowd,
        profile_k=after.profile_k,
        water_k=after.water_k,
        thermometer_k=after.thermometer_k,
        film_kg=FILM_KG,
    )
    crowd = _passed(crowd, act.LiftOut.handling_time_s)
    if not procedure.towel:
        return crowd
    crowd = _air_worked_in(crowd, setup)
    towel_s = act.Towel.handling_time_s
    return replace(
        crowd,
        profile_k=towelled(crowd.ball, setup.room_k, crowd.profile_k, towel_s),
        film_kg=0.0,
        water_owed_s=crowd.water_owed_s + towel_s,
    )


def _baths_ready(crowd: _Crowd, setup: Setup, target_k: float) -> _Crowd:
    """The dial turned at the benches whose thermometer asks for it, and the bath waited for."""
    crowd = _water_worked_in(crowd, setup)
    read_k = read_thermometer_k(crowd.thermometer_k, crowd.thermometer_error_k)
    setting_k = dial_for(crowd.water_k, target_k, read_k)
    asks = setting_k != crowd.water_k
    crowd = _passed(crowd, np.where(asks, act.SetBath.handling_time_s, 0.0))
    crowd = _water_worked_in(crowd, setup)
    waited_s = np.where(asks, change_time_s(crowd.water_k, setting_k) + SETTLE_S, 0.0)
    water_k, thermometer_k = brought(crowd.water_k, setting_k, crowd.thermometer_k, waited_s)
    return replace(
        crowd,
        water_k=water_k,
        thermometer_k=thermometer_k,
        air_owed_s=crowd.air_owed_s + waited_s,
    )


def _mixed_afresh(crowd: _Crowd, setup: Setup, target_k: float) -> _Crowd:
    """Cold water, then hot, then a wait for the thermometer: the same at every bench."""
    hot_kg = WATER_KG * hot_share(target_k)
    cold_kg = WATER_KG - hot_kg
    water_k, thermometer_k = standing(
        setup.room_k, cold_kg, JUG_K, setup.room_k, act.AddHotWater.handling_time_s
    )
    mixed = replace(
        crowd, water_k=mixed_k(cold_kg, water_k, hot_kg, KETTLE_K), thermometer_k=thermometer_k
    )
    poured_s = act.AddColdWater.handling_time_s + act.AddHotWater.handling_time_s
    return replace(mixed, air_owed_s=poured_s + SETTLE_S, water_owed_s=SETTLE_S)


def _waters_adjusted(crowd: _Crowd, setup: Setup, target_k: float) -> _Crowd:
    """Some water exchanged for hot or cold at the benches whose thermometer asks for it."""
    crowd = _water_worked_in(crowd, setup)
    read_k = read_thermometer_k(crowd.thermometer_k, crowd.thermometer_error_k)
    mass_kg, source_k = exchange_for(target_k, read_k)
    asks = np.greater(mass_kg, 0.0)
    crowd = _passed(crowd, np.where(asks, act.PourAway.handling_time_s, 0.0))
    crowd = _water_worked_in(crowd, setup)
    crowd = _passed(crowd, np.where(asks, act.AddHotWater.handling_time_s, 0.0))
    crowd = _water_worked_in(crowd, setup, WATER_KG - mass_kg)
    return replace(crowd, water_k=mixed_k(WATER_KG - mass_kg, crowd.water_k, mass_kg, source_k))


def _after_release(crowd: _Crowd, setup: Setup) -> _Crowd:
    """The ball has bounced and lies on the floor while the reading is noted."""
    crowd = replace(
        crowd,
        profile_k=in_flight(crowd.ball, setup.room_k, crowd.profile_k, MOVING_S),
        film_kg=0.0,
        water_owed_s=crowd.water_owed_s + MOVING_S,
    )
    resting_s = act.Release.handling_time_s - MOVING_S
    return _passed(crowd, resting_s + act.NoteReading.handling_time_s)


def _beside_the_rule_s(procedure: Procedure) -> float:
    by_eye = not isinstance(procedure.observer, Camera)
    return act.Hold.handling_time_s + (act.SetEyeLevel.handling_time_s if by_eye else 0.0)


def _passed(crowd: _Crowd, time_s: Number) -> _Crowd:
    """Time passes with the ball in still air and the water standing without it."""
    return replace(
        crowd,
        air_owed_s=crowd.air_owed_s + time_s,
        water_owed_s=crowd.water_owed_s + time_s,
    )


def _air_worked_in(crowd: _Crowd, setup: Setup) -> _Crowd:
    then = Warmth(crowd.profile_k, crowd.film_kg)
    profile_k, film_kg = in_air(crowd.ball, setup.room_k, then, crowd.air_owed_s)
    return replace(crowd, profile_k=profile_k, film_kg=film_kg, air_owed_s=0.0)


def _water_worked_in(crowd: _Crowd, setup: Setup, water_kg: Number = WATER_KG) -> _Crowd:
    water_k, thermometer_k = standing(
        setup.room_k,
        water_kg,
        crowd.water_k,
        crowd.thermometer_k,
        crowd.water_owed_s,
        kept=crowd.kept,
    )
    return replace(crowd, water_k=water_k, thermometer_k=thermometer_k, water_owed_s=0.0)
