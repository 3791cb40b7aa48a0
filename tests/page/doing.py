"""What is done both with numpy and with what stands in for it, told in plain values."""

import dataclasses
import hashlib
import random
from collections.abc import Mapping

from physics.reading import CAMERAS, READERS
from sim import actions as act
from sim.actions import NotPossible
from sim.bench.model.desk import Desk
from sim.bench.model.in_words import bench_in_words
from sim.chance import drop_chance, single_chance
from sim.practical import apply
from sim.record.format import KeptAct, linked, opening_line
from sim.state import Place, Setup, beginning

SEEDS = (0, 3, 2**63 + 1, 2**64 + 5, 2**127 + 2**64 + 99, 2**128 - 1)


def draws(blocks):
    """Random numbers at many addresses, to the bit."""
    single = [
        [number.hex() for number in single_chance(seed, drop)]
        for seed in SEEDS
        for drop in range(200)
    ]
    block = [
        hashlib.sha256("".join(one.hex() for one in numbers.tolist()).encode()).hexdigest()
        for seed in SEEDS[:blocks]
        for numbers in drop_chance(seed, 2, 1)
    ]
    return [single, block]


def practicals(first, count):
    """Practicals of random acts: of each its words and readings, its numbers, and its record."""
    return [practical(seed) for seed in range(first, first + count)]


def practical(number):
    """One of them, with a seed above 2**64 as often as not."""
    moments = random.Random(number)
    setup = Setup(
        seed=number + moments.choice([0, 2**64, 2**100]),
        room_k=moments.choice([287.15, 293.15, 299.65]),
    )
    state, told, numbers = beginning(setup), [], []
    record = opening_line(setup, None)
    lines = [record.line]
    for _ in range(30):
        action = some_act(moments, state)
        try:
            after = apply(state, action)
        except NotPossible as refusal:
            told.append(str(refusal))
            continue
        record = linked(record.hash, KeptAct(state.time_s, action))
        lines.append(record.line)
        state = after
        if isinstance(action, act.Release):
            drop = state.last_drop
            told.append(drop.called_out and f"{drop.called_out.height_m:.6f}")
        numbers.append(list(numbers_of(dataclasses.replace(state, cautions=()))))
        told += [bench_in_words(Desk(state)), len(state.cautions)]
    return [told, numbers, b"".join(lines).decode()]


def some_act(moments, state):
    """An act that can mostly be done where the ball is now."""
    anywhere = [
        act.Wait(moments.choice([0.25, 3.7, 61.0, 700.0]) * moments.random()),
        act.AddHotWater(0.05 + 0.2 * moments.random(), carefully=moments.random() < 0.8),
        act.AddColdWater(0.1 * moments.random()),
        act.SetBath(288.15 + 60.0 * moments.random()),
        act.MoveThermometer(moments.choice(["beaker", "bath"])),
        act.AskReader(moments.choice([*READERS, None])),
        act.SetUpCamera(moments.choice([*CAMERAS]), 0.3),
        act.PutCameraAway(),
        act.PourAway(0.05),
        act.WipeFloor(),
    ]
    here = {
        Place.TRAY: [act.PickUp(), act.ChooseBall(moments.choice(["fast", "medium", "slow"]))],
        Place.FLOOR: [act.PickUp()],
        Place.TONGS: [
            act.Towel(),
            act.PutBallIn(moments.choice(["beaker", "bath"])),
            act.Hold(0.3 + moments.random()),
            act.Release(),
            act.Release(),
        ],
    }.get(state.place, [act.LiftOut(), act.Wait(400.0 * moments.random())])
    return moments.choice(here if moments.random() < 0.7 else anywhere)


def numbers_of(value):
    """Every number in a state, however deep."""
    if isinstance(value, float | int):
        yield float(value)
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from numbers_of(getattr(value, field.name))
    elif isinstance(value, Mapping):
        yield from numbers_of(tuple(value.values()))
    elif isinstance(value, tuple):
        for one in value:
            yield from numbers_of(one)
