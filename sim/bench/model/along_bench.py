"""The focus on the apparatus: from thing to thing by keys, and what Return does with each.

So that the bench can be worked like a page of fields, without knowing a letter for each act.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from sim.bench.model import intents as want
from sim.bench.model.desk import Desk, Step
from sim.bench.model.handling import clicked
from sim.bench.ui.blocks import next_name
from sim.soaking import COVERING_KG
from sim.state import Place


def _ball_wish(desk: Desk) -> want.Intent:
    """The ball's next place: into water, to the rule, and there let go."""
    state = desk.state
    if state.held_height_m is not None:
        return want.LetGo()
    if state.soaking or state.place is Place.TONGS:
        return want.MoveBall("rule")
    return want.MoveBall("beaker" if state.water_kg >= COVERING_KG else "bath")


THINGS: dict[str, tuple[str, Callable[[Desk], want.Intent | None]]] = {
    "kettle": ("Kettle: Return pours 50 ml of hot water.", lambda _: want.Pour("hot")),
    "jug": ("Jug: Return pours 50 ml of cold water.", lambda _: want.Pour("cold")),
    "beaker": ("Beaker: Return pours 50 ml away.", lambda _: want.Pour("away")),
    "thermometer": (
        "Thermometer: Return moves it to the other water.",
        lambda desk: clicked(desk, "thermometer"),
    ),
    "dial up": ("Bath's dial: Return sets it 5 °C warmer.", lambda desk: clicked(desk, "dial up")),
    "dial down": (
        "Bath's dial: Return sets it 5 °C cooler.",
        lambda desk: clicked(desk, "dial down"),
    ),
    "ball": ("Ball: Return takes it into water, then to the rule, then lets go.", _ball_wish),
    "towel": (
        "Towel: Return dries the ball, or wipes what is spilt.",
        lambda desk: clicked(desk, "towel"),
    ),
    "eye": (
        "Eye: Return brings it to the last reading; Page ↑ ↓ move it.",
        lambda _: want.LevelEye(),
    ),
    "stopwatch": (
        "Stopwatch: Return shortens the wait.",
        lambda desk: clicked(desk, "stopwatch"),
    ),
    "camera": ("Camera: Return sets it up, or away.", lambda desk: clicked(desk, "camera")),
}
"""Each thing in the order of the focus: what is said of it, and what Return wishes for."""


def move_along(desk: Desk, intent: want.MoveAlong) -> Step:
    """The next thing has the focus, and it is said what can be done with it."""
    thing = next_name(tuple(THINGS), desk.thing, intent.by)
    return Step(replace(desk, thing=thing).saying(THINGS[thing][0]))


def wish_with_thing(desk: Desk) -> want.Intent | None:
    """What Return wishes for at the thing that has the focus."""
    return THINGS[desk.thing][1](desk) if desk.thing else None
