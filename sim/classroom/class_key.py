"""The key of a class set, and the files that come back, each known for its owner's by the key.

The key's file stays with the teacher: secret, ball, plan and names. From it come every student's
bench, empty record and printed readings. A student's seed is drawn from the class secret by
HMAC-SHA-256 and has 128 bits: who has one seed, or a hundred of them, learns nothing of another.

Of a folder that was handed in nothing is opened here beyond the first bytes of its files, no link
is followed, and a file that cannot be marked is named with its reason. Whose a file is, its seed
says, and its name and label.
"""

from __future__ import annotations

import hashlib
import hmac
import os
import secrets
import stat
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import msgspec
import numpy as np
from msgspec import Struct

from analysis.files import open_plain, read_bytes
from analysis.readings.sheets import SUFFIXES
from analysis.refusal import Refused, harmless, reason
from physics import MODEL_VERSION
from physics.ball import Ball
from sim.actions import NotPossible
from sim.classroom.names import MOST_NAMES, number_in, safe_name
from sim.procedure import KeptPlan, Procedure, kept_plan, procedure_of
from sim.record.format import SUFFIX, Damage, ball_fields, ball_of_fields, opening_line
from sim.record.readings_file import readings_path
from sim.state import Setup
from sim.student import cohort

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from numpy.typing import NDArray

FORMAT = 2
"""Version of the key. In 1 there was no bath, and it did not say which model gave the readings."""
MOST_MEGABYTES = 64
SECRET_BYTES = 32

Kind = Literal["records", "readings"]
"""A seed for each student, or readings only: then the class has one seed that no student sees."""


class ClassKey(Struct, frozen=True, forbid_unknown_fields=True, dict=True):
    """All that the teacher keeps. Student number n is `names[n - 1]`."""

    rebound_class_key: int
    kind: Kind
    secret: str
    ball: dict[str, str | float]
    plan: KeptPlan
    names: tuple[str, ...]
    physics: int = 1
    """`physics.MODEL_VERSION` of the program that made the key."""

    @property
    def true_then(self) -> bool:
        """Whether the printed readings come out again as they were given out."""
        return self.physics == MODEL_VERSION

    @cached_property
    def handout(self) -> Handout:
        """What the whole class got. Raises Damage or NotPossible where there is no such bench."""
        return Handout(self.kind, ball_of_fields(self.ball), procedure_of(self.plan))


@dataclass(frozen=True)
class Handout:
    """What a whole class gets alike."""

    kind: Kind
    ball: Ball
    procedure: Procedure


def new_key(handout: Handout, names: tuple[str, ...], seed: int | None = None) -> ClassKey:
    """A key with a secret of its own; a seed makes it repeatable, for tests and not for a class."""
    if seed is None:
        secret = secrets.token_bytes(SECRET_BYTES)
    else:
        secret = hashlib.sha256(b"%d" % seed).digest()
    ball, plan = ball_fields(handout.ball), kept_plan(handout.procedure)
    return ClassKey(FORMAT, handout.kind, secret.hex(), ball, plan, names, MODEL_VERSION)


def key_bytes(key: ClassKey) -> bytes:
    """The content of the key file."""
    return msgspec.json.format(msgspec.json.encode(key), indent=1) + b"\n"


# UnicodeDecodeError: msgspec lets it through as it is.
_NO_KEY = (
    msgspec.MsgspecError,
    UnicodeDecodeError,
    Damage,
    NotPossible,
    LookupError,
    RecursionError,
)


def read_key(path: Path) -> ClassKey:
    """The key in a file. Raises Refused, in one sentence, for anything else."""
    content = read_bytes(path, MOST_MEGABYTES, mend="name the class set's 'key.json'")
    try:
        _refuse_newer(path.name, content)
        key = msgspec.json.decode(content, type=ClassKey)
        _check(key)
    except _NO_KEY as error:
        raise Refused(
            f"{path.name} is no key of a class set, or is damaged: name the file 'key.json' that "
            "classset wrote."
        ) from error
    return key


class _Version(Struct, frozen=True):
    rebound_class_key: int


def _refuse_newer(name: str, content: bytes) -> None:
    version = msgspec.json.decode(content, type=_Version).rebound_class_key
    if version > FORMAT:
        raise Refused(
            f"{name} was made by a newer version of this program (key format {version}, this one "
            f"reads {FORMAT}): use that version."
        )


def _check(key: ClassKey) -> None:
    """Raise Damage, LookupError or NotPossible where the values of a key make no class."""
    secret_digits = set(key.secret) <= set("0123456789abcdef")
    whole = secret_digits and len(key.secret) == 2 * SECRET_BYTES
    if not (whole and 1 <= len(key.names) <= MOST_NAMES and key.handout):
        raise Damage("no secret, or no names, or too many")


def seed_of(key: ClassKey, number: int) -> int:
    """The seed of a student; number 0 is the class's own, for readings only."""
    digest = hmac.digest(bytes.fromhex(key.secret), b"practical %d" % number, "sha256")
    return int.from_bytes(digest[:16])


def setup_for(key: ClassKey, number: int) -> Setup:
    """The bench of a student, for a record or for printed readings."""
    model, plan = key.handout.ball, key.handout.procedure
    if key.kind == "records":
        return Setup(seed_of(key, number), model=model, plan=plan)
    return Setup(seed_of(key, 0), member=number, model=model, plan=plan)


def empty_record(key: ClassKey, number: int) -> bytes:
    """The content of a student's record in which nothing is done yet.

    Raises sim.record.format.RecordTrouble where a name holds a sign that no file takes.
    """
    return opening_line(setup_for(key, number), key.names[number - 1]).line


def shown_number(key: ClassKey, number: int) -> str:
    """A student's number as it is shown, with as many digits as the others: "07"."""
    return f"{number:0{max(2, len(str(len(key.names))))}}"


def stem_of(key: ClassKey, number: int) -> str:
    """The beginning of a student's file names: "07 Ada Larkmere"."""
    return f"{shown_number(key, number)} {safe_name(key.names[number - 1])}".strip()


def record_name(key: ClassKey, number: int) -> str:
    """The name of a student's record."""
    return stem_of(key, number) + SUFFIX


def class_heights_m(
    key: ClassKey, after_each: Callable[[], object] = lambda: None
) -> NDArray[np.float64]:
    """What the scripted students of the class read, (students, temperatures, repeats).

    With one seed for the class all are worked out at once; with a seed each, one by one, and
    `after_each` is called after each.
    """
    if key.kind == "readings":
        return cohort(setup_for(key, 1), key.handout.procedure, len(key.names)).heights_m
    heights = []
    for number in range(1, len(key.names) + 1):
        heights.append(student_heights_m(key, number))
        after_each()
    return np.stack(heights)


def student_heights_m(key: ClassKey, number: int) -> NDArray[np.float64]:
    """What one scripted student reads, (temperatures, repeats): the printed readings."""
    heights_m: NDArray[np.float64] = cohort(
        setup_for(key, number), key.handout.procedure, 1
    ).heights_m[0]
    return heights_m


MOST_FILES = 20_000
DEEPEST = 5
"""Folders below the one that was named."""
_CLUTTER = {"thumbs.db", "desktop.ini", ".ds_store", "__macosx"}
"""What operating systems leave behind everywhere; nobody handed it in."""
_OPENING = b'{"format":'
MACROS = (".xlsm", ".xltm", ".xlsb", ".xls")

FileKind = Literal["record", "table", "unread"]


@dataclass(frozen=True)
class HandedFile:
    """A file, its name within the folder as it is shown, and why it is left out, if it is."""

    path: Path
    name: str
    kind: FileKind
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
        found.append(_seen(path, harmless(path.relative_to(folder).as_posix())))
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
