"""What is done both with numpy and with what stands in for it, told in plain values."""

import dataclasses
import hashlib
import json
import math
import random
import sys
from collections.abc import Mapping
from dataclasses import replace
from functools import reduce
from pathlib import Path
from types import ModuleType

import numpy

from analysis.marking.mark import mark
from analysis.marking.questions import ANSWERED
from physics.reading import CAMERAS, READERS
from sim import actions as act
from sim.actions import NotPossible
from sim.bench.model.desk import Desk
from sim.bench.model.in_words import bench_in_words
from sim.bench.model.intents import WriteDown
from sim.bench.model.keys import BENCH_KEYS
from sim.bench.model.pages.first_and_last import BEGIN
from sim.chance import drop_chance, single_chance
from sim.page.bridge import PageBench
from sim.practical import apply
from sim.record.format import KeptAct, linked, opening_line
from sim.record.readings_file import readings_content
from sim.state import Place, Setup, beginning
from tests.analysis.marking.right_work import Style, right_work, with_axis, with_cells, with_graph

SEEDS = (0, 3, 2**63 + 1, 2**64 + 5, 2**127 + 2**64 + 99, 2**128 - 1)
LIBRARIES = ("rapidfuzz", "snowballstemmer")
WRITE_DOWN = [key.intent for key in BENCH_KEYS].index(WriteDown())


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
    state = apply(state, act.AskReader(moments.choice([*READERS])))
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
        numbers.append(list(numbers_of(replace(state, cautions=()))))
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


def markings(first, count):
    """What the marking says of works that are right but for some slips."""
    return [
        [str(one) for one in mark(work_with_slips(seed)).remarks]
        for seed in range(first, first + count)
    ]


def marked_with_mean(mean):
    """What the marking says of a work in whose table every mean is this one."""
    work = right_work({20: (24.0, 24.0), 40: (36.0, 36.0)}, Style(places=0, mean_places=0))
    work = with_cells(work, {(1, 3): mean, (2, 3): mean})
    return [str(one) for one in mark(work).remarks]


def work_with_slips(number):
    """A work of random readings in which some cells, crosses, answers or readings are others."""
    moments = random.Random(number)
    places, repeats = moments.choice([0, 1]), moments.randint(2, 5)
    heights_cm = {
        temperature: tuple(
            round(0.6 * temperature + 12.0 + moments.gauss(0.0, 0.8), places)
            for _ in range(repeats)
        )
        for temperature in range(20, 20 + 10 * moments.randint(2, 6), 10)
    }
    style = Style(places=places, mean_places=places + moments.randint(0, 1))
    work = right_work(heights_cm, style)
    slips = [_other_cell, _other_crosses, _other_line, _other_axis, _other_answer, _other_rough]
    for slip in moments.choices(slips, k=moments.randint(0, 4)):
        work = slip(moments, work)
    return work


def _other_cell(moments, work):
    texts = ["20", "-5", "24.5*", "31 cm", "mean", "", "1e3", "nan"]
    return with_cells(work, {moments.choice(list(work.cells)): moments.choice(texts)})


def _some_point(moments, graph):
    odd = [math.nan, math.inf, 0.0, 1e300]
    return tuple(
        moments.choice(odd)
        if moments.random() < 0.02
        else axis.start + axis.large_square * 9.0 * moments.random()
        for axis in (graph.axes["across"], graph.axes["up"])
    )


def _other_crosses(moments, work):
    kept = [one for one in work.graph.crosses if moments.random() < 0.7]
    moved = [(x + moments.gauss(0.0, 0.4), y + moments.gauss(0.0, 0.4)) for x, y in kept]
    more = [_some_point(moments, work.graph) for _ in range(moments.randint(0, 3))]
    return with_graph(work, crosses=(*moments.choice([kept, moved]), *more))


def _other_line(moments, work):
    some = [_some_point(moments, work.graph) for _ in range(moments.randint(0, 6))]
    bent = [(x, y + moments.gauss(0.0, 1.0)) for x, y in work.graph.crosses]
    return with_graph(work, line=tuple(moments.choice([some, sorted(bent), work.graph.crosses])))


def _other_axis(moments, work):
    changes = [{"start": 0.0}, {"large_square": 7.0}, {"large_square": 0.0}, {"title": "h / m"}]
    return with_axis(work, moments.choice(["across", "up"]), **moments.choice(changes))


def _other_answer(moments, work):
    page, question = moments.choice(list(ANSWERED))
    texts = [
        "12",
        "about 0.4 cm/°C",
        "As the temperature rises the rebound height increases in a straight line.",
        "The readings are repeatable because the half-range of 1 cm is smaller than the change.",
        "Hot water scalds, so use tongs.",
    ]
    return replace(work, answers={**work.answers, (page, question): moments.choice(texts)})


def _other_rough(moments, work):
    rough = [one for one in work.rough or () if moments.random() < 0.9]
    struck = [replace(one, struck_out=moments.random() < 0.1) for one in rough]
    return replace(work, rough=moments.choice([None, tuple(rough), tuple(struck)]))


def pages(number):
    """Which pages of the book open, and lie open again, once there are readings of both ways."""
    bench = PageBench()
    bench.begin("practical.rebound.jsonl", str(number))
    bench.do(json.dumps({"press": BEGIN}))
    for key in "hccb":
        bench.do(json.dumps({"key": key}))
    for before in ("tr", "r", "r", "btr", "btr"):
        for key in [*before, " "]:
            bench.do(json.dumps({"key": key}))
            for _ in range(12):
                bench.tick(0.25)
        for text, wish in (("50 C", {"letter": WRITE_DOWN}), ("40 cm", {"key": "Enter"})):
            focus = json.loads(bench.do(json.dumps(wish)))["focus"]
            bench.do(json.dumps({"edit": focus, "text": text}))
        bench.do(json.dumps({"key": "Enter"}))
        bench.do(json.dumps({"key": "Escape"}))
    opened = [json.loads(bench.do(json.dumps({"page": page}))) for page in range(10)]
    return {one["page"]: len(one["blocks"]) for one in opened}


def held():
    """The modules that the page loads, feedback included, and the names that numpy has there."""
    loaded = [name for name in sys.modules if name.split(".")[0] in ("analysis", "physics", "sim")]
    names = [name for name in vars(numpy) if not name.startswith("_")]
    parts = [name for name in names if isinstance(getattr(numpy, name), ModuleType)]
    inside = [
        f"{part}.{name}"
        for part in parts
        for name, one in vars(getattr(numpy, part)).items()
        if not name.startswith("_") and getattr(one, "__module__", "") == f"numpy.{part}"
    ]
    return [loaded, [name for name in names if name not in parts] + inside]


def readings_files(first, count):
    """The readings file of works of random readings, some of them struck out."""
    return [_readings_file(random.Random(number)) for number in range(first, first + count)]


def _readings_file(moments):
    state = beginning(Setup(seed=3))
    for action in act.PutBallIn("bath"), act.LiftOut(), act.Hold(1.0):
        state = apply(state, action)
    for _ in range(moments.randint(0, 6)):
        state = reduce(apply, (act.Release(), act.Wait(5.0)), state)
        temperature_k = 273.15 + moments.choice([20.0, 20.5, round(100.0 * moments.random(), 1)])
        height_m, places = round(moments.random(), moments.choice([2, 3, 4])), moments.randint(0, 2)
        noted = act.NoteReading(temperature_k, height_m, decimal_places=places)
        state = reduce(apply, (noted, act.PickUp(), act.Hold(1.0)), state)
        if moments.random() < 0.3:
            state = apply(state, act.StrikeReading(len(state.rough) - 1, "misread"))
    return readings_content(state, Path("some.csv")).decode()


def library_files():
    """The files of the two libraries that the page loads, by their places in the archive."""
    loaded = [one for name, one in sys.modules.items() if name.split(".")[0] in LIBRARIES]
    root = Path(sys.modules[LIBRARIES[0]].__file__).parents[1]
    return sorted(Path(one.__file__).relative_to(root).as_posix() for one in loaded)
