"""Philox with four words and ten rounds, and the normals and uniforms that numpy draws from it.

Source of the generator: J. Salmon and others, "Parallel random numbers: as easy as 1, 2, 3", 2011;
of the normals: G. Marsaglia and W. W. Tsang, "The ziggurat method for generating random
variables", Journal of Statistical Software 5 (2000), with numpy's 256 layers and its order of
bits. Both are held against numpy to the bit.
"""

import math

from ._array import ndarray
from ._ziggurat import HEIGHTS, INSIDE, WIDTHS

WORD = 2**64 - 1
ROUNDS = 10
MULTIPLIERS = 0xD2E7470EE14C6C93, 0xCA5A826395121157
KEY_STEPS = 0x9E3779B97F4A7C15, 0xBB67AE8584CAA73B
TAIL = 3.6541528853610088
"""Where the lowest layer of the ziggurat goes over into the normal's tail."""


class Philox:
    """Words of 64 bits that follow from a key and a counter alone."""

    def __init__(self, *, key, counter):
        """Stand before the words of the counter after this one."""
        self._key = (key & WORD, key >> 64)
        self._counter = sum(word << (64 * place) for place, word in enumerate(counter.cells))
        self._left = []

    def word(self):
        """The next word."""
        if not self._left:
            self._counter = (self._counter + 1) % 2**256
            self._left = self._four()[::-1]
        return self._left.pop()

    def _four(self):
        first, second, third, fourth = (
            (self._counter >> (64 * place)) & WORD for place in range(4)
        )
        key, other_key = self._key
        for _ in range(ROUNDS):
            product, other = MULTIPLIERS[0] * first, MULTIPLIERS[1] * third
            first, second = (other >> 64) ^ second ^ key, other & WORD
            third, fourth = (product >> 64) ^ fourth ^ other_key, product & WORD
            key, other_key = (key + KEY_STEPS[0]) & WORD, (other_key + KEY_STEPS[1]) & WORD
        return [first, second, third, fourth]


class Generator:
    """Normals and uniforms from words."""

    def __init__(self, bits):
        """Draw from these words."""
        self._word = bits.word

    def standard_normal(self, shape):
        """Normals with mean 0 and standard deviation 1."""
        return ndarray([self._normal() for _ in range(math.prod(shape))], shape)

    def random(self, shape):
        """Uniforms from 0, included, to 1, excluded."""
        return ndarray([self._uniform() for _ in range(math.prod(shape))], shape)

    def _uniform(self):
        return (self._word() >> 11) * 2.0**-53

    def _normal(self):
        while True:
            word = self._word()
            layer, away = word & 0xFF, (word >> 9) & 0xFFFFFFFFFFFFF
            value = -away * WIDTHS[layer] if word & 0x100 else away * WIDTHS[layer]
            if away < INSIDE[layer]:
                return value
            if layer == 0:
                return self._beyond(negative=bool((away >> 8) & 1))
            gap = HEIGHTS[layer - 1] - HEIGHTS[layer]
            if gap * self._uniform() + HEIGHTS[layer] < math.exp(-0.5 * value * value):
                return value

    def _beyond(self, *, negative):
        """A normal of the tail."""
        while True:
            further = -(1.0 / TAIL) * math.log1p(-self._uniform())
            chance = -math.log1p(-self._uniform())
            if chance + chance > further * further:
                return -(TAIL + further) if negative else TAIL + further
