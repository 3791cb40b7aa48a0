"""Two published student tables of rebound height against the water's temperature.

Table A: "Bouncing balls", drop of 1 m, three drops by eye, cm;
http://www.markedbyteachers.com/gcse/science/bouncing-balls-2.html
Table S: "Squash ball - efficiency", drop of 0.80 m, three drops, m; scribd.com document 598382699.
Raw readings are the sources'. Neither tells how the ball was soaked; S's author allows 15 °C for
the ball's cooling. Loss ratios at 40 °C worked from them by ln √(h/H) / π, which takes the ball to
be as warm as the water and leaves out air: A 0.266, S 0.202.
"""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class StudentTable:
    """Drop height in metres, the water in °C, and the drops in metres, (temperatures, 3)."""

    name: str
    drop_m: float
    celsius: np.ndarray
    heights_m: np.ndarray
    loss_ratio: float


A = StudentTable(
    "A",
    1.0,
    np.array([0.0, 20.0, 40.0, 60.0, 80.0, 100.0]),
    np.array([[3, 4, 3], [8, 10, 8], [18, 17, 17], [30, 31, 29], [45, 50, 40], [60, 61, 61]])
    / 100.0,
    0.266,
)
S = StudentTable(
    "S",
    0.80,
    np.array([5.0, 22.0, 33.0, 43.0, 53.0, 63.0, 71.0, 83.0]),
    np.array(
        [
            [0.08, 0.15, 0.22, 0.25, 0.30, 0.35, 0.39, 0.45],
            [0.08, 0.15, 0.21, 0.22, 0.29, 0.34, 0.40, 0.44],
            [0.07, 0.14, 0.20, 0.23, 0.29, 0.31, 0.38, 0.43],
        ]
    ).T,
    0.202,
)
