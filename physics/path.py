"""The whole bouncing path of one drop: where the ball is at any time after its release."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from physics.ball import Ball
from physics.flight import (
    Fall,
    fall_time_s,
    falling,
    impact_speed_m_s,
    rebound_height_m,
    rise_time_s,
)
from physics.number import FloatArray, Number
from physics.restitution import SLOWEST_M_S


@dataclass(frozen=True)
class Path:
    """A fall and the bounces after it, by the closed forms of `physics.flight`.

    Heights are those of the ball's lowest point, in metres; times in seconds from the
    release. The first of the apexes is the release itself.
    """

    fall: Fall
    apex_heights_m: tuple[float, ...]
    apex_times_s: tuple[float, ...]
    impact_times_s: tuple[float, ...]
    """When the ball meets the floor, one for each apex."""

    def height_m(self, time_s: Number) -> FloatArray:
        """Height of the ball's lowest point at a time, m. Any shape.

        Before the release the ball is at its drop height; after the last impact that the
        path holds it lies on the floor.
        """
        time = np.maximum(np.asarray(time_s, dtype=float), 0.0)
        arc = np.searchsorted(self.impact_times_s, time, side="left")
        last = len(self.apex_heights_m) - 1
        from_apex = time - np.take(self.apex_times_s, arc, mode="clip")
        apex = np.take(self.apex_heights_m, arc, mode="clip")
        fallen = np.where(from_apex < 0.0, self._rise_m(from_apex), self._fall_m(from_apex))
        height: FloatArray = np.where(arc > last, 0.0, np.maximum(apex - fallen, 0.0))
        return height

    def _fall_m(self, time_s: FloatArray) -> FloatArray:
        """Fallen below the apex, a time after it: (v_t²/g') ln cosh(g' t / v_t)."""
        gravity, terminal = self.fall
        swing = np.clip(gravity * time_s / terminal, 0.0, 50.0)
        below: FloatArray = terminal**2 / gravity * np.log(np.cosh(swing))
        return below

    def _rise_m(self, time_s: FloatArray) -> FloatArray:
        """Still below the apex, a time before it: −(v_t²/g') ln cos(g' t / v_t)."""
        gravity, terminal = self.fall
        swing = np.clip(gravity * time_s / terminal, -1.5, 0.0)
        below: FloatArray = -(terminal**2) / gravity * np.log(np.cos(swing))
        return below


def path(
    ball: Ball,
    room_k: float,
    release_height_m: float,
    restitution_of_speed: Callable[[float], float],
    bounces: int = 3,
) -> Path:
    """The path of one drop: the fall, then up to `bounces` bounces.

    Args:
        ball: the ball.
        room_k: the room's temperature, kelvin.
        release_height_m: height of the ball's lowest point at release, m, 0 to 5.
        restitution_of_speed: the coefficient of restitution at an impact speed in m/s.
        bounces: how many; fewer where the ball comes down slower than restitution is
            known for (0.05 m/s, a hop of an eighth of a millimetre).

    Raises:
        OutOfRange: for a release height outside 0 m to 5 m, naming it.

    """
    heights = [release_height_m]
    apexes = [0.0]
    impacts = [float(fall_time_s(ball, room_k, release_height_m))]
    for _ in range(bounces):
        speed = float(impact_speed_m_s(ball, room_k, heights[-1]))
        if speed < SLOWEST_M_S:
            break
        launch = speed * restitution_of_speed(speed)
        heights.append(float(rebound_height_m(ball, room_k, launch)))
        apexes.append(impacts[-1] + float(rise_time_s(ball, room_k, launch)))
        impacts.append(apexes[-1] + float(fall_time_s(ball, room_k, heights[-1])))
    return Path(falling(ball, room_k), tuple(heights), tuple(apexes), tuple(impacts))
