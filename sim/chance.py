"""Random numbers of the practical: counter-based, so that order never matters.

Each number has an address (seed, member, drop, purpose). Philox turns an address
into numbers without any memory of what was drawn before: the bench, a scripted
student and a cohort of thousands meet the same numbers at the same address, in
whatever order they ask.

Source of the generator: J. Salmon and others, "Parallel random numbers: as easy
as 1, 2, 3", 2011, as numpy.random.Philox.
"""

from __future__ import annotations

from enum import IntEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from physics.reading import Chance

LARGEST_SEED = 2**128 - 1
"""Philox takes a key of 128 bits."""


class Purpose(IntEnum):
    """What a set of four numbers at one address is for."""

    HAND_AND_EYE = 0
    SLIPS = 1
    APPARATUS = 2


class ApparatusChance(NamedTuple):
    """Standard normals that tell one bench's apparatus from another's."""

    ball: NDArray[np.float64]
    thermometer: NDArray[np.float64]


def generator(seed: int, member: int, drop: int, purpose: Purpose) -> np.random.Generator:
    """The generator that stands at one address.

    Numbers of consecutive members follow one another, four a member, so one call
    serves a whole cohort at one drop.

    Args:
        seed: 0 to 2^128 - 1.
        member: the first member whose numbers are wanted, 0 or more.
        drop: the number of the drop, 0 or more.
        purpose: what the numbers are for.

    """
    return np.random.Generator(
        np.random.Philox(key=seed, counter=np.array([member, drop, purpose, 0], dtype=np.uint64))
    )


def drop_chance(seed: int, drop: int, *, member: int = 0, members: int = 1) -> Chance:
    """The random numbers of one drop, for `members` members from `member` on.

    Returns arrays of shape (members,): four standard normals (hand, instant, place,
    handling) and three uniforms (slip, slip_size, digit).
    """
    normals = _normals(generator(seed, member, drop, Purpose.HAND_AND_EYE), members)
    slips = _uniforms(generator(seed, member, drop, Purpose.SLIPS), members)
    return Chance(
        release=normals[0],
        instant=normals[1],
        place=normals[2],
        handling=normals[3],
        slip=slips[0],
        slip_size=slips[1],
        digit=slips[2],
    )


def single_chance(seed: int, drop: int, *, member: int = 0) -> Chance:
    """The random numbers of one drop of one member, as plain numbers."""
    numbers = drop_chance(seed, drop, member=member)
    return Chance(*(float(np.squeeze(number)) for number in numbers))


def apparatus_chance(seed: int, *, member: int = 0, members: int = 1) -> ApparatusChance:
    """The random numbers that a bench's ball and thermometer are made with."""
    normals = _normals(generator(seed, member, 0, Purpose.APPARATUS), members)
    return ApparatusChance(ball=normals[0], thermometer=normals[1])


def _uniforms(rng: np.random.Generator, members: int) -> NDArray[np.float64]:
    """Four uniforms a member, as rows: shape (4, members)."""
    return np.ascontiguousarray(rng.random((members, 4)).T)


def _normals(rng: np.random.Generator, members: int) -> NDArray[np.float64]:
    """Four standard normals a member, as rows: shape (4, members).

    Box and Muller's transform (Ann. Math. Statist. 29, 1958, 610), because it takes a
    fixed count of uniforms: numpy's own normals take a varying count, and their place
    in the stream could not be known without drawing all before them. The sine is taken
    from the cosine, which costs a third of a second call.
    """
    uniforms = _uniforms(rng, members)
    radius = np.sqrt(-2.0 * np.log(1.0 - uniforms[:2]))
    turn = uniforms[2:]
    cosine = np.cos(2.0 * np.pi * turn)
    sine = np.copysign(np.sqrt(np.maximum(1.0 - cosine * cosine, 0.0)), 0.5 - turn)
    return np.concatenate((radius * cosine, radius * sine))
