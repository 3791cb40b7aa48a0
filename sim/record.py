"""The practical record on disk: begin one, go on with one, read one.

An act is one line, written in one piece at the end of the file as soon as it is done. A
program that is killed loses at most the line in progress; `continue_record` cuts that off
and goes on. Only one window writes to a record. What a full disk refuses stays in memory and
is written, in order, with the next act.
"""

from __future__ import annotations

import errno
import os
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from filelock import BaseFileLock

from analysis.outfile import write_whole
from analysis.refusal import Refused
from sim import __version__
from sim.record_file import FLAGS, RecordFile, locked
from sim.record_format import BEGINNING, Damage, linked, opening_of, setup_of
from sim.record_reading import Record, content_of, read_record, scanned
from sim.record_trouble import RecordInUse, RecordRefused, RecordTrouble, reason
from sim.state import Setup

__all__ = [
    "Record",
    "RecordFile",
    "RecordInUse",
    "RecordRefused",
    "RecordTrouble",
    "begin_record",
    "continue_record",
    "read_record",
]


def begin_record(path: Path, setup: Setup, label: str | None = None) -> RecordFile:
    """Make a new record, and its folder where there is none.

    Raises:
        RecordInUse: another window is making a record of this name.
        RecordTrouble: there is a file of this name already, it cannot be written, or the setup
            is none that the format keeps.

    """
    line = _opening_line(setup, label)
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


def program_version() -> str:
    """The version of the program, as every record names it."""
    return __version__


def _opening_line(setup: Setup, label: str | None) -> bytes:
    opening = opening_of(setup, program_version(), label)
    try:
        setup_of(opening)
    except Damage as damage:
        raise RecordTrouble(f"No practical can be kept with this setup: {damage}.") from damage
    return linked(BEGINNING, opening).line


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except FileExistsError:
        raise NotADirectoryError(errno.ENOTDIR, "not a folder", str(folder)) from None


def _continued(path: Path, lock: BaseFileLock) -> tuple[RecordFile, Record]:
    content = content_of(path)
    scan = scanned(content, path.name)
    record = scan.record
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
    try:
        write_whole(aside, content)
        write_whole(path, good, force=True)
    except Refused as refusal:
        raise RecordTrouble(str(refusal)) from refusal
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
