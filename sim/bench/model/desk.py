"""What a screen knows beside the practical, and how time passes at it.

A `Desk` is the practical's state and what only the bench in use needs: the open page, the
focus, the hand and the eye on their way, the fall that is being watched. It is replaced,
never changed. Whatever the practical must know becomes an action (`handling.py`).
"""

from __future__ import annotations

import pathlib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal, NamedTuple

from analysis.marking.questions import GRAPH
from analysis.marking.work import Remark
from analysis.paper.scales import LARGE_ACROSS, LARGE_UP, SMALL_SQUARES
from physics.bath import change_time_s
from physics.path import Path, path
from physics.restitution import restitution
from sim import actions as act
from sim.actions import NotPossible
from sim.bench.model.taking_back import taking_back
from sim.bench.ui.blocks import PaperPoint, Pencil, Squares
from sim.bench.ui.fields import TextLine
from sim.passing import advance
from sim.practical import apply
from sim.procedure import USUAL_DROP_HEIGHT_M
from sim.state import FIRST_EYE_HEIGHT_M, Place, State

if TYPE_CHECKING:
    from analysis.marking.study import Study

HASTE = 20.0
"""Soaking and the bath's warming can be hastened so many times. The physics is not shortened: the
same seconds pass at the bench."""
SETTLING_S = 45.0
"""A bath that is waited for is waited for so much longer: the thermometer in it follows."""
LONGEST_OWED_S = 5.0
"""Time that passes with nothing done goes on the record in pieces of this length, so that a
crash loses no more."""
LEAST_OWED_S = 1e-6
MOST_TAKEN_BACK = 50
"""So many writings can be taken back, one after another."""
ROUGH = "Rough readings"
"""The page that lies open first."""
BENCH = "bench"
"""The focus is on the apparatus, and single letters are its keys."""
PAPER = f"{GRAPH}.paper"
"""What the focus and the pointer know the sheet of graph paper by."""

SQUARES = Squares(LARGE_ACROSS * SMALL_SQUARES, LARGE_UP * SMALL_SQUARES, SMALL_SQUARES)
"""The sheet of graph paper that everybody draws on."""


class Step(NamedTuple):
    """What came of an intent: the new desk, and the actions that were done for it."""

    desk: Desk
    actions: tuple[act.Action, ...] = ()

    def then(self, further: Callable[[Desk], Step]) -> Step:
        """What comes of going on from here; the actions follow one another."""
        step = further(self.desk)
        return Step(step.desk, (*self.actions, *step.actions))


class Wording(NamedTuple):
    """The same words for who works by keys and for who works by finger."""

    keys: str
    finger: str

    def format(self, *values: object) -> Wording:
        """Both with their gaps filled."""
        return Wording(self.keys.format(*values), self.finger.format(*values))


def by_hand(words: str) -> Wording:
    """Words in which [R|a drag] stands where keys and fingers differ: keys first, then fingers."""
    keys, finger = (re.sub(r"\[(.*?)\|(.*?)\]", part, words) for part in (r"\1", r"\2"))
    return Wording(keys, finger)


@dataclass(frozen=True)
class WatchedFall:
    """A fall that is being watched: its path, and the desk's clock at the release."""

    path: Path
    began_s: float


@dataclass(frozen=True)
class Pouring:
    """A vessel that is being poured from, and the desk's clock when it began."""

    what: Literal["hot", "cold", "away"]
    began_s: float


@dataclass(frozen=True)
class Note:
    """A line of words at the foot of the corner, and the desk's clock when it was said."""

    text: str = ""
    kind: Literal["hint", "refusal", "caution", "trouble"] = "hint"
    said_s: float = 0.0


def _untouched() -> Pencil:
    return Pencil(SQUARES, PaperPoint(SQUARES.across / 2.0, SQUARES.up / 2.0))


@dataclass(frozen=True)
class Desk:
    """Everything that the picture is drawn from."""

    state: State
    clock_s: float = 0.0
    owed_s: float = 0.0
    """Time that has passed on the wall and not yet at the practical; below zero while a fall
    is watched whose time the practical has counted already."""
    hand_m: float = USUAL_DROP_HEIGHT_M
    eye_m: float = FIRST_EYE_HEIGHT_M
    frame_rate: int = 240
    frame: int = 0
    """Which frame the camera's picture shows, counted from the one nearest the apex."""
    fall: WatchedFall | None = None
    pouring: Pouring | None = None
    hasty_until_s: float | None = None
    """The practical's time until which waiting is hastened; None while nothing is."""
    written: tuple[act.Action, ...] = ()
    """What takes the last writings back, the latest last."""
    leaving: int = 0
    """The drop that may be left without a line, since it was asked about: its count."""
    page: str = ROUGH
    focus: str = BENCH
    thing: str = ""
    """What of the apparatus has the focus, while that is on the bench; nothing at first."""
    fields: Mapping[str, TextLine] = field(default_factory=lambda: MappingProxyType({}))
    composing: str = ""
    """Text that the keyboard is still putting together where the focus is."""
    pencil: Pencil = field(default_factory=_untouched)
    remarks: Mapping[str, tuple[Remark, ...]] = field(default_factory=lambda: MappingProxyType({}))
    """What feedback said when it was last asked for, by page."""
    study: Study | None = None
    """The work as it was then: what stands as it stood is not marked anew."""
    text_scale: float = 1.0
    steam_still: bool = False
    by_finger: bool = False
    """Whether it is worked by a finger on the screen: no key is named then."""
    help_open: bool = False
    note: Note = Note()
    demonstrating: bool = False
    """Whether the teacher's page, which shows true values, is wanted next."""
    asked_for: Literal["", "record", "readings"] = ""
    """Which file is wanted next: a window shows its folder, a browser lets it be saved."""
    kept_in: pathlib.Path | None = None
    """The file of the record, where there is one."""
    saved_as: str = ""
    """What the record is called where a browser keeps it and the student saves the file."""
    trouble: str = ""
    """Why the record is not being kept, or nothing."""

    @property
    def in_browser(self) -> bool:
        """Whether it is shown by a browser, which keeps some keys for itself."""
        return bool(self.saved_as)

    def worded(self, words: str | Wording) -> str:
        """Words as they are said to these hands."""
        if isinstance(words, str):
            return words
        return words.finger if self.by_finger else words.keys

    def saying(
        self, words: str | Wording, kind: Literal["hint", "refusal", "caution"] = "hint"
    ) -> Desk:
        """The desk with a line of words at its foot."""
        return replace(self, note=Note(self.worded(words), kind, self.clock_s))

    @cached_property
    def shown(self) -> State:
        """The practical as it is at this very moment, time owed included."""
        return advance(self.state, self.owed_s) if self.owed_s > 0.0 else self.state

    def at(self, name: str) -> Desk:
        """The desk with the focus on a name."""
        return replace(self, focus=name, composing="")

    def writing(self, fields: Mapping[str, TextLine]) -> Desk:
        """The desk with some fields as they are given."""
        return replace(self, fields=MappingProxyType({**self.fields, **fields}))


def done(desk: Desk, *actions: act.Action) -> Step:
    """Do actions at the practical, the time owed first; stop at one that is not possible."""
    performed: list[act.Action] = []
    state = desk.state
    owed_s, written = desk.owed_s, desk.written
    if owed_s > LEAST_OWED_S:
        performed.append(act.Wait(owed_s))
        state, owed_s = apply(state, performed[-1]), 0.0
    note = Note()
    for action in actions:
        try:
            after = apply(state, action)
        except NotPossible as refusal:
            note = Note(str(refusal), "refusal", desk.clock_s)
            break
        if isinstance(action, act.Release):
            owed_s -= after.time_s - state.time_s
        if len(after.cautions) > len(state.cautions):
            note = Note(after.cautions[-1].text, "caution", desk.clock_s)
        back = taking_back(state, action)
        written = written if back is None else (*written, back)[-MOST_TAKEN_BACK:]
        state = after
        performed.append(action)
    desk = replace(desk, written=written, hasty_until_s=_haste_left(desk, state))
    return Step(replace(desk, state=state, owed_s=owed_s, note=note), tuple(performed))


def _haste_left(desk: Desk, after: State) -> float | None:
    """Haste ends where the ball is moved or the dial is turned: what was waited for is no more."""
    same = (after.place, after.bath_setting_k) == (desk.state.place, desk.state.bath_setting_k)
    return desk.hasty_until_s if same else None


def passed(desk: Desk, time_s: float) -> Step:
    """Let time pass on the wall: the clock goes on, and owed time becomes a wait in the end.

    Under the help leaf, which covers everything, the bench stands still.
    """
    desk = replace(desk, clock_s=desk.clock_s + time_s)
    if desk.help_open:
        return Step(desk)
    desk = _gone_on(desk, time_s)
    if desk.owed_s < LONGEST_OWED_S:
        return Step(desk)
    note = desk.note
    step = done(desk)
    return Step(replace(step.desk, note=note), step.actions)


def _gone_on(desk: Desk, time_s: float) -> Desk:
    """So much of the wall's time is owed to the practical, hastened as far as it is to be."""
    until_s = desk.hasty_until_s
    if until_s is None or desk.owed_s < 0.0:
        return replace(desk, owed_s=desk.owed_s + time_s)
    left_s = max(until_s - desk.state.time_s - desk.owed_s, 0.0)
    if time_s * HASTE < left_s:
        return replace(desk, owed_s=desk.owed_s + time_s * HASTE)
    owed_s = desk.owed_s + left_s + time_s - left_s / HASTE
    return replace(desk, owed_s=owed_s, hasty_until_s=None)


def haste_until_s(state: State) -> float | None:
    """The practical's time that waiting can be hastened to; None where nothing is waited for.

    A soak goes to the time that is planned for it, and from there to twice that and so on; a bath
    until it is ready and the thermometer has followed.
    """
    if state.soaking and state.put_in_s is not None:
        soak_s = state.extent.soak_s
        turns = int((state.time_s - state.put_in_s + LEAST_OWED_S) // soak_s) + 1 if soak_s else 0
        return state.put_in_s + turns * soak_s if turns else None
    if state.bath_changing and state.place is not Place.TONGS:
        change_s = float(change_time_s(state.bath_k, state.bath_setting_k))
        return state.time_s + change_s + SETTLING_S
    return None


def fall_of(desk: Desk) -> WatchedFall | None:
    """The fall of the last drop, as if it began now."""
    drop = desk.state.last_drop
    if drop is None:
        return None
    ball = desk.state.ball

    def left(speed_m_s: float) -> float:
        return float(restitution(ball, drop.ball_k, speed_m_s))

    return WatchedFall(
        path(ball, desk.state.setup.room_k, drop.release_height_m, left), desk.clock_s
    )


def ball_height_m(desk: Desk) -> float | None:
    """The height of the ball's lowest point beside the rule; None while it is elsewhere."""
    if desk.fall is not None:
        return float(desk.fall.path.height_m(desk.clock_s - desk.fall.began_s))
    return desk.hand_m if desk.state.held_height_m is not None else None
