"""The files of a folder that a class handed in: what is a record or a table, and whose it is.

Nothing is opened here beyond its first bytes, no link is followed, and a file that cannot be
marked is named with its reason. Whose a file is, its seed says, and its name and label.
"""

from __future__ import annotations

import os
import stat
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from analysis.files import open_plain
from analysis.readings.sheets import SUFFIXES
from analysis.refusal import Refused, reason
from sim.classroom.class_key import seed_of, setup_for, stem_of
from sim.classroom.names import number_in
from sim.record.format import SUFFIX
from sim.record.readings_file import readings_path

if TYPE_CHECKING:
    from collections.abc import Iterator

    from sim.classroom.class_key import ClassKey
    from sim.state import Setup

MOST_FILES = 20_000
DEEPEST = 5
"""Folders below the one that was named."""
_CLUTTER = {"thumbs.db", "desktop.ini", ".ds_store", "__macosx"}
"""What operating systems leave behind everywhere; nobody handed it in."""
_OPENING = b'{"format":'
MACROS = (".xlsm", ".xltm", ".xlsb", ".xls")

Kind = Literal["record", "table", "unread"]


@dataclass(frozen=True)
class HandedFile:
    """A file, its name within the folder, and why it is left out, if it is."""

    path: Path
    name: str
    kind: Kind
    reason: str = ""


def handed_in(folder: Path, without: Path | None = None) -> tuple[HandedFile, ...]:
    """All files of a folder and of those in it, by name.

    What lies in the folder `without` is left out: results of an earlier collecting. Raises
    Refused where the folder cannot be read or holds more files than a class hands in.
    """
    if not folder.is_dir():
        raise Refused(f"{folder} is no folder: name the folder with the files handed in.")
    found: list[HandedFile] = []
    results = None if without is None else without.resolve()
    for path in _files(folder, 0):
        if results is not None and results in path.resolve().parents:
            continue
        if len(found) == MOST_FILES:
            raise Refused(f"{folder} holds more than {MOST_FILES:,} files: name a class's folder.")
        found.append(_seen(path, path.relative_to(folder).as_posix()))
    # A bench keeps the readings beside their record; `examine` holds the two together.
    records = [one.path for one in found if one.kind == "record" and one.name.endswith(SUFFIX)]
    beside = set(map(readings_path, records))
    return tuple(sorted((one for one in found if one.path not in beside), key=lambda one: one.name))


def _files(folder: Path, depth: int) -> Iterator[Path]:
    try:
        entries = sorted(os.scandir(folder), key=lambda entry: entry.name)
    except OSError as error:
        if depth == 0:
            raise Refused(f"{folder} cannot be read: {reason(error)}.") from error
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


def _seen(path: Path, name: str) -> HandedFile:
    try:
        status = path.lstat()
        if stat.S_ISLNK(status.st_mode):
            return HandedFile(path, name, "unread", "it is a link, and links are not followed")
        if stat.S_ISDIR(status.st_mode):
            return HandedFile(path, name, "unread", "this folder cannot be read, or lies too deep")
        if not stat.S_ISREG(status.st_mode):
            return HandedFile(path, name, "unread", "it is no ordinary file")
        with open_plain(path) as file:
            beginning = file.read(len(_OPENING))
    except OSError as error:
        return HandedFile(path, name, "unread", f"it cannot be read ({reason(error)})")
    return _told_apart(path, name, beginning)


def _told_apart(path: Path, name: str, beginning: bytes) -> HandedFile:
    suffix = path.suffix.lower()
    if not beginning:
        return HandedFile(path, name, "unread", "it is empty")
    if name.endswith(SUFFIX) or beginning == _OPENING:
        return HandedFile(path, name, "record")
    if suffix in MACROS:
        reason = "it is of a kind that may carry macros, and is not opened: save it as xlsx"
        return HandedFile(path, name, "unread", reason)
    if suffix in SUFFIXES:
        return HandedFile(path, name, "table")
    return HandedFile(path, name, "unread", "it is neither a practical record nor a table")


LEAST_STEM = 6
"""A shorter one may stand in a file's name by chance, as a part of a date."""


@dataclass(frozen=True)
class Roster:
    """A class by seed, file name and name."""

    key: ClassKey

    @cached_property
    def _by_seed(self) -> dict[int, int]:
        if self.key.kind != "records":
            return {}
        return {seed_of(self.key, number): number for number in self._numbers}

    @cached_property
    def _by_stem(self) -> dict[str, int]:
        return {stem_of(self.key, number): number for number in self._numbers}

    @cached_property
    def _by_name(self) -> dict[str, frozenset[int]]:
        found: dict[str, set[int]] = {}
        for number, name in enumerate(self.key.names, start=1):
            found.setdefault(name, set()).add(number)
        return {name: frozenset(numbers) for name, numbers in found.items()}

    def owner(self, setup: Setup) -> int | None:
        """The student whose practical was handed out with this seed."""
        return self._by_seed.get(setup.seed)

    def is_as_handed_out(self, number: int, setup: Setup) -> bool:
        """Whether a bench is the one handed out: ball, room, hand and plan as well as the seed.

        A set that an older program gave out has no plan in its records.
        """
        given = setup_for(self.key, number)
        return setup == (given if setup.plan is not None else replace(given, plan=None))

    def claims(self, file_name: str, label: str | None = None) -> frozenset[int]:
        """The students that a file says it is from.

        The name that it was handed out with says it; then the label inside; a mere number at the
        beginning of the name only where nothing else does. Two students of one name both count.
        """
        by_stem = self._by_stem_in(file_name)
        if by_stem is not None:
            return frozenset({by_stem})
        by_label = self._by_name.get(label or "", frozenset())
        number = number_in(file_name)
        if by_label or number is None or number not in self._numbers:
            return by_label
        return frozenset({number})

    def _by_stem_in(self, file_name: str) -> int | None:
        for ending in range(len(file_name), 0, -1):
            if (number := self._by_stem.get(file_name[:ending])) is not None:
                return number
        inside = [
            number
            for stem, number in self._by_stem.items()
            if len(stem) >= LEAST_STEM and stem in file_name
        ]
        # A platform for handing in may put something before the name.
        return inside[0] if len(inside) == 1 else None

    @property
    def _numbers(self) -> range:
        return range(1, len(self.key.names) + 1)
