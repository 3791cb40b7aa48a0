"""A practical record open for writing: one line an act, and a lock.

The operating system has every line at once, which outlives a kill of the program. The disk
itself is waited for (`fsync`) after each reading noted or struck out and at the close: a
power cut loses no reading, and no frame of a fall waits for a slow disk.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from types import TracebackType
from typing import Self

from filelock import BaseFileLock, FileLock, Timeout

from sim.actions import Action, NoteReading, StrikeReading
from sim.record_format import MOST_ACTS, MOST_BYTES, Entry, linked
from sim.record_reading import Scan
from sim.record_trouble import RecordInUse, RecordTrouble, reason

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

    @property
    def unwritten(self) -> int:
        """How many acts the file does not hold yet, because it could not be written."""
        return len(self._unwritten)

    def append(self, action: Action, state_time_s: float) -> None:
        """Keep an act that the practical has done.

        `state_time_s` is the time of the state that the act was done in, before it.

        Raises:
            RecordTrouble: the act could not be written, with the reason. The file is left
                whole. The act is kept in memory and written with the next one, unless the
                sentence says that it cannot be kept at all.

        """
        entry = Entry(state_time_s, action)
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
