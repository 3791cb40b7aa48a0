"""Keeping the practical: every act on its record at once, the readings file beside it.

No pygame. What goes wrong is told in a sentence and the practical goes on in memory.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor

from analysis.refusal import Refused
from sim import actions as act
from sim.practical import apply
from sim.record.file import RecordFile
from sim.record.readings_file import readings_path, write_readings
from sim.state import State

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
        if any(isinstance(action, FIGURES) for action in actions):
            beside = readings_path(self._record.path)
            self._writing = self._thread.submit(write_readings, state, beside, force=True)
        return trouble

    def meanwhile(self, work: Callable[[], None]) -> None:
        """Do work in the background, such as loading what feedback will need."""
        self._thread.submit(work)

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
