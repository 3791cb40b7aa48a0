"""Honest pupils by the thousand: drops of scripted students, read by eyes of every kind.

Kinds that are of the model's (its readers and cameras, any rounding, the top of the ball, any eye
level), and kinds that are not quite: a liking for round numbers, an eye that is elsewhere than it
was set, who finds out amid the practical which end of the ball to read, and eyes better and worse
than any.
"""

from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from analysis.marking.work import RoughLine
from physics.reading import CAMERAS, READERS, Camera, Chance, Reader, View, read
from sim.classroom.evidence import DropSeen, Evidence
from sim.classroom.likelihood import Noted
from sim.procedure import Procedure
from sim.state import Setup
from sim.student import cohort

EXACT = Reader("exact", timing_sd_s=0.0, place_sd_m=0.0, graduation_m=0.0)
EYE_M, TIMES = 0.35, 0.05 / 0.95
"""By similar triangles: an eye 1 m and a ball 5 cm before the rule."""
BALL_M = 0.04


@dataclass(frozen=True)
class Honest:
    """A kind of pupil: reader, rounding in cm, where eye or lens is (None: at the last bounce)."""

    reader: Reader | Camera
    step_cm: float = 1.0
    eye_m: float | None = None
    off_m: float = 0.0
    top_till: int = 0


PLAIN = tuple(replace(one, graduation_m=0.0) for one in READERS.values())
BEST, WORST = PLAIN[0], PLAIN[-1]
FILMS = tuple(replace(one, graduation_m=0.0) for one in CAMERAS.values())
OF_THE_MODEL = (
    *(Honest(one, step) for one in PLAIN for step in (1.0, 0.5, 0.1)),
    *(Honest(replace(one, reads_top=True)) for one in PLAIN),
    *(Honest(one, eye_m=eye) for one in (BEST, WORST) for eye in (0.1, 0.6, 1.2)),
    *(Honest(one, step, eye_m=0.35) for one in FILMS for step in (1.0, 0.5, 0.1)),
)
NOT_QUITE = (
    *(Honest(one, 0.5, off_m=0.1) for one in (BEST, WORST)),
    *(Honest(BEST, 0.5, top_till=till) for till in (5, 12)),
    Honest(replace(WORST, digit_preference=0.6, misreading_chance=0.02)),
    Honest(replace(WORST, place_sd_m=0.025)),
    Honest(replace(BEST, timing_sd_s=0.017, place_sd_m=0.0034), 0.5),
    *(Honest(replace(FILMS[-1], place_sd_m=0.0003), step) for step in (1.0, 0.1)),
)
MANY = 6
KINDS = OF_THE_MODEL * MANY + NOT_QUITE
"""Six of the model's kinds for each that is not quite."""


@cache
def true_heights_cm(seed, pupils, **plan):
    """Where the balls of `pupils` scripted students truly rose to, (pupils, drops); to be read."""
    procedure = Procedure(observer=EXACT, eye_height_m=EYE_M, **plan)
    seen_m = cohort(Setup(seed, member=1), procedure, pupils).heights_m
    apex_cm = 100.0 * (seen_m.reshape(pupils, -1) + EYE_M * TIMES) / (1.0 + TIMES)
    apex_cm.flags.writeable = False
    return apex_cm


def temperatures_c(repeats=5):
    return np.repeat((20.0, 30.0, 40.0, 50.0, 60.0), repeats)


def read_by(kind, apex_cm, rng):
    """What pupils of a kind read, and how much higher the ball was seen than it was, in cm."""
    apex_m, shape = apex_cm / 100.0, apex_cm.shape
    last_m = np.concatenate([apex_m[:, :1], apex_m[:, :-1]], axis=1)
    eye_m = last_m if kind.eye_m is None else np.full(shape, kind.eye_m)
    chance = Chance(*rng.standard_normal((4, *shape)), *rng.random((3, *shape)))
    height_cm = 100.0 * read(apex_m, BALL_M, kind.reader, View(eye_m + kind.off_m), chance).height_m
    height_cm[:, : kind.top_till] += 100.0 * BALL_M
    return np.rint(height_cm / kind.step_cm) * kind.step_cm, 100.0 * (apex_m - eye_m) * TIMES


def honest(apex_cm, rng, kinds=KINDS):
    """Readings of pupils each of a kind by lot: `Noted`, (pupils, drops)."""
    of = rng.integers(len(kinds), size=len(apex_cm))
    read_cm, parallax_cm = np.empty((2, *apex_cm.shape))
    step_cm, film = np.empty(len(apex_cm)), np.zeros(len(apex_cm), dtype=bool)
    for number, kind in enumerate(kinds):
        rows = of == number
        read_cm[rows], parallax_cm[rows] = read_by(kind, apex_cm[rows], rng)
        step_cm[rows], film[rows] = kind.step_cm, isinstance(kind.reader, Camera)
    return noted(read_cm, apex_cm, parallax_cm, step_cm, film)


def noted(read_cm, apex_cm, parallax_cm, step_cm, film=False):
    """`Noted` of readings at the usual temperatures, of those of `film` from the film."""
    by_eye = np.broadcast_to(np.logical_not(np.reshape(film, (-1, 1))), apex_cm.shape)
    each_c = np.broadcast_to(temperatures_c(apex_cm.shape[1] // 5), apex_cm.shape)
    ball_cm = np.full(len(apex_cm), 100.0 * BALL_M)
    return Noted(read_cm, apex_cm, parallax_cm, each_c, by_eye, ~by_eye, step_cm, ball_cm)


def evidence(read, row, places=1):
    """One pupil of `Noted` as `collect` holds the work."""
    lines = [
        RoughLine(float(temperature_c), round(float(height_cm), 6), places)
        for temperature_c, height_cm in zip(read.temperature_c[row], read.read_cm[row], strict=True)
    ]
    drops = zip(read.apex_cm[row], read.parallax_cm[row], strict=True)
    by = "film" if read.by_film[row].all() else "eye"
    seen = [DropSeen(float(apex), float(higher), 100.0 * BALL_M, by) for apex, higher in drops]
    return Evidence(tuple(lines), seen=tuple(seen))


def class_evidence(read, rows):
    return {number: evidence(read, row) for number, row in enumerate(rows, start=1)}
