"""A showing of the demonstration: where it stands, which key is which wish, and what follows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from physics.ball import PLAYING_SPEEDS
from sim.bench.model.intents import FillScreen
from sim.procedure import DEMO_SEED, SHOWN_PROCEDURE
from sim.state import Setup, State
from sim.teaching.demonstration import Demonstration, demonstration

WARNING = (
    "This page is for teachers.",
    "It shows true values: how warm the ball really is at every drop, which no student at the "
    "bench is told. It shows an example of its own, not the practical on this bench.",
    "Return or a click: show it.   Esc: go back.",
)
DROPS_PER_S = (0.2, 0.5, 1.0, 2.0, 5.0)
FIRST_SPEED = 1


@dataclass(frozen=True)
class Pass:
    """Time passes on the wall."""

    time_s: float


@dataclass(frozen=True)
class Pause:
    """Stop for discussion, or go on."""


@dataclass(frozen=True)
class Hasten:
    """Go through the drops faster (1) or slower (-1)."""

    by: int


@dataclass(frozen=True)
class Turn:
    """Go to the next drop (1) or back to the one before (-1), and stay there."""

    by: int


@dataclass(frozen=True)
class GoTo:
    """Go to the beginning or the end."""

    end: bool


@dataclass(frozen=True)
class Heed:
    """The warning has been read."""


@dataclass(frozen=True)
class Close:
    """Leave the demonstration."""


Wish = Pass | Pause | Hasten | Turn | GoTo | Heed | FillScreen | Close
SHOW_KEYS: dict[str, Wish] = {
    "SPACE": Pause(),
    "UP": Hasten(1),
    "DOWN": Hasten(-1),
    "PLUS": Hasten(1),
    "KP_PLUS": Hasten(1),
    "MINUS": Hasten(-1),
    "KP_MINUS": Hasten(-1),
    "RIGHT": Turn(1),
    "LEFT": Turn(-1),
    # A presenter's clicker sends these two.
    "PAGEDOWN": Turn(1),
    "PAGEUP": Turn(-1),
    "HOME": GoTo(end=False),
    "r": GoTo(end=False),
    "END": GoTo(end=True),
    "RETURN": Heed(),
    "KP_ENTER": Heed(),
    "F11": FillScreen(),
    "ESCAPE": Close(),
}
"""Keys, as `sim.bench.model.keys` names them."""
SHOW_HELP = (
    "Space: pause   ↑ ↓: faster, slower   ← →: a drop back, on   R: again   F11: full screen   "
    "Esc: close"
)


@dataclass(frozen=True, eq=False)
class Show:
    """A demonstration on its way.

    Between the two procedures it waits, so that a class can say what it expects. `progress` counts
    the drops that have landed, its fraction the way to the next one. Nothing true is shown before
    the warning has been heeded.
    """

    shown: Demonstration
    progress: float = 0.0
    paused: bool = False
    speed: int = FIRST_SPEED
    heeded: bool = False
    open: bool = True

    @property
    def at_end(self) -> bool:
        """Whether all drops have landed."""
        return self.progress >= self.shown.length

    @property
    def pace(self) -> str:
        """How fast it goes, in words."""
        if self.paused:
            return "Paused: Space goes on."
        speed = DROPS_PER_S[self.speed]
        return f"{speed:g} drops a second" if speed > 1.0 else f"A drop every {1.0 / speed:g} s."


def show_at_bench(state: State) -> Show:
    """A showing with the ball and the room of a bench, but never with its seed.

    A practical's own random numbers stay its own: what is shown tells nothing of them.
    """
    taken = (ball for ball in PLAYING_SPEEDS.values() if ball.name == state.ball.name)
    model = next(taken, state.setup.model)
    setup = Setup(seed=DEMO_SEED, model=model, room_k=state.setup.room_k)
    return Show(demonstration(setup, SHOWN_PROCEDURE))


def show_after(show: Show, wish: Wish) -> Show:
    """The show after a wish; before the warning is heeded only that, or leaving, does anything."""
    if isinstance(wish, Close):
        return replace(show, open=False)
    if not show.heeded:
        return replace(show, heeded=isinstance(wish, Heed | Pause))
    return _AFTER[type(wish)](show, wish)


def _pass(show: Show, wish: Pass) -> Show:
    if show.paused or show.at_end:
        return show
    then = show.progress + wish.time_s * DROPS_PER_S[show.speed]
    between = show.shown.drops
    if show.progress < between <= then:
        return replace(_at(show, between), paused=True)
    return _at(show, then)


def _turn(show: Show, wish: Turn) -> Show:
    """To a whole number of drops: forward from a fraction is the next, back the last landed."""
    landed = int(show.progress)
    back_to = landed if show.progress > landed else landed - 1
    return replace(_at(show, landed + 1 if wish.by > 0 else back_to), paused=True)


def _at(show: Show, progress: float) -> Show:
    return replace(show, progress=float(min(max(progress, 0.0), show.shown.length)))


def _paced(show: Show, speed: int) -> Show:
    return replace(show, speed=min(max(speed, 0), len(DROPS_PER_S) - 1))


_AFTER: dict[type, Callable[[Show, Any], Show]] = {
    Pass: _pass,
    Pause: lambda show, _: replace(show, paused=not show.paused),
    Hasten: lambda show, wish: _paced(show, show.speed + wish.by),
    Turn: _turn,
    GoTo: lambda show, wish: replace(_at(show, show.shown.length if wish.end else 0), paused=False),
    Heed: lambda show, _: replace(show, paused=False),
    FillScreen: lambda show, _: show,
}
