"""The polynomial that fits points best."""

from ._array import ndarray, total


class Polynomial:
    """A polynomial as a sum of polynomials that are orthogonal over the points it was fitted to.

    Each follows from the two before it (G. E. Forsythe, Journal of the Society for Industrial and
    Applied Mathematics 5 (1957) 74, from memory).
    """

    def __init__(self, shares, shifts, ratios):
        """Take what each counts for, and how the next one is made of it."""
        self._shares, self._shifts, self._ratios = shares, shifts, ratios

    @classmethod
    def fit(cls, across, up, degree):
        """The least squares fit of a degree."""
        before, now = [0.0] * across.size, [1.0] * across.size
        shares, shifts, ratios, squares_before = [], [], [], 0.0
        for _ in range(degree + 1):
            squares = total([one * one for one in now])
            along = list(zip(now, across.cells, strict=True))
            shares.append(total([n * y for n, y in zip(now, up.cells, strict=True)]) / squares)
            shifts.append(total([n * n * x for n, x in along]) / squares)
            ratios.append(squares / squares_before if squares_before else 0.0)
            squares_before = squares
            after = [
                (x - shifts[-1]) * n - ratios[-1] * b
                for (n, x), b in zip(along, before, strict=True)
            ]
            before, now = now, after
        return cls(shares, shifts, ratios)

    def __call__(self, across):
        """What it says at some numbers."""
        return ndarray([self._at(one) for one in across.cells], across.shape)

    def _at(self, x):
        before, now, said = 0.0, 1.0, 0.0
        for share, shift, ratio in zip(self._shares, self._shifts, self._ratios, strict=True):
            said += share * now
            before, now = now, (x - shift) * now - ratio * before
        return said
