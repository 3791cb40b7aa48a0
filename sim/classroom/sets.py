"""Class sets: every student's own bench, empty record and printed readings.

A student's seed is drawn from the class secret by HMAC-SHA-256 and has 128 bits. Who has one
seed, or a hundred of them, learns nothing of another.
"""

from __future__ import annotations

import hmac
from typing import TYPE_CHECKING

import numpy as np

from sim.classroom.class_key import ClassKey, ball_of_key, procedure_of_key
from sim.classroom.safe_names import digits_for, file_stem
from sim.cohort import cohort
from sim.record_folder import SUFFIX
from sim.record_format import BEGINNING, linked, opening_of
from sim.state import Setup

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray


def seed_of(key: ClassKey, number: int) -> int:
    """The seed of a student; number 0 is the class's own, for readings only."""
    digest = hmac.digest(bytes.fromhex(key.secret), b"practical %d" % number, "sha256")
    return int.from_bytes(digest[:16])


def setup_for(key: ClassKey, number: int) -> Setup:
    """The bench of a student, for a record or for printed readings."""
    if key.kind == "records":
        return Setup(seed_of(key, number), model=ball_of_key(key))
    return Setup(seed_of(key, 0), member=number, model=ball_of_key(key))


def empty_record(key: ClassKey, number: int, program: str) -> bytes:
    """The content of a student's record in which nothing is done yet.

    Raises sim.record_trouble.RecordTrouble where a name holds a sign that no file takes.
    """
    opening = opening_of(setup_for(key, number), program, key.names[number - 1])
    return linked(BEGINNING, opening).line


def stem_of(key: ClassKey, number: int) -> str:
    """The beginning of a student's file names."""
    return file_stem(number, digits_for(len(key.names)), key.names[number - 1])


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
        return cohort(setup_for(key, 1), procedure_of_key(key), len(key.names)).heights_m
    heights = []
    for number in range(1, len(key.names) + 1):
        heights.append(student_heights_m(key, number))
        after_each()
    return np.stack(heights)


def student_heights_m(key: ClassKey, number: int) -> NDArray[np.float64]:
    """What one scripted student reads, (temperatures, repeats): the printed readings."""
    heights_m: NDArray[np.float64] = cohort(
        setup_for(key, number), procedure_of_key(key), 1
    ).heights_m[0]
    return heights_m
