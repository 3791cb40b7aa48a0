"""The record of a practical that is kept line by line outside any file system.

The page keeps each line in the browser's storage as soon as it is made; the lines are those that a
file of `sim.record.file` would hold, byte for byte, and are read back by the same replay.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from sim.actions import Action
from sim.practical import apply
from sim.record.format import MOST_ACTS, MOST_BYTES, KeptAct, RecordTrouble, linked, opening_line
from sim.record.replay import Record, scanned
from sim.state import Setup, State

GOES_ON = "The practical goes on, but only in memory."


@dataclass(frozen=True)
class RecordLines:
    """A record in memory: its length in bytes, its acts counted, and the hash of its last line."""

    length: int
    acts: int
    hash: str

    def with_acts(
        self, before: State, actions: tuple[Action, ...]
    ) -> tuple[RecordLines, bytes, str]:
        """The record with more acts, their lines, and what could not be kept, in a sentence.

        `before` is the state that the first act was done in.
        """
        record, lines, trouble = self, b"", ""
        for action, time_s in zip(actions, _times_s(before, actions), strict=False):
            try:
                record, line = record._with_act(KeptAct(time_s, action))
                lines += line
            except RecordTrouble as problem:
                trouble = f"{problem} {GOES_ON}"
        return record, lines, trouble

    def _with_act(self, entry: KeptAct) -> tuple[RecordLines, bytes]:
        line, digest = linked(self.hash, entry)
        if self.acts >= MOST_ACTS or self.length + len(line) > MOST_BYTES:
            raise RecordTrouble("The record is full: this and later acts cannot be kept in it.")
        return replace(self, length=self.length + len(line), acts=self.acts + 1, hash=digest), line


def _times_s(before: State, actions: tuple[Action, ...]) -> Iterator[float]:
    """When each act was done. What comes of an act is worked out only for another after it."""
    state = before
    for action in actions:
        yield state.time_s
        state = apply(state, action)


def begun(setup: Setup) -> tuple[RecordLines, bytes]:
    """A new record and its opening line; raises RecordTrouble where the setup cannot be kept."""
    line, digest = opening_line(setup, None)
    return RecordLines(len(line), 0, digest), line


def gone_on(content: bytes, name: str) -> tuple[RecordLines, bytes, Record]:
    """A record to go on with, its good bytes, and what it holds; raises RecordRefused."""
    scan = scanned(content, name)
    kept = RecordLines(scan.good_bytes, len(scan.record.actions), scan.last_hash)
    return kept, content[: scan.good_bytes], scan.record
