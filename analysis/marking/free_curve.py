"""The smooth curve through a student's points: what the bench draws and what marking reads."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

STEPS = 16
"""Pieces between two points."""


def smooth(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """The Catmull-Rom spline through three points (n, 2) or more, with the points on it.

    Two points, a straight line, are given back as they are.
    """
    if len(points) < 3:
        return points
    ends = np.vstack([points[:1], points, points[-1:]])
    a, b, c, d = (ends[n : n + len(points) - 1, None, :] for n in range(4))
    t = np.linspace(0.0, 1.0, STEPS, endpoint=False)[None, :, None]
    bend = (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3
    pieces = b + ((c - a) * t + bend) / 2
    return np.vstack([pieces.reshape(-1, 2), points[-1:]])
