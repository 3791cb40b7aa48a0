"""How likely readings are by eye from the drops they are noted for, and what foretells them better.

One null hypothesis serves three questions. Under it a pupil's readings come from that pupil's own
drops by a reader of the model's kind: unknown skill, from that of the most careful model reader to
twice the scatter of the least careful; any constant shift, as of one who reads the top of the ball;
the parallax of the eye's own level, or none; one reading in a hundred a slip. Its likelihood is
taken at the reader who makes the readings likeliest, so skill is never held against anybody.

Against it stand three other ways to come by the readings, each a probability fixed beforehand:

- exact: the true heights, moved by a millimetre at most, one in twenty altered;
- copied: another pupil's readings, place for place, nearly all as they are, or six in ten, with
  three in ten moved by up to 1 cm and the rest anyhow;
- invented: a straight line in the noted temperatures, bent or not, and some scatter. Here a
  reader who found out amid the practical which end of the ball to read is honest too.

The statistic is the log of the ratio of the two, in nats. Its null distribution need not be known:
the expected value of the ratio is 1 at most, as the likelihood taken is no less than that of the
reader there was, so by Markov's inequality it exceeds m / p with a chance of p / m at most (L.
Wasserman, A. Ramdas, S. Balakrishnan, "Universal inference", PNAS 117, 2020, 16880; from memory).
With m the times that a question is asked of a class (its pupils, or for copies its ordered pairs)
the threshold log(m / MOST_FALSE) keeps the chance that it names anybody in an honest class at
MOST_FALSE, by Bonferroni. The bound holds as far as readers are of the kind described;
tests/sim/classroom/test_likelihood.py measures it, on readers who are not quite so as well.

Readings that the program called out say nothing here; a film can be read to the millimetre, so
nobody reads one too well. Heights moved by 2 mm or all by one amount look like a reader's.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from scipy.special import ndtr

from analysis.quantity.units import centimetres
from physics.constants import STANDARD_GRAVITY_M_S2
from physics.reading import CAMERAS, READERS

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]
    Flags = NDArray[np.bool_]

MOST_FALSE = 1e-3
"""Chance that a question names anybody in a class in which all is honest, at most."""
STEPS_CM = (1.0, 0.5, 0.1, 0.05)
"""What heights are rounded to: the coarsest that all of a pupil's agree with; finer ones are taken
to the last of these."""
SLIP_CHANCE, SLIP_WITHIN_CM, WILD_WITHIN_CM = 0.01, 15.0, 100.0
SAME_AND_MOVED = ((0.97, 0.02), (0.6, 0.3))
"""Shares of a neighbour's readings that are taken as they are, and moved by 1 cm at most."""
MOVED_CM = 1.0
LEVEL_SD_CM, SLOPE_SD_CM_K, BENDS_CM = 10.0, 0.5, (0.0, 2.0)
SCATTERS_CM = (0.3, 0.6, 1.2, 2.4)
CODE_CM = 0.001
"""Heights are compared in whole numbers of this."""
GRAVITY_CM_S2 = float(centimetres(STANDARD_GRAVITY_M_S2))
SPREAD_BEYOND = 1.5
"""So many times the scatter of the least careful model reader is honest too."""
SHIFT_BEYOND_CM = 3.0
"""Readings are shifted by so much beyond nothing, and beyond the ball's diameter, at most."""
_REACH_CM, _FINE_CM = 40.0, 0.01
_OFF_CM = np.arange(-_REACH_CM, _REACH_CM + _FINE_CM / 2, _FINE_CM)
_SHIFTS = np.linspace(-1.8, 1.8, 7)
"""Shifts tried about the median, in standard errors of a mean."""


class Known(NamedTuple):
    """A way to use true heights: moved by so much, and how large a share of them altered."""

    weight: float
    noise_cm: float
    altered: float


KNOWN = (Known(0.5, 0.01, 0.002), Known(0.25, 0.01, 0.1), Known(0.25, 0.1, 0.05))
ALTERED_CM = 2.0


class Kind(NamedTuple):
    """A kind of reader: how far beside the apex in time and in place, standard deviations."""

    timing_s: float
    place_cm: float

    @property
    def scatter_cm(self) -> float:
        """About how much readings scatter."""
        return math.hypot(self.place_cm, 0.7 * GRAVITY_CM_S2 * self.timing_s**2)

    @property
    def low_cm(self) -> float:
        """About how much lower than the apex the middle reading is, taken positive."""
        return 0.3 * GRAVITY_CM_S2 * self.timing_s**2


def _eyes() -> tuple[Kind, ...]:
    timing_s = sorted({one.timing_sd_s for one in READERS.values()})
    place_cm = [float(centimetres(one.place_sd_m)) for one in READERS.values()]
    places = np.geomspace(min(place_cm), SPREAD_BEYOND * max(place_cm), 8)
    return tuple(Kind(t, float(p)) for t in timing_s for p in places)


EYES = _eyes()
FILMS = (
    *(Kind(0.0, float(centimetres(c.place_sd_m)) / k) for c in CAMERAS.values() for k in (1, 3)),
    *EYES,
)
"""Who reads a film may read it better than the model's reader does."""


@dataclass(frozen=True)
class Noted:
    """Readings and the drops that they were noted for.

    Arrays of shape (pupils, readings); where a pupil has fewer, `by_eye` and `by_film` are False.

    Attributes:
        read_cm: the readings, whole multiples of their step.
        apex_cm: where the ball truly rose to.
        parallax_cm: how much higher it was seen from the eye's own level.
        temperature_c: as noted.
        by_eye: the readings of the pupil's own eye.
        by_film: those of a film, by the pupil's own eye.
        step_cm: what each pupil rounds to; shape (pupils,).
        ball_cm: the diameter of each one's ball; shape (pupils,).

    """

    read_cm: Floats
    apex_cm: Floats
    parallax_cm: Floats
    temperature_c: Floats
    by_eye: Flags
    by_film: Flags
    step_cm: Floats
    ball_cm: Floats

    def of(self, rows: NDArray[np.int64]) -> Noted:
        """Some of the pupils."""
        return Noted(*(getattr(self, one.name)[rows] for one in fields(self)))


def step_of(heights_cm: ArrayLike) -> float:
    """The coarsest step that all these heights, in cm, are multiples of."""
    heights = np.asarray(heights_cm)
    for step_cm in STEPS_CM:
        if np.all(np.abs(np.rint(heights / step_cm) * step_cm - heights) < 1e-6):
            return step_cm
    return STEPS_CM[-1]


def threshold(asked: int) -> float:
    """The log ratio from which a question that is asked so often names anybody, in nats."""
    return math.log(max(asked, 1) / MOST_FALSE)


def likeliest(noted: Noted) -> Floats:
    """Log likelihood of each reading under its pupil's likeliest reader, (pupils, readings)."""
    each = np.zeros_like(noted.read_cm)
    for read, kinds in ((noted.by_eye, EYES), (noted.by_film, FILMS)):
        having = read.any(axis=1)
        for step_cm in np.unique(noted.step_cm[having]):
            rows = np.flatnonzero(having & (noted.step_cm == step_cm))
            each[rows] += _likeliest(noted.of(rows), read[rows], kinds, float(step_cm))
    return each


def exact(noted: Noted, each: Floats) -> Floats:
    """The log ratio of the true heights, known, to an eye that reads them; shape (pupils,)."""
    off_cm = noted.read_cm - noted.apex_cm
    wholes = []
    for way in KNOWN:
        logs = np.zeros_like(off_cm)
        for step_cm in np.unique(noted.step_cm):
            rows = noted.step_cm == step_cm
            logs[rows] = _looked_up(_known(way, float(step_cm)), off_cm[rows])
        share = math.log(way.weight)
        wholes.append(share + ((logs - each) * noted.by_eye).sum(axis=1))
    return np.asarray(np.logaddexp.reduce(np.stack(wholes)))


def invented(noted: Noted, each: Floats) -> Floats:
    """The log ratio of a line in the noted temperatures to a reader's likelihood; (pupils,)."""
    read = noted.by_eye | noted.by_film
    line = np.zeros(len(read))
    alike: dict[bytes, list[int]] = defaultdict(list)
    for row in range(len(read)):
        step_cm = noted.step_cm[row : row + 1]
        key = (noted.temperature_c[row].tobytes(), read[row].tobytes(), step_cm.tobytes())
        alike[b"".join(key)].append(row)
    for rows in alike.values():
        there = read[rows[0]]
        if there.any():
            line[rows] = _line(
                noted.read_cm[np.ix_(rows, there)],
                noted.apex_cm[np.ix_(rows, there)],
                noted.temperature_c[rows[0], there],
                float(noted.step_cm[rows[0]]),
            )
    return np.asarray(line - (each * read).sum(axis=1))


def switched(noted: Noted) -> Floats:
    """As `likeliest`, of one pupil, where the end of the ball that is read may change, (readings,).

    From some reading on it is the lowest point after the top, or the other way round.
    """
    readings = noted.read_cm.shape[1]
    before = np.tri(readings + 1, readings, -1)
    moved_cm = np.concatenate([before, -before]) * noted.ball_cm
    many = noted.of(np.zeros(len(moved_cm), dtype=np.int64))
    each = likeliest(replace(many, read_cm=many.read_cm - moved_cm))
    return np.asarray(each[each.sum(axis=1).argmax()])


def copied(own: Floats, step_cm: float, apart: NDArray[np.int32], both: Flags) -> Floats:
    """The log ratio of each of the others' readings to the own drops, for one pupil.

    Args:
        own: log likelihood of each reading, (readings,).
        step_cm: what the pupil rounds to.
        apart: how far off the others' are at the same places, in CODE_CM, (readings, others).
        both: whether there are both, of that shape.

    """
    here = (own[:, None] * both).sum(axis=0)
    wholes = [(np.take(table, apart, mode="clip") * both).sum(axis=0) for table in _moved(step_cm)]
    return np.asarray(_averaged(wholes) - here)


def _averaged(logs: Sequence[Floats]) -> Floats:
    """The log of the mean of what these are the logs of."""
    return np.asarray(np.logaddexp.reduce(np.stack(logs), axis=0) - math.log(len(logs)))


@lru_cache(maxsize=256)
def _table(kind: Kind, step_cm: float) -> Floats:
    """Log chance of a reading that lies x from where the ball truly rose, x in steps of 0.01 cm."""
    nodes, weights = np.polynomial.hermite_e.hermegauss(40)
    sags_cm = 0.5 * GRAVITY_CM_S2 * (kind.timing_s * nodes) ** 2
    mass = sum(
        weight * _cell(_OFF_CM + sag_cm, kind.place_cm, step_cm)
        for sag_cm, weight in zip(sags_cm, weights / weights.sum(), strict=True)
    )
    slip = 0.9 / (2 * SLIP_WITHIN_CM) * (np.abs(_OFF_CM) <= SLIP_WITHIN_CM)
    slip += 0.1 / (2 * WILD_WITHIN_CM)
    return np.asarray(np.log((1.0 - SLIP_CHANCE) * mass + SLIP_CHANCE * slip * step_cm))


@lru_cache(maxsize=16)
def _known(way: Known, step_cm: float) -> Floats:
    """Log chance of a reading x from the true height that was known."""
    altered = _cell(_OFF_CM, ALTERED_CM, step_cm)
    mass = (1.0 - way.altered) * _cell(_OFF_CM, way.noise_cm, step_cm) + way.altered * altered
    return np.asarray(np.log(np.maximum(mass, 1e-30)))


@lru_cache(maxsize=8)
def _moved(step_cm: float) -> tuple[Floats, ...]:
    """Log chance of a reading that lies so many CODE_CM from the one copied, for each way.

    Where that one lies between two of the pupil's own steps, each has its share by nearness: all
    chances come to 1 still.
    """
    steps = np.arange(round((SLIP_WITHIN_CM + 2.0) / CODE_CM)) * CODE_CM / step_cm
    near, far = round(MOVED_CM / step_cm), round(SLIP_WITHIN_CM / step_cm)
    whole = np.arange(far + 2)
    tables = []
    for same, moved in SAME_AND_MOVED:
        chance = np.where(whole == 0, same, np.where(whole <= near, moved / (2 * near), 0.0))
        chance += (1.0 - same - moved) / (2 * far + 1) * (whole <= far)
        tables.append(np.log(np.maximum(np.interp(steps, whole, chance), 1e-12)))
    return tuple(tables)


def _cell(off_cm: Floats, scatter_cm: float, step_cm: float) -> Floats:
    """Chance of a step about x for a normal of this scatter about 0."""
    upper, lower = (ndtr((off_cm + way * step_cm / 2) / scatter_cm) for way in (1.0, -1.0))
    return np.asarray(upper - lower)


def _looked_up(table: Floats, off_cm: Floats) -> Floats:
    at = np.rint(off_cm * (1.0 / _FINE_CM)).astype(np.int32) + len(table) // 2
    return np.asarray(np.take(table, at, mode="clip"))


def _likeliest(noted: Noted, read: Flags, kinds: tuple[Kind, ...], step_cm: float) -> Floats:
    """As `likeliest`, of the readings `read`, for pupils of one step who have one at least."""
    each = np.zeros_like(noted.read_cm)
    whole = np.full(len(each), -np.inf)
    count = read.sum(axis=1, keepdims=True)
    for seen_cm in (noted.apex_cm, noted.apex_cm + noted.parallax_cm):
        off_cm = np.where(read, noted.read_cm - seen_cm, np.nan)
        middle_cm = np.nanmedian(off_cm, axis=1, keepdims=True)
        shift_cm = np.clip(middle_cm, -SHIFT_BEYOND_CM, noted.ball_cm[:, None] + SHIFT_BEYOND_CM)
        off_cm = np.nan_to_num(off_cm - shift_cm)
        for kind in kinds:
            table = _table(kind, step_cm)
            error_cm = np.hypot(kind.scatter_cm, step_cm / 3) / np.sqrt(count)
            for shift in _SHIFTS:
                logs = _looked_up(table, off_cm - (kind.low_cm + shift * error_cm)) * read
                total = logs.sum(axis=1)
                better = total > whole
                whole[better] = total[better]
                each[better] = logs[better]
    return each


def _line(read_cm: Floats, apex_cm: Floats, temperature_c: Floats, step_cm: float) -> Floats:
    """Log chance of readings (pupils, readings) that were thought of at one row of temperatures.

    A line with a level about that of the drops and any reasonable slope, and steps off it from one
    temperature to the next: normal all of them, averaged over how large they are.
    """
    warmer = temperature_c - temperature_c.mean()
    same = temperature_c[:, None] == temperature_c
    off = read_cm - apex_cm.mean(axis=1, keepdims=True)
    line = LEVEL_SD_CM**2 + SLOPE_SD_CM_K**2 * np.outer(warmer, warmer)
    wholes = []
    for bend_cm in BENDS_CM:
        for scatter_cm in sorted({max(one, 0.6 * step_cm) for one in SCATTERS_CM}):
            covariance = line + bend_cm**2 * same + scatter_cm**2 * np.eye(len(warmer))
            root = np.linalg.cholesky(covariance)
            apart = np.linalg.solve(root, off.T)
            spread = 2.0 * np.log(np.diag(root)).sum() + len(warmer) * math.log(2.0 * math.pi)
            wholes.append(len(warmer) * math.log(step_cm) - 0.5 * ((apart**2).sum(axis=0) + spread))
    return _averaged(wholes)
