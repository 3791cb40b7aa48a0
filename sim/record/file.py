"""The practical record on disk: begin one, go on with one, and keep act after act in it.

An act is one line, written in one piece at the end of the file as soon as it is done. The
operating system has it at once, which outlives a kill of the program: that loses at most the
line in progress, which `continue_record` cuts off. The disk itself is waited for (`fsync`)
after each reading noted or struck out and at the close: a power cut loses no reading, and no
frame of a fall waits for a slow disk. What a full disk refuses stays in memory and is written,
in order, with the next act. Only one window writes to a record.

What records are called and which of a folder can be gone on with stands last.
"""

from __future__ import annotations

import errno
import os
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import NamedTuple, Self

from filelock import BaseFileLock, FileLock, Timeout

from analysis.files import clear_parts, write_whole
from analysis.refusal import reason
from sim.actions import Action, NoteReading, StrikeReading
from sim.record.format import (
    LONGEST_LINE_BYTES,
    MOST_ACTS,
    MOST_BYTES,
    SUFFIX,
    Damage,
    KeptAct,
    RecordInUse,
    RecordRefused,
    RecordTrouble,
    linked,
    opening_line,
    read_opening,
)
from sim.record.replay import Record, Scan, content_of, scanned
from sim.state import Setup

WAITED_FOR = (NoteReading, StrikeReading)
"""Acts after which the disk is waited for."""
FLAGS = os.O_RDWR | os.O_APPEND | getattr(os, "O_BINARY", 0)


class RecordFile:
    """A record open for writing. Use as a context manager, or call `close`."""

    def __init__(self, path: Path, lock: BaseFileLock, descriptor: int, scan: Scan) -> None:
        """Take over an open file that holds what `scan` says, and its lock."""
        self.path = path
        self._lock = lock
        self._descriptor = descriptor
        self._length = scan.good_bytes
        self._hash = scan.last_hash
        self._acts = len(scan.record.actions)
        self._unwritten: list[bytes] = []
        self._torn = False

    def append(self, action: Action, state_time_s: float) -> None:
        """Keep an act that the practical has done.

        `state_time_s` is the time of the state that the act was done in, before it.

        Raises:
            RecordTrouble: the act could not be written, with the reason. The file is left
                whole. The act is kept in memory and written with the next one, unless the
                sentence says that it cannot be kept at all.

        """
        entry = KeptAct(state_time_s, action)
        line, digest = linked(self._hash, entry)
        waiting = sum(map(len, self._unwritten))
        if self._acts >= MOST_ACTS or self._length + waiting + len(line) > MOST_BYTES:
            raise RecordTrouble(
                f"{self.path.name} is full: this and later acts cannot be kept in it."
            )
        self._hash = digest
        self._acts += 1
        self._unwritten.append(line)
        self._write(wait=isinstance(action, WAITED_FOR))

    def close(self) -> None:
        """Write what is still in memory, close the file and let the record go.

        Raises:
            RecordTrouble: something is still unwritten; the file is closed all the same.

        """
        if self._descriptor < 0:
            return
        try:
            self._write(wait=True)
        finally:
            os.close(self._descriptor)
            self._descriptor = -1
            self._lock.release()

    def __enter__(self) -> Self:
        """The record itself."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Close the record."""
        self.close()

    def _write(self, *, wait: bool) -> None:
        lines = b"".join(self._unwritten)
        try:
            self._mend()
            written = os.write(self._descriptor, lines) if lines else 0
            self._torn = written != len(lines)
            if self._torn:  # only a disk that fills up takes a part
                raise RecordTrouble(f"{self.path.name} cannot be written: the disk is full.")
            if wait:
                os.fsync(self._descriptor)
        except OSError as error:
            self._torn = True
            raise RecordTrouble(f"{self.path.name} cannot be written: {reason(error)}.") from error
        finally:
            if self._torn:
                with suppress(OSError):  # tried again before the next line
                    self._mend()
        self._length += len(lines)
        self._unwritten.clear()

    def _mend(self) -> None:
        """Cut off what a failed write left, and see that the file is still this record's."""
        if self._torn:
            os.ftruncate(self._descriptor, self._length)
            self._torn = False
        found = os.fstat(self._descriptor)
        if found.st_nlink == 0:
            raise RecordTrouble(f"{self.path.name} was deleted or replaced by another program.")
        if found.st_size != self._length:
            raise RecordTrouble(f"{self.path.name} was changed by another program.")


def locked(path: Path) -> BaseFileLock:
    """Take the lock of a record: one of the operating system, on a hidden file beside it.

    It goes with its process, however that ends; the empty file stays and means nothing.

    Raises:
        RecordInUse: another window holds it.
        OSError: the folder cannot be written.

    """
    whole = path.resolve()  # one lock for every way to the same file
    lock = FileLock(whole.with_name(f".{whole.name}.lock"), thread_local=False)
    try:
        lock.acquire(blocking=False)
    except (Timeout, RuntimeError) as error:  # RuntimeError: held by this very thread
        raise RecordInUse(
            f"{path.name} is open in another window: go on there, or close that window first."
        ) from error
    return lock


def begin_record(path: Path, setup: Setup, label: str | None = None) -> RecordFile:
    """Make a new record, and its folder where there is none.

    Raises:
        RecordInUse: another window is making a record of this name.
        RecordTrouble: there is a file of this name already, it cannot be written, or the setup
            is none that the format keeps.

    """
    line = opening_line(setup, label).line
    try:
        _make_folder(path.parent)
        lock = locked(path)
        try:
            _write_new(path, line)
            return RecordFile(path, lock, os.open(path, FLAGS), scanned(line, path.name))
        except BaseException:
            lock.release()
            raise
    except FileExistsError as error:
        raise RecordTrouble(
            f"{path.name} exists already: go on with it, or choose another name."
        ) from error
    except OSError as error:
        raise RecordTrouble(f"{path.name} cannot be written: {reason(error)}.") from error


def continue_record(path: Path) -> tuple[RecordFile, Record]:
    """Open a record to go on with it, and read what it holds.

    A torn last line is cut off. Where there is other damage, the damaged file is kept beside
    the record, under a name that the notices tell, and the record goes on with what stands
    before the damage.

    Raises:
        RecordInUse: another window is writing it.
        RecordRefused: as `read_record`.
        RecordTrouble: it cannot be written.

    """
    content_of(path)  # refuses before a lock is left beside a file that is no record
    try:
        lock = locked(path)
        try:
            return _continued(path, lock)
        except BaseException:
            lock.release()
            raise
    except OSError as error:
        raise RecordTrouble(f"{path.name} cannot be written: {reason(error)}.") from error


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise NotADirectoryError(errno.ENOTDIR, "not a folder", str(folder)) from None


def _continued(path: Path, lock: BaseFileLock) -> tuple[RecordFile, Record]:
    content = content_of(path)
    scan = scanned(content, path.name)
    record = scan.record
    clear_parts(path)
    if scan.damaged:
        aside = _set_aside(path, content, content[: scan.good_bytes])
        notice = f"The damaged file is kept as {aside.name}."
        record = replace(record, notices=(*record.notices, notice))
    descriptor = os.open(path, FLAGS)
    try:
        os.ftruncate(descriptor, scan.good_bytes)
    except BaseException:
        os.close(descriptor)
        raise
    return RecordFile(path, lock, descriptor, scan), record


def _set_aside(path: Path, content: bytes, good: bytes) -> Path:
    """Keep a damaged record under another name and put its good part in its place.

    In this order, so that a kill at any moment leaves every act in one of the files.
    """
    number = 1
    while (aside := path.with_name(f"{path.name}.damaged-{number}")).exists():
        number += 1
    write_whole(aside, content)
    write_whole(path, good, force=True)
    return aside


def _write_new(path: Path, line: bytes) -> None:
    """Write a file that is not there yet, down to the disk; leave none where that fails."""
    with path.open("xb", buffering=0) as file:
        try:
            if file.write(line) != len(line):
                raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
            os.fsync(file.fileno())
        except BaseException:
            with suppress(OSError):
                path.unlink()
            raise


MOST_LISTED = 200
"""More are not looked into: the first frame waits for the list."""


@dataclass(frozen=True)
class Begun:
    """A record that can be gone on with: whose it is, when it was last written, how large."""

    path: Path
    label: str | None
    changed: datetime
    size_bytes: int


def fresh_path(folder: Path, begun: datetime) -> Path:
    """A name that no record of the folder has yet, from the date and time it is begun."""
    stem = f"practical {begun:%Y-%m-%d %H.%M}"
    path = folder / f"{stem}{SUFFIX}"
    number = 2
    while path.exists():
        path = folder / f"{stem} ({number}){SUFFIX}"
        number += 1
    return path


def unfinished(folder: Path) -> tuple[Begun, ...]:
    """The records of a folder in which something was done, the newest first.

    Only their first lines are read. What is no record, was written in a newer format or has
    no act yet is left out; so is a record that was moved away when it was handed in. A
    record may still turn out to be in use or damaged when it is gone on with.

    Raises:
        RecordTrouble: the folder is there and cannot be read.

    """
    try:
        if not folder.exists():
            return ()
        found = [(path.stat(), path) for path in folder.glob(f"*{SUFFIX}") if path.is_file()]
    except OSError as error:
        raise RecordTrouble(f"{folder} cannot be read: {reason(error)}.") from error
    newest = sorted(found, key=lambda pair: (pair[0].st_mtime_ns, pair[1].name), reverse=True)
    listed: list[Begun] = []
    for status, path in newest[:MOST_LISTED]:
        first = _first_line(path)
        if first is not None and first.length < status.st_size:
            changed = datetime.fromtimestamp(status.st_mtime)
            listed.append(Begun(path, first.label, changed, status.st_size))
    return tuple(listed)


class _FirstLine(NamedTuple):
    length: int
    label: str | None


def _first_line(path: Path) -> _FirstLine | None:
    """What line 1 of a record says, or None where it is none."""
    try:
        with path.open("rb") as file:
            line = file.readline(LONGEST_LINE_BYTES)
        opening, _ = read_opening(line[:-1])
    except (OSError, Damage, RecordRefused):
        return None
    return _FirstLine(len(line), opening.label)
