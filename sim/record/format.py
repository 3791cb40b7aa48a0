"""The lines of a practical record, and the chain of hashes that links them.

A record is UTF-8 text, one JSON object a line. Line 1 opens it: the versions of the format, the
program and the physics, the setup and the student's label. Every later line is one act and the
practical's time when it was done. The last field of every line is its hash: SHA-256 over the hash
of the line before and over this line up to the hash, cut to 128 bits (32 hexadecimal digits). Line
1 follows the hash `BEGINNING`. So no byte can change, no line be lost from the middle and no two
lines change places unnoticed. The chain guards against damage; it has no secret, so it does not
keep out a person who writes a whole new record.

Nothing here touches a file. What a record answers when it cannot be written or read stands at
the head.
"""

from __future__ import annotations

import dataclasses
import hashlib
import math
from collections.abc import Mapping
from typing import Any, NamedTuple

import msgspec
import numpy as np
from msgspec import UNSET, Struct, UnsetType

from analysis.refusal import Refused
from physics import MODEL_VERSION
from physics.ball import Ball
from physics.ranges import OutOfRange, within
from physics.transfer.surface import COLDEST_ROOM_K, WARMEST_ROOM_K
from sim import __version__
from sim.actions import Action, NotPossible
from sim.chance import LARGEST_SEED
from sim.procedure import KeptPlan, Procedure, kept_plan, procedure_of
from sim.state import Setup


class RecordTrouble(Refused):
    """A record that cannot be written or read. The message is one sentence for the reader."""


class RecordRefused(RecordTrouble):
    """A file of which nothing can be read as a practical record."""


class RecordInUse(RecordTrouble):
    """A record that another window is writing."""


SUFFIX = ".rebound.jsonl"
FORMAT = 3
"""Version of the format. A new kind of act or field raises it. In 1 there was no plan and in 2
always one; since 3 line 1 says with which model the record was begun, there is a bath, the
extent can be chosen, and a reading says how many places its temperature was written to."""
_WITHOUT_PLAN, _WITH_PLAN = 1, 2
LONGEST_LINE_BYTES = 65_536
"""Two pages of text in the worst alphabet need 16 kB."""
MOST_ACTS = 20_000
"""A whole practical with its book needs about a thousand acts."""
MOST_BYTES = 16 * 2**20
"""Twenty thousand acts of usual length need a quarter of it."""
LARGEST_HAND_SD_M = 0.5
LEFT_OUT = frozenset({"speed_exponent"})
"""A number that balls in the files of earlier programs have and ours do not: that a rebound's share
falls with impact speed alike at every temperature. No reading ever decided it, and what stands in
its place (`physics.restitution`) moves a published ball's rebounds from 0.5 m to 2 m by 1.5 % at
most."""
BEGINNING = "rebound practical record"
_HASH_DIGITS = 32
_SEAM = b',"hash":"'
_END = b'"}'
_TAIL_BYTES = len(_SEAM) + _HASH_DIGITS + len(_END)


class Opening(Struct, frozen=True, forbid_unknown_fields=True):
    """Line 1. The seed stands in decimal digits: it may have 128 bits, a JSON number not."""

    format: int
    program: str
    seed: str
    member: int
    model: dict[str, str | float]
    room_k: float
    hand_sd_m: float
    label: str | None = None
    plan: KeptPlan | UnsetType = UNSET
    """Left out, not null, where there is none: so a record of format 1 has it."""
    physics: int = 1
    """`physics.MODEL_VERSION` of the program that began the record; formats 1 and 2 do not say."""


class KeptAct(Struct, frozen=True, forbid_unknown_fields=True):
    """A later line: an act, and the practical's time just before it was done."""

    time_s: float
    action: Action


class Linked(NamedTuple):
    """A line as it goes to the file, its newline included, and its hash."""

    line: bytes
    hash: str


class Damage(Exception):
    """A line that cannot be believed. The message says why, to stand inside a sentence."""


class _Version(Struct, frozen=True):
    format: int
    program: str = "unknown"


_version = msgspec.json.Decoder(_Version)
_opening = msgspec.json.Decoder(Opening)
_entry = msgspec.json.Decoder(KeptAct)


def opening_line(setup: Setup, label: str | None) -> Linked:
    """Line 1 of a record in which nothing is done yet.

    Raises RecordTrouble where the setup is none that the format keeps, or the label holds a sign
    that no file takes.
    """
    opening = opening_of(setup, label)
    try:
        setup_of(opening)
    except Damage as damage:
        raise RecordTrouble(f"No practical can be kept with this setup: {damage}.") from damage
    return linked(BEGINNING, opening)


def opening_of(setup: Setup, label: str | None) -> Opening:
    """The opening that keeps a setup, in the name of this version of the program."""
    return Opening(
        format=FORMAT,
        program=__version__,
        seed=str(setup.seed),
        member=setup.member,
        model=ball_fields(setup.model),
        room_k=setup.room_k,
        hand_sd_m=setup.hand_sd_m,
        label=label,
        plan=UNSET if setup.plan is None else kept_plan(setup.plan),
        physics=MODEL_VERSION,
    )


def setup_of(opening: Opening) -> Setup:
    """The setup that an opening keeps; raises Damage where its values make no bench."""
    if not (opening.seed.isascii() and opening.seed.isdigit() and len(opening.seed) < 40):
        raise Damage("the seed is not a whole number")
    if int(opening.seed) > LARGEST_SEED or not 0 <= opening.member < 2**63:
        raise Damage("the seed or the member is out of range")
    try:
        within(opening.room_k, COLDEST_ROOM_K, WARMEST_ROOM_K, "room temperature", "K")
        within(opening.hand_sd_m, 0.0, LARGEST_HAND_SD_M, "error of the hand", "m")
    except OutOfRange as error:
        raise Damage(str(error)) from error
    return Setup(
        seed=int(opening.seed),
        member=opening.member,
        model=ball_of_fields(opening.model),
        room_k=opening.room_k,
        hand_sd_m=opening.hand_sd_m,
        plan=_plan(opening),
    )


def ball_fields(ball: Ball) -> dict[str, str | float]:
    """A ball's fields as files keep them: its name, and numbers in SI units."""
    return {
        field.name: value if isinstance(value := getattr(ball, field.name), str) else float(value)
        for field in dataclasses.fields(Ball)
    }


def ball_of_fields(fields: Mapping[str, str | float]) -> Ball:
    """The ball that a file keeps; raises Damage where its fields make none.

    A file of an earlier program may have what is `LEFT_OUT`, and a number it has to be.
    """
    kinds = {
        field.name: str if field.name == "name" else float for field in dataclasses.fields(Ball)
    } | dict.fromkeys(LEFT_OUT, float)
    for name, value in fields.items():
        if not isinstance(value, kinds.get(name, ())):
            raise Damage(f"the ball has no value of the right kind for {name}")
    try:
        ours = {name: value for name, value in fields.items() if name not in LEFT_OUT}
        return Ball(**ours)  # type: ignore[arg-type]  # held to its kinds above
    except OutOfRange as error:
        raise Damage(str(error)) from error
    except (TypeError, ArithmeticError) as error:
        raise Damage("the ball's fields make no ball") from error


def _plan(opening: Opening) -> Procedure | None:
    needs_other = _WITH_PLAN if opening.plan is UNSET else _WITHOUT_PLAN
    if opening.format == needs_other:
        raise Damage("its format and its plan do not agree")
    if isinstance(opening.plan, UnsetType):
        return None
    try:
        return procedure_of(opening.plan)
    except (NotPossible, LookupError) as error:
        raise Damage("no bench can carry out its plan") from error


def linked(previous: str, content: Opening | KeptAct) -> Linked:
    """The line that keeps an opening or an act, linked to the hash of the line before.

    Raises:
        RecordTrouble: the content would not come back from the file as it is.

    """
    try:
        body = msgspec.json.encode(content, enc_hook=_plain)
        decoder: msgspec.json.Decoder[Any] = _opening if isinstance(content, Opening) else _entry
        kept = decoder.decode(body) == content
    except (TypeError, ValueError):
        kept = False
    if not kept:
        raise RecordTrouble(
            "This cannot be kept in the record: it holds a character or number that no file takes."
        )
    if len(body) + _TAIL_BYTES > LONGEST_LINE_BYTES:
        raise RecordTrouble(
            f"This is too long to be kept in the record: a line holds {LONGEST_LINE_BYTES:,} bytes."
        )
    digest = _digest(previous, body[:-1])
    return Linked(body[:-1] + _SEAM + digest.encode() + _END + b"\n", digest)


def read_opening(line: bytes) -> tuple[Opening, str]:
    """The opening that line 1 keeps, and its hash.

    Raises:
        RecordRefused: the line was written in a newer format.
        Damage: the line is damaged, or is none of a practical record.

    """
    try:
        version = _version.decode(line)
    except (ValueError, RecursionError) as error:
        raise Damage("it does not open a practical record") from error
    if version.format > FORMAT:
        raise RecordRefused(
            f"This record has format {version.format} (program version {version.program}) and "
            f"this program reads format {FORMAT}: open it with a newer version of the program."
        )
    body, digest = _unlinked(BEGINNING, line)
    try:
        return _opening.decode(body), digest
    except (ValueError, RecursionError) as error:
        raise Damage("it does not open a practical record") from error


def read_entry(previous: str, line: bytes) -> tuple[KeptAct, str]:
    """The act that a later line keeps, and its hash; raises Damage."""
    body, digest = _unlinked(previous, line)
    try:
        entry = _entry.decode(body)
    except (ValueError, RecursionError) as error:
        raise Damage("this version of the program knows no such act") from error
    if not (math.isfinite(entry.time_s) and entry.time_s >= 0.0):
        raise Damage("its time is no time")
    return entry, digest


def _unlinked(previous: str, line: bytes) -> tuple[bytes, str]:
    """The JSON of a line without its hash, and the hash; raises Damage where they differ."""
    if len(line) > LONGEST_LINE_BYTES:
        raise Damage(f"it is longer than {LONGEST_LINE_BYTES:,} bytes")
    body, tail = line[:-_TAIL_BYTES], line[-_TAIL_BYTES:]
    digest = _digest(previous, body)
    if tail != _SEAM + digest.encode() + _END:
        raise Damage("its content and its hash do not agree")
    return body + b"}", digest


def _digest(previous: str, body: bytes) -> str:
    return hashlib.sha256(previous.encode() + body).hexdigest()[:_HASH_DIGITS]


def _plain(value: object) -> object:
    """A number of numpy's as Python's own."""
    if isinstance(value, np.generic):
        return value.item()
    raise TypeError(type(value).__name__)
