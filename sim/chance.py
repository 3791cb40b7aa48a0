"""Random numbers of the practical: addressed, so that order never matters.

Each number has an address (seed, member, drop, purpose). Philox turns an address into
numbers without any memory of what was drawn before: the bench, a scripted student and a
cohort of thousands meet the same numbers at the same address, in whatever order they ask.

Members are drawn in blocks, because numpy's normals take a varying count of bits and only
the start of a block can be addressed. Member 0, the bench of its own, is a block by itself.

Source of the generator: J. Salmon and others, "Parallel random numbers: as easy as 1, 2,
3", 2011, as numpy.random.Philox.
"""

from __future__ import annotations

from collections.abc import Iterator
from enum import IntEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from physics.reading import Chance

LARGEST_SEED = 2**128 - 1
"""Philox takes a key of 128 bits."""

BLOCK = 8192
"""Members of a block: their arrays still stay in a core's cache."""


class Purpose(IntEnum):
    """What the numbers at one address are for."""

    HAND_AND_EYE = 0
    SLIPS = 1
    APPARATUS = 2


class Place(NamedTuple):
    """Where a member stands: the number of the block, and the place in it."""

    block: int
    row: int


class ApparatusChance(NamedTuple):
    """Standard normals that tell one bench's apparatus from another's."""

    ball: NDArray[np.float64]
    thermometer: NDArray[np.float64]


def place_of(member: int) -> Place:
    """Where a member's numbers are drawn."""
    return Place(0, 0) if member == 0 else Place(1 + (member - 1) // BLOCK, (member - 1) % BLOCK)


def blocks(first: int, members: int) -> Iterator[tuple[int, slice]]:
    """The blocks that a run of members stands in, and the part of each that they take up."""
    member, end = first, first + members
    while member < end:
        block, row = place_of(member)
        taken = min(_size(block) - row, end - member)
        yield block, slice(row, row + taken)
        member += taken


def drop_chance(seed: int, drop: int, block: int) -> Chance:
    """The random numbers of one drop, for all members of a block.

    Arrays of shape (members of the block,): four standard normals (hand, instant, place,
    handling) and three uniforms (slip, slip_size, digit).
    """
    size = _size(block)
    normals = generator(seed, block, drop, Purpose.HAND_AND_EYE).standard_normal((4, size))
    uniforms = generator(seed, block, drop, Purpose.SLIPS).random((3, size))
    return Chance(*normals, *uniforms)


def single_chance(seed: int, drop: int, *, member: int = 0) -> Chance:
    """The random numbers of one drop of one member, as plain numbers."""
    block, row = place_of(member)
    return Chance(*(float(numbers[row]) for numbers in _arrays(drop_chance(seed, drop, block))))


def apparatus_chance(seed: int, block: int) -> ApparatusChance:
    """The random numbers that the balls and thermometers of a block are made with."""
    normals = generator(seed, block, 0, Purpose.APPARATUS).standard_normal((2, _size(block)))
    return ApparatusChance(*normals)


def generator(seed: int, block: int, drop: int, purpose: Purpose) -> np.random.Generator:
    """The generator that stands at one address.

    Args:
        seed: 0 to 2^128 - 1.
        block: the block of the members, 0 or more.
        drop: the number of the drop, 0 or more.
        purpose: what the numbers are for.

    """
    counter = np.array([0, block, drop, purpose], dtype=np.uint64)
    return np.random.Generator(np.random.Philox(key=seed, counter=counter))


def _size(block: int) -> int:
    return 1 if block == 0 else BLOCK


def _arrays(chance: Chance) -> Iterator[NDArray[np.float64]]:
    return (np.asarray(numbers) for numbers in chance)
