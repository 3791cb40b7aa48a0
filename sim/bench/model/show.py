"""Where a showing of the demonstration stands, and what follows on a wish. No pygame."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

from sim.teaching.demonstration import Demonstration

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


Wish = Pass | Pause | Hasten | Turn | GoTo | Heed | Close


@dataclass(frozen=True, eq=False)
class Show:
    """A demonstration on its way.

    `progress` counts the drops that have landed, its fraction the way to the next one.
    Nothing true is shown before the warning has been heeded.
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
        return self.progress >= self.shown.drops


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
    return _at(show, show.progress + wish.time_s * DROPS_PER_S[show.speed])


def _pause(show: Show, _: Pause) -> Show:
    return replace(show, paused=not show.paused)


def _hasten(show: Show, wish: Hasten) -> Show:
    return replace(show, speed=min(max(show.speed + wish.by, 0), len(DROPS_PER_S) - 1))


def _turn(show: Show, wish: Turn) -> Show:
    """To a whole number of drops: forward from a fraction is the next, back the last landed."""
    landed = int(show.progress)
    back_to = landed if show.progress > landed else landed - 1
    return replace(_at(show, landed + 1 if wish.by > 0 else back_to), paused=True)


def _go_to(show: Show, wish: GoTo) -> Show:
    return replace(_at(show, show.shown.drops if wish.end else 0.0), paused=False)


def _heed(show: Show, _: Heed) -> Show:
    return show


def _at(show: Show, progress: float) -> Show:
    return replace(show, progress=float(min(max(progress, 0.0), show.shown.drops)))


_AFTER: dict[type, Callable[[Show, Any], Show]] = {
    Pass: _pass,
    Pause: _pause,
    Hasten: _hasten,
    Turn: _turn,
    GoTo: _go_to,
    Heed: _heed,
}
