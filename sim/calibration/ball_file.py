"""The ball file: a fitted ball as JSON, written whole and read back with suspicion.

One JSON object: format and version, the ball's fields as `physics.ball.Ball` names them
(SI), the reader's spread, how sure all of it is, where it comes from.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Literal

import msgspec
from msgspec import Struct

from analysis.files import read_bytes
from analysis.refusal import Refused
from physics.ball import Ball
from sim.record.format import LEFT_OUT, Damage, ball_of_fields

SUFFIX = ".ball.json"
FORMAT: Literal["rebound ball"] = "rebound ball"
VERSION = 1
MOST_MEGABYTES = 1
"""A ball file has about 2 kB."""
LONGEST_NAME = 60
MEND = "make one with 'python -m sim fit READINGS'"
LEAST_LOSS_RATIO, MOST_LOSS_RATIO = 0.05, 1.0
"""What the fit tries: far beyond every published ball, 0.174 to 0.266, either way."""


class Estimate(
    Struct,
    frozen=True,
    forbid_unknown_fields=True,
    rename={"low": "low_95", "high": "high_95"},
):
    """A fitted value, its standard uncertainty and its 95 % interval."""

    value: float
    standard_uncertainty: float
    low: float
    high: float


class BallFile(Struct, frozen=True, forbid_unknown_fields=True):
    """What a ball file holds.

    `fitted` holds, by name, what the readings decided; `refused`, by name, why they did not
    decide something else, which then stands at its stated value in `ball`. `correlation` is
    the matrix of `parameters`, in their order.
    """

    format: Literal["rebound ball"]
    version: int
    ball: dict[str, str | float]
    reader_spread_m: float | None
    fitted: dict[str, Estimate]
    parameters: tuple[str, ...]
    correlation: tuple[tuple[float, ...], ...]
    refused: dict[str, str]
    source: str
    note: str


class _Version(Struct, frozen=True):
    format: str = ""
    version: int = 0


def content_of(file: BallFile) -> bytes:
    """The bytes of a ball file."""
    return msgspec.json.format(msgspec.json.encode(file), indent=2) + b"\n"


def read_ball_file(path: Path) -> BallFile:
    """Read a ball file, and hold it to what a ball may be.

    Raises:
        Refused: one sentence for what cannot be read, is no ball file, was written in a
            newer version, or holds no ball.

    """
    content = read_bytes(path, MOST_MEGABYTES, mend=MEND)
    try:
        version = msgspec.json.decode(content, type=_Version)
    except (ValueError, RecursionError):
        raise Refused(f"{path} is not a ball file", mend=MEND) from None
    if version.format != FORMAT:
        raise Refused(f"{path} is not a ball file", mend=MEND)
    if version.version != VERSION:
        raise Refused(
            f"{path} has version {version.version} and this program reads version {VERSION}: "
            "use the program that wrote it, or fit the readings again."
        )
    try:
        file = msgspec.json.decode(content, type=BallFile)
    except (ValueError, RecursionError) as error:
        raise Refused(f"{path} is damaged ({error})", mend=MEND) from None
    ball_in(file, path)
    return file


def ball_in(file: BallFile, path: Path) -> Ball:
    """The ball of a file; raises Refused, naming the field, where its values make none."""
    names = {field.name for field in dataclasses.fields(Ball)}
    if different := (set(file.ball) - LEFT_OUT) ^ names:
        amiss = ", ".join(sorted(different))
        raise Refused(f"{path} lacks a field of the ball or has one too many ({amiss})", mend=MEND)
    try:
        ball = ball_of_fields(file.ball)
    except Damage as damage:
        raise Refused(f"{path} holds no ball ({damage})", mend=MEND) from None
    for fault in _faults(file, ball):
        raise Refused(f"{path} {fault}", mend=MEND)
    return ball


def _faults(file: BallFile, ball: Ball) -> Iterator[str]:
    """What is wrong with a file whose fields make a ball."""
    if not ball.name.isprintable() or not 0 < len(ball.name) <= LONGEST_NAME:
        yield (
            f"names the ball with signs that do not print, or with none or more than {LONGEST_NAME}"
        )
    if not LEAST_LOSS_RATIO <= float(ball.loss_ratio_40) <= MOST_LOSS_RATIO:
        yield (
            f"holds no ball (loss ratio at 40 °C {ball.loss_ratio_40:g} lies outside "
            f"{LEAST_LOSS_RATIO:g} to {MOST_LOSS_RATIO:g})"
        )
    spread_m = file.reader_spread_m
    if spread_m is not None and not 0.0 <= spread_m <= 0.5:
        yield f"gives the reader a spread of {spread_m:g} m, and 0 m to 0.5 m is possible"
    count = len(file.parameters)
    square = [len(row) for row in file.correlation] == [count] * count
    if not square or not all(abs(each) <= 1.0 + 1e-9 for row in file.correlation for each in row):
        yield "gives correlations that none can be"
    for name, value in file.fitted.items():
        if not 0.0 <= value.low <= value.value <= value.high < math.inf:
            yield f"gives {name} an interval that does not hold it"
