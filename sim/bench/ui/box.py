"""An upright rectangle of whole pixels: what pages and windows are measured out in."""

from __future__ import annotations

from typing import NamedTuple


class Box(NamedTuple):
    """A rectangle; x and y are its upper left corner."""

    x: int
    y: int
    width: int
    height: int

    @property
    def right(self) -> int:
        """The first column to its right."""
        return self.x + self.width

    @property
    def bottom(self) -> int:
        """The first row below it."""
        return self.y + self.height

    @property
    def centre(self) -> tuple[int, int]:
        """Its middle."""
        return self.x + self.width // 2, self.y + self.height // 2

    def holds(self, point: tuple[int, int]) -> bool:
        """Whether a point lies inside."""
        return self.x <= point[0] < self.right and self.y <= point[1] < self.bottom

    def inset(self, margin: int) -> Box:
        """The same box, smaller by a margin on each side."""
        return Box(
            self.x + margin, self.y + margin, self.width - 2 * margin, self.height - 2 * margin
        )
