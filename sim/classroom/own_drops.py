"""Whether the readings of a class come from their own drops: three questions asked of everybody.

What is asked, by which statistic, and how seldom it names anybody without a cause, is said in
`sim.classroom.likelihood`. A named pupil is worth a talk, no more: an eye may be better than the
model's, two may have shared a bench.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from sim.classroom.evidence import HIGHEST_CM, NO_READING, coded
from sim.classroom.likelihood import (
    CODE_CM,
    MOVED_CM,
    Noted,
    copied,
    exact,
    invented,
    likeliest,
    step_of,
    switched,
    threshold,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from sim.classroom.evidence import Evidence

MOST_READ = 120
"""Of one pupil so many readings are asked about, the first."""
_NOTED_C = (-300.0, 1000.0)
"""What is noted beyond is taken as this: nothing at the bench is so cold or so hot."""


@dataclass(frozen=True)
class OwnDrops:
    """What is to be said of pupils, and pairs of whom one follows the other.

    `followed` has how many readings of a pair are the same, how many lie within 1 cm of each other,
    and of how many.
    """

    notes: Mapping[int, tuple[str, ...]]
    followed: Mapping[tuple[int, int], tuple[int, int, int]]


def own_drops(evidence: Mapping[int, Evidence]) -> OwnDrops:
    """Ask the three questions of a class."""
    numbers = [number for number in sorted(evidence) if evidence[number].readings]
    asked = _Asked([evidence[number] for number in numbers])
    if not asked.rows.size:
        return OwnDrops({}, {})
    pairs = {
        (min(pair), max(pair)): counts
        for pair, counts in (
            ((numbers[row], numbers[other]), counts) for row, other, counts in asked.followed()
        )
    }
    notes = {numbers[row]: said for row, said in asked.notes()}
    return OwnDrops(notes, pairs)


class _Asked:
    """A class that is asked: `rows` are those who read anything by own eye."""

    def __init__(self, students: Sequence[Evidence]) -> None:
        self._students = students
        self._noted = _noted(students)
        self._read = self._noted.by_eye | self._noted.by_film
        self._each = likeliest(self._noted)
        self._settled: set[int] = set()
        self.rows = np.flatnonzero(self._read.any(axis=1))

    def notes(self) -> list[tuple[int, tuple[str, ...]]]:
        """What is said of single pupils."""
        least = threshold(len(self.rows))
        known, line = (ask(self._noted, self._each) for ask in (exact, invented))
        said = []
        for row in map(int, self.rows[np.maximum(known, line)[self.rows] > least]):
            self._settle(row)
            alone, own = self._noted.of(np.array([row])), self._each[row : row + 1]
            words = []
            if exact(alone, own)[0] > least:
                words.append(self._too_near(row))
            if invented(alone, own)[0] > least:
                words.append(self._too_far(row))
            if words:
                said.append((row, tuple(words)))
        return said

    def followed(self) -> list[tuple[int, int, tuple[int, int, int]]]:
        """Who follows whom, and how many readings are the same, within 1 cm, and at all."""
        codes, columns = coded(self._students)
        by_place = np.ascontiguousarray(codes.T.astype(np.int32))
        students = len(self._students)
        least = threshold(len(self.rows) * (students - 1))
        found = []
        for row in map(int, self.rows):
            shared = _Shared(row, self._read[row], columns[row], by_place)
            if not np.any(shared.ratio(self._each[row], self._step_cm(row)) > least):
                continue
            self._settle(row)
            ratio = shared.ratio(self._each[row], self._step_cm(row))
            found += [
                (row, int(one), shared.counts(int(one))) for one in np.flatnonzero(ratio > least)
            ]
        return found

    def _step_cm(self, row: int) -> float:
        return float(self._noted.step_cm[row])

    def _settle(self, row: int) -> None:
        """Who is about to be named may have found out which end of the ball to read."""
        if row in self._settled:
            return
        self._settled.add(row)
        other = switched(self._noted.of(np.array([row])))
        if other.sum() > self._each[row].sum():
            self._each[row] = other

    def _too_near(self, row: int) -> str:
        return (
            f"{int(self._noted.by_eye[row].sum())} readings by own eye lie nearer to the true "
            "heights than the most careful eye of the model reads, "
            f"{self._off_cm(row, self._noted.by_eye[row]):.2f} cm off by the root mean square. "
            "Worth a talk: how were they read?"
        )

    def _too_far(self, row: int) -> str:
        return (
            f"{int(self._read[row].sum())} readings fit a line of their own better than the drops "
            "that they are noted for, whoever read them: they lie "
            f"{self._off_cm(row, self._read[row]):.1f} cm from the true heights by the root mean "
            "square. Worth a talk: of which drops are they?"
        )

    def _off_cm(self, row: int, read: NDArray[np.bool_]) -> float:
        off_cm = (self._noted.read_cm[row] - self._noted.apex_cm[row])[read]
        return math.sqrt(float((off_cm**2).mean()))


class _Shared:
    """A pupil's readings by own eye beside all others' at the same places."""

    def __init__(
        self,
        row: int,
        read: NDArray[np.bool_],
        column_of: Mapping[int, int],
        by_place: NDArray[np.int32],
    ) -> None:
        self._at = [at for at in np.flatnonzero(read).tolist() if at in column_of]
        others = by_place[[column_of[at] for at in self._at]]
        self._apart = np.abs(others - others[:, row : row + 1])
        self._both = others != NO_READING
        self._both[:, row] = False

    def ratio(self, each: NDArray[np.float64], step_cm: float) -> NDArray[np.float64]:
        """The log ratio for each of the others."""
        return copied(each[self._at], step_cm, self._apart, self._both)

    def counts(self, other: int) -> tuple[int, int, int]:
        """How many readings that both have are the same, lie within 1 cm, and are there at all."""
        apart_cm = self._apart[self._both[:, other], other] * CODE_CM
        near = int((apart_cm < MOVED_CM + CODE_CM / 2).sum())
        return int((apart_cm == 0.0).sum()), near, len(apart_cm)


def _noted(students: Sequence[Evidence]) -> Noted:
    """The readings of a class beside their drops, in arrays."""
    width = max((min(len(one.seen), MOST_READ) for one in students), default=0)
    shape = (len(students), width)
    read_cm, apex_cm, parallax_cm, temperature_c = np.zeros((4, *shape))
    by_eye, by_film = np.zeros((2, *shape), dtype=bool)
    step_cm, ball_cm = np.ones((2, len(students)))
    for row, one in enumerate(students):
        seen = one.seen[:MOST_READ]
        if not seen:
            continue
        here, lines = slice(len(seen)), one.readings[: len(seen)]
        heights = np.clip([line.height_cm for line in lines], -HIGHEST_CM, HIGHEST_CM)
        step_cm[row] = step_of(heights[[drop.by != "aid" for drop in seen]])
        ball_cm[row] = seen[0].ball_cm
        read_cm[row, here] = np.rint(heights / step_cm[row]) * step_cm[row]
        temperature_c[row, here] = np.clip([line.temperature_c for line in lines], *_NOTED_C)
        apex_cm[row, here] = [drop.apex_cm for drop in seen]
        parallax_cm[row, here] = [drop.parallax_cm for drop in seen]
        by_eye[row, here] = [drop.by == "eye" for drop in seen]
        by_film[row, here] = [drop.by == "film" for drop in seen]
    return Noted(read_cm, apex_cm, parallax_cm, temperature_c, by_eye, by_film, step_cm, ball_cm)
