"""The focus on the apparatus: from thing to thing by keys, and what Return does with each.

So that the bench can be worked like a page of fields, without knowing a letter for each act.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from sim.bench.model import intents as want
from sim.bench.model.desk import Desk, Step, Wording, by_hand
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


THINGS: dict[str, tuple[Wording, Callable[[Desk], want.Intent | None]]] = {
    "kettle": (
        by_hand("Kettle: [Return|a tap] pours 50 ml of hot water."),
        lambda _: want.Pour("hot"),
    ),
    "jug": (by_hand("Jug: [Return|a tap] pours 50 ml of cold water."), lambda _: want.Pour("cold")),
    "beaker": (by_hand("Beaker: [Return|a tap] pours 50 ml away."), lambda _: want.Pour("away")),
    "thermometer": (
        by_hand("Thermometer: [Return|a tap] moves it to the other water."),
        lambda desk: clicked(desk, "thermometer"),
    ),
    "dial up": (
        by_hand("Bath's dial: [Return|a tap] sets it 5 °C warmer."),
        lambda desk: clicked(desk, "dial up"),
    ),
    "dial down": (
        by_hand("Bath's dial: [Return|a tap] sets it 5 °C cooler."),
        lambda desk: clicked(desk, "dial down"),
    ),
    "ball": (
        by_hand("Ball: [Return|a tap] takes it into water, then to the rule, then lets go."),
        _ball_wish,
    ),
    "towel": (
        by_hand("Towel: [Return|a tap] dries the ball, or wipes what is spilt."),
        lambda desk: clicked(desk, "towel"),
    ),
    "eye": (
        by_hand(
            "Eye: [Return|a tap] brings it to the last reading; [Page ↑ ↓ move it.|a drag at the "
            "rule or in the lens moves it.]"
        ),
        lambda _: want.LevelEye(),
    ),
    "stopwatch": (
        by_hand("Stopwatch: [Return|a tap] shortens the wait."),
        lambda desk: clicked(desk, "stopwatch"),
    ),
    "camera": (
        by_hand("Camera: [Return|a tap] sets it up, or away."),
        lambda desk: clicked(desk, "camera"),
    ),
}
"""Each thing in the order of the focus: what is said of it, and what Return or a tap wishes for."""


def move_along(desk: Desk, intent: want.MoveAlong) -> Step:
    """The next thing has the focus, and it is said what can be done with it."""
    thing = next_name(tuple(THINGS), desk.thing, intent.by)
    return Step(replace(desk, thing=thing).saying(THINGS[thing][0]))


def wish_with_thing(desk: Desk) -> want.Intent | None:
    """What Return wishes for at the thing that has the focus."""
    return THINGS[desk.thing][1](desk) if desk.thing else None
