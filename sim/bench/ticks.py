"""Uneven frame times turned into whole fixed steps, so that a stalled laptop stays in step."""

from __future__ import annotations

from dataclasses import dataclass

STEP_S = 1.0 / 120.0
MOST_STEPS = 30
"""A frame longer than a quarter of a second counts as a quarter: the bench slows rather
than jumps."""


@dataclass(frozen=True)
class Ticks:
    """Time owed to the bench and not yet made into steps."""

    owed_s: float = 0.0

    def take(self, frame_s: float) -> tuple[int, Ticks]:
        """The whole steps that are due after a frame, and what is still owed."""
        owed_s = self.owed_s + min(frame_s, MOST_STEPS * STEP_S)
        steps = int(owed_s / STEP_S)
        return steps, Ticks(owed_s - steps * STEP_S)
