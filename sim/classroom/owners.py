"""Whose a returned file is: what its seed says, and what its name and label say."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from sim.classroom.safe_names import number_in
from sim.classroom.sets import seed_of, setup_for, stem_of

if TYPE_CHECKING:
    from sim.classroom.class_key import ClassKey
    from sim.state import Setup

LEAST_STEM = 6
"""A shorter one may stand in a file's name by chance, as a part of a date."""


@dataclass(frozen=True)
class Roster:
    """A class by seed, file name and name."""

    key: ClassKey

    @cached_property
    def _by_seed(self) -> dict[int, int]:
        if self.key.kind != "records":
            return {}
        return {seed_of(self.key, number): number for number in self._numbers}

    @cached_property
    def _by_stem(self) -> dict[str, int]:
        return {stem_of(self.key, number): number for number in self._numbers}

    @cached_property
    def _by_name(self) -> dict[str, frozenset[int]]:
        found: dict[str, set[int]] = {}
        for number, name in enumerate(self.key.names, start=1):
            found.setdefault(name, set()).add(number)
        return {name: frozenset(numbers) for name, numbers in found.items()}

    def owner(self, setup: Setup) -> int | None:
        """The student whose practical was handed out with this seed."""
        return self._by_seed.get(setup.seed)

    def is_as_handed_out(self, number: int, setup: Setup) -> bool:
        """Whether a bench is the one handed out: ball, room and hand as well as the seed."""
        return setup == setup_for(self.key, number)

    def claims(self, file_name: str, label: str | None = None) -> frozenset[int]:
        """The students that a file says it is from.

        The name that it was handed out with says it; then the label inside; a mere number at the
        beginning of the name only where nothing else does. Two students of one name both count.
        """
        by_stem = self._by_stem_in(file_name)
        if by_stem is not None:
            return frozenset({by_stem})
        by_label = self._by_name.get(label or "", frozenset())
        number = number_in(file_name)
        if by_label or number is None or number not in self._numbers:
            return by_label
        return frozenset({number})

    def _by_stem_in(self, file_name: str) -> int | None:
        for ending in range(len(file_name), 0, -1):
            if (number := self._by_stem.get(file_name[:ending])) is not None:
                return number
        inside = [
            number
            for stem, number in self._by_stem.items()
            if len(stem) >= LEAST_STEM and stem in file_name
        ]
        # A platform for handing in may put something before the name.
        return inside[0] if len(inside) == 1 else None

    @property
    def _numbers(self) -> range:
        return range(1, len(self.key.names) + 1)
