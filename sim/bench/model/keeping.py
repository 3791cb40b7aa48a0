"""Which practical is worked at, and how it is kept: every act on its record at once.

The first page when practicals were begun before offers to go on with one, or to begin anew. The
readings file is kept beside the record. What goes wrong is told in a sentence and the practical
goes on in memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from analysis.refusal import Refused
from sim import actions as act
from sim.bench.ui.blocks import Block, ButtonBox, Gap, Words, focus_order, next_name
from sim.practical import apply
from sim.record.file import Begun, RecordFile, begin_record, continue_record, fresh_path, unfinished
from sim.record.format import SUFFIX
from sim.record.readings_file import readings_path, write_readings
from sim.state import State

NEW = "offer.new"
MOST_OFFERED = 6


@dataclass(frozen=True)
class Offer:
    """The practicals that can be gone on with, and which button has the focus."""

    begun: tuple[Begun, ...]
    focus: str = "offer.0"

    def blocks(self) -> tuple[Block, ...]:
        """The page: a button for each practical, the newest first, and one for a new one."""
        buttons: list[Block] = []
        for number, record in enumerate(self.begun[:MOST_OFFERED]):
            buttons += [ButtonBox(f"offer.{number}", _label(record)), Gap(6)]
        return (
            Words("Practicals begun here", "title"),
            Words("Go on where one stopped, or begin a new one. Tab moves, Return chooses."),
            *buttons,
            Gap(14),
            ButtonBox(NEW, "Begin a new practical"),
        )

    def keyed(self, key: str, shift: bool = False) -> tuple[Offer, str | None]:
        """The offer after a key, as `sim.bench.model.keys` names it, and the button pressed."""
        if key in ("RETURN", "KP_ENTER", "SPACE"):
            return self, self.focus
        back = key == "UP" or (key == "TAB" and shift)
        if not back and key not in ("TAB", "DOWN"):
            return self, None
        focus = next_name(focus_order(self.blocks()), self.focus, -1 if back else 1)
        return replace(self, focus=focus), None

    def record(self, name: str) -> Begun | None:
        """The practical behind a button; None for a new one."""
        return None if name == NEW else self.begun[int(name.removeprefix("offer."))]


def offered(folder: Path) -> Offer | None:
    """What can be gone on with in a folder; None where nothing was begun. Raises Refused."""
    begun = unfinished(folder)
    return Offer(begun) if begun else None


def _label(record: Begun) -> str:
    name = record.label or record.path.name.removesuffix(SUFFIX)
    return f"{name}, last used {record.changed:%d %b, %H:%M}"


@dataclass(frozen=True)
class Opened:
    """A practical ready for the bench: where it stands, its record, and what to say of it."""

    state: State
    record: RecordFile | None = None
    words: str = ""
    trouble: str = ""


def with_new_record(state: State, folder: Path) -> Opened:
    """A record for a new practical; where none can be kept it goes on in memory, and says so."""
    try:
        return Opened(state, begin_record(fresh_path(folder, datetime.now()), state.setup))
    except Refused as trouble:
        return Opened(state, trouble=f"{trouble} The practical goes on, but only in memory.")


def gone_on_with(path: Path) -> Opened:
    """A practical that was begun before, where it stopped. Raises Refused."""
    record, read = continue_record(path)
    return Opened(read.end, record, words=" ".join(read.notices))


FIGURES = (act.NoteReading, act.StrikeReading)
"""Acts that change the readings file."""


class Keeper:
    """Writes a practical down as it goes on. Without a record it keeps nothing.

    The readings file is written by a thread of its own, one at a time, so that no frame
    waits for the disk.
    """

    def __init__(self, record: RecordFile | None, trouble: str = "") -> None:
        """Take over a record that is open for writing; `trouble` says why there is none."""
        self._record = record
        self._trouble = trouble
        self._thread = ThreadPoolExecutor(1)
        self._writing: Future[None] | None = None
        self._failed = ""

    def keep(self, before: State, actions: Sequence[act.Action]) -> str:
        """Put acts on the record; `before` is the state that the first was done in.

        Returns what went wrong in a sentence, or nothing.
        """
        if self._record is None:
            return self._trouble
        trouble, state = "", before
        for action in actions:
            try:
                self._record.append(action, state.time_s)
            except Refused as problem:
                trouble = f"{problem} The practical goes on, but only in memory."
            state = apply(state, action)
        beside = self._kept_beside(state, any(isinstance(one, FIGURES) for one in actions))
        return trouble or beside

    def _kept_beside(self, state: State, changed: bool) -> str:
        """Write the readings file where figures changed, or where it failed before; why it failed.

        It is tried again with the acts that follow: a wait goes on record every few seconds.
        """
        assert self._record is not None
        path = readings_path(self._record.path)
        if self._writing is not None and self._writing.done():
            problem, self._writing = self._writing.exception(), None
            self._failed = "" if problem is None else f"{problem} It is tried again."
        if changed or (self._failed and self._writing is None):
            self._writing = self._thread.submit(write_readings, state, path, force=True)
        return self._failed

    def meanwhile(self, work: Iterable[None]) -> None:
        """Do the pieces of a work in the background, such as loading what feedback will need."""
        self._thread.submit(list, work)

    def close(self) -> str:
        """Finish everything; returns what went wrong in a sentence, or nothing."""
        troubles = []
        try:
            if self._record is not None:
                self._record.close()
        except Refused as trouble:
            troubles.append(str(trouble))
        self._thread.shutdown()
        try:
            if self._writing is not None:
                self._writing.result()
        except Refused as trouble:
            troubles.append(str(trouble))
        return " ".join(troubles)
