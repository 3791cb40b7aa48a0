"""Reading a practical record back: every line checked, every act done again.

What can be believed is kept and what cannot is reported with its line, so a damaged record
gives all that stands before the damage. Time and memory are bounded by the limits of
`sim.record.format`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from analysis.files import NoPlainFile, open_plain
from analysis.refusal import reason
from physics import MODEL_VERSION
from sim.actions import Action
from sim.practical import apply
from sim.record.format import (
    LONGEST_LINE_BYTES,
    MOST_ACTS,
    MOST_BYTES,
    SUFFIX,
    Damage,
    KeptAct,
    Opening,
    RecordRefused,
    read_entry,
    read_opening,
    setup_of,
)
from sim.state import Setup, State, beginning

TIMES_AGREE_S = 1e-6


@dataclass(frozen=True)
class Record:
    """A practical as its record keeps it.

    Attributes:
        setup: the bench.
        actions: the acts in order, all of them possible.
        times_s: the practical's time just before each act, as written.
        notices: what was found amiss, one sentence each.
        label: whose it is, where the record says so.
        end: the state after the last act.
        true_then: whether what is worked out here of heights and temperatures is what the
            bench gave; not so where the record was begun with another model of the physics.

    """

    setup: Setup
    actions: tuple[Action, ...]
    times_s: tuple[float, ...]
    notices: tuple[str, ...]
    label: str | None
    end: State
    true_then: bool = True


@dataclass(frozen=True)
class Scan:
    """A record, and what is needed to go on writing it.

    `good_bytes` is how much of the file the record was read from, `last_hash` the hash of
    its last line; `damaged` tells that more than a torn last line follows.
    """

    record: Record
    good_bytes: int
    last_hash: str
    damaged: bool


def read_record(path: Path) -> Record:
    """Read a record. A torn last line or other damage is told in the record's notices.

    Raises:
        RecordRefused: the file cannot be read, is no practical record, is damaged in its
            first line, is too large, or was written in a newer format.

    """
    return scanned(content_of(path), path.name).record


def content_of(path: Path) -> bytes:
    """The bytes of a record's file, no more than a record may have; raises RecordRefused."""
    try:
        with open_plain(path) as file:
            content = file.read(MOST_BYTES + 1)
    except NoPlainFile as error:
        raise RecordRefused(
            f"{path.name or path} is not a file",
            mend=f"name a practical record, {SUFFIX} at its end",
        ) from error
    except OSError as error:
        raise RecordRefused(f"{path.name} cannot be read: {reason(error)}.") from error
    if len(content) > MOST_BYTES:
        raise RecordRefused(
            f"{path.name} is larger than {MOST_BYTES // 2**20} MiB: no practical record is."
        )
    return content


def scanned(content: bytes, name: str) -> Scan:
    """Read a record from its bytes; `name` stands in the sentences. Raises RecordRefused."""
    first, setup, opening = _opened(content, name)
    last = first
    entries: list[KeptAct] = []
    notices: list[str] = []
    damage: Damage | None = None
    try:
        for step, entry in _steps(content, first):
            entries.append(entry)
            last = step
    except Damage as found:
        damage = found
    line = len(entries) + 2
    kept = f"the {len(entries):,} acts before it are kept"
    if damage is not None:
        notices.append(f"Line {line} of {name} is damaged ({damage}): {kept}.")
    elif last.end < len(content):
        notices.append(f"Line {line} of {name}, the last, was not written to its end: {kept}.")
    if not last.timely:
        notices.append(
            f"The times in {name} are not those of this version of the program: "
            "it was made with another version, or by hand."
        )
    record = Record(
        setup=setup,
        actions=tuple(entry.action for entry in entries),
        times_s=tuple(entry.time_s for entry in entries),
        notices=tuple(notices),
        label=opening.label,
        end=last.state,
        true_then=opening.physics == MODEL_VERSION,
    )
    return Scan(record, last.end, last.hash, damage is not None)


class _Step(NamedTuple):
    """Where the reading of a record stands: after a good line that ends at byte `end`."""

    state: State
    hash: str
    end: int
    timely: bool


def _opened(content: bytes, name: str) -> tuple[_Step, Setup, Opening]:
    end = content.find(b"\n") + 1
    if not content:
        raise RecordRefused(f"{name} is empty: nothing of a practical was kept in it.")
    try:
        if not 0 < end <= LONGEST_LINE_BYTES:
            raise Damage("it does not open a practical record")
        opening, digest = read_opening(content[: end - 1])
        setup = setup_of(opening)
        first = _Step(beginning(setup), digest, end, timely=True)
    except Damage as damage:
        raise RecordRefused(f"Line 1 of {name} cannot be read: {damage}.") from damage
    return first, setup, opening


def _steps(content: bytes, step: _Step) -> Iterator[tuple[_Step, KeptAct]]:
    """The good lines after line 1; raises Damage at the first that is not."""
    for number, (line, end) in enumerate(_lines(content, step.end)):
        if number == MOST_ACTS:
            raise Damage(f"a record holds {MOST_ACTS:,} acts at most")
        entry, digest = read_entry(step.hash, line)
        timely = step.timely and abs(entry.time_s - step.state.time_s) < TIMES_AGREE_S
        step = _Step(_after(step.state, entry.action), digest, end, timely)
        yield step, entry


def _after(state: State, action: Action) -> State:
    try:
        return apply(state, action)
    except (ValueError, ArithmeticError) as error:  # NotPossible, and numbers out of range
        raise Damage(f"the act cannot be done: {str(error).rstrip('.')}") from error


def _lines(content: bytes, start: int) -> Iterator[tuple[bytes, int]]:
    """The whole lines from a byte on, each without its newline and with where it ends."""
    while (newline := content.find(b"\n", start)) >= 0:
        yield content[start:newline], newline + 1
        start = newline + 1
