"""The key of a class set: secret, ball, plan and names, and each student's own that follows.

Its file stays with the teacher. From it come every student's bench, empty record and printed
readings. A student's seed is drawn from the class secret by HMAC-SHA-256 and has 128 bits: who has
one seed, or a hundred of them, learns nothing of another.
"""

from __future__ import annotations

import dataclasses
import hashlib
import hmac
import secrets
from functools import cached_property
from typing import TYPE_CHECKING, Literal

import msgspec
import numpy as np
from msgspec import Struct

from analysis.files import read_bytes
from analysis.refusal import Refused
from physics.ball import Ball
from sim.actions import NotPossible
from sim.classroom.names import safe_name
from sim.cohort import cohort
from sim.procedure import KeptPlan, Procedure, kept_plan, procedure_of
from sim.record.format import SUFFIX, Damage, ball_fields, ball_of_fields, opening_line
from sim.state import Setup

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from numpy.typing import NDArray

FORMAT = 1
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

    @cached_property
    def handout(self) -> Handout:
        """What the whole class got. Raises Damage or NotPossible where there is no such bench."""
        return Handout(self.kind, ball_of_fields(self.ball), procedure_of(self.plan))


@dataclasses.dataclass(frozen=True)
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
    return ClassKey(FORMAT, handout.kind, secret.hex(), ball, plan, names)


def key_bytes(key: ClassKey) -> bytes:
    """The content of the key file."""
    return msgspec.json.format(msgspec.json.encode(key), indent=1) + b"\n"


def read_key(path: Path) -> ClassKey:
    """The key in a file. Raises Refused, in one sentence, for anything else."""
    content = read_bytes(path, MOST_MEGABYTES, mend="name the class set's 'key.json'")
    try:
        _refuse_newer(path.name, content)
        key = msgspec.json.decode(content, type=ClassKey)
        _check(key)
    except (msgspec.MsgspecError, Damage, NotPossible, LookupError, RecursionError) as error:
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
    if not (whole and key.names and key.handout):
        raise Damage("no secret, or no names")


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
