"""The files of a folder that a class handed in: what is a record, what a table, what neither.

Nothing is opened here beyond its first bytes, no link is followed, and a file that cannot be
marked is named with its reason.
"""

from __future__ import annotations

import os
import stat
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from analysis.refusal import Refused
from analysis.sheets import SUFFIXES
from sim.record_folder import SUFFIX

if TYPE_CHECKING:
    from collections.abc import Iterator

MOST_FILES = 20_000
DEEPEST = 5
"""Folders below the one that was named."""
_CLUTTER = {"thumbs.db", "desktop.ini", ".ds_store", "__macosx"}
"""What operating systems leave behind everywhere; nobody handed it in."""
_OPENING = b'{"format":'
MACROS = (".xlsm", ".xltm", ".xlsb", ".xls")

Kind = Literal["record", "table", "unread"]


@dataclass(frozen=True)
class Found:
    """A file, its name within the folder, and why it is left out, if it is."""

    path: Path
    name: str
    kind: Kind
    reason: str = ""


def handed_in(folder: Path, without: Path | None = None) -> tuple[Found, ...]:
    """All files of a folder and of those in it, by name.

    What lies in the folder `without` is left out: results of an earlier collecting. Raises
    Refused where the folder cannot be read or holds more files than a class hands in.
    """
    if not folder.is_dir():
        raise Refused(f"{folder} is no folder: name the folder with the files handed in.")
    found: list[Found] = []
    results = None if without is None else without.resolve()
    for path in _files(folder, 0):
        if results is not None and results in path.resolve().parents:
            continue
        if len(found) == MOST_FILES:
            raise Refused(f"{folder} holds more than {MOST_FILES:,} files: name a class's folder.")
        found.append(_seen(path, path.relative_to(folder).as_posix()))
    records = {one.name.removesuffix(SUFFIX) for one in found if one.kind == "record"}
    # A bench keeps the readings beside their record; `examining` holds the two together.
    kept = [one for one in found if not (_beside(one) and _stem(one.name) in records)]
    return tuple(sorted(kept, key=lambda one: one.name))


def _beside(found: Found) -> bool:
    return found.name.lower().endswith(".rebound.csv")


def _stem(name: str) -> str:
    return name[: -len(".rebound.csv")]


def _files(folder: Path, depth: int) -> Iterator[Path]:
    try:
        entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
    except OSError as error:
        if depth == 0:
            raise Refused(f"{folder} cannot be read: {error.strerror or error}.") from error
        yield folder
        return
    for entry in entries:
        if entry.name.lower() in _CLUTTER or _is_lock(entry.name):
            continue
        if entry.is_dir(follow_symlinks=False) and depth < DEEPEST:
            yield from _files(Path(entry.path), depth + 1)
        else:
            yield Path(entry.path)


def _is_lock(name: str) -> bool:
    return name.startswith(".") and name.endswith(f"{SUFFIX}.lock")


def _seen(path: Path, name: str) -> Found:
    try:
        status = path.lstat()
        if stat.S_ISLNK(status.st_mode):
            return Found(path, name, "unread", "it is a link, and links are not followed")
        if stat.S_ISDIR(status.st_mode):
            return Found(path, name, "unread", "this folder cannot be read, or lies too deep")
        if not stat.S_ISREG(status.st_mode):
            return Found(path, name, "unread", "it is no ordinary file")
        with path.open("rb") as file:
            beginning = file.read(len(_OPENING))
    except OSError as error:
        return Found(path, name, "unread", f"it cannot be read ({error.strerror or error})")
    return _told_apart(path, name, beginning)


def _told_apart(path: Path, name: str, beginning: bytes) -> Found:
    suffix = path.suffix.lower()
    if not beginning:
        return Found(path, name, "unread", "it is empty")
    if name.endswith(SUFFIX) or beginning == _OPENING:
        return Found(path, name, "record")
    if suffix in MACROS:
        reason = "it is of a kind that may carry macros, and is not opened: save it as xlsx"
        return Found(path, name, "unread", reason)
    if suffix in SUFFIXES:
        return Found(path, name, "table")
    return Found(path, name, "unread", "it is neither a practical record nor a table")
