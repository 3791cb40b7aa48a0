"""A file of the program's own that is read once: whole where it is needed, or in pieces before."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator
from typing import Generic, TypeVar

Content = TypeVar("Content")


class ReadOnce(Generic[Content]):
    """What a reading gives, kept once it is there.

    `reading` begins a reading, which stops after each piece, so that something else can be done
    between two. What it raises comes through, and the next asking reads anew.
    """

    def __init__(self, reading: Callable[[], Generator[None, None, Content]]) -> None:
        """Nothing is read yet."""
        self._reading = reading
        self._content: tuple[Content, ...] = ()

    def __call__(self) -> Content:
        """What was read; all of it now, where it has not been."""
        for _ in self.beforehand():
            pass
        return self._content[0]

    def beforehand(self) -> Iterator[None]:
        """Read in pieces, for a later asking to find it read."""
        if not self._content:
            self._content = ((yield from self._reading()),)
