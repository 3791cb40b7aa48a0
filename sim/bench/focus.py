"""Who is asked first: the order of focus on a page, and the leaves that lie upon it."""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True)
class Focus:
    """The names that can have the focus, in reading order, and the one that has it."""

    names: tuple[str, ...] = ()
    current: str | None = None

    def __post_init__(self) -> None:
        """Refuse a current name that is not among the names (ValueError)."""
        if self.current is not None and self.current not in self.names:
            raise ValueError(f"{self.current!r} is not among {self.names}")

    def moved(self, step: int) -> Focus:
        """Go to the next (1) or the one before (-1), from the last round to the first."""
        if not self.names:
            return self
        if self.current is None:
            return replace(self, current=self.names[0 if step > 0 else -1])
        at = (self.names.index(self.current) + step) % len(self.names)
        return replace(self, current=self.names[at])

    def on(self, name: str) -> Focus:
        """Give the focus to a name, as a click does; an unknown name changes nothing."""
        return replace(self, current=name) if name in self.names else self

    def among(self, names: tuple[str, ...]) -> Focus:
        """Keep the focus when the page has changed; it is on nothing if its name has gone."""
        return Focus(names, self.current if self.current in names else None)


@dataclass(frozen=True)
class Leaf:
    """Something that lies on the page: a dialog or, if `transparent`, a note.

    A dialog keeps every intent, also what it has no use for: nothing beneath may move
    while a question stands. A transparent leaf keeps only what it `wants`: types of intents.
    """

    name: str
    wants: frozenset[type] = frozenset()
    transparent: bool = False

    def keeps(self, intent: object) -> bool:
        """Whether the intent goes no further down than this leaf."""
        return not self.transparent or type(intent) in self.wants


@dataclass(frozen=True)
class Stack:
    """The leaves, the lowest first; the lowest is the page and keeps what comes to it."""

    leaves: tuple[Leaf, ...]

    def __post_init__(self) -> None:
        """Refuse a stack without a page, or a page that lets intents fall through."""
        if not self.leaves or self.leaves[0].transparent:
            raise ValueError("the lowest leaf of a stack is a page that is not transparent")

    @property
    def top(self) -> Leaf:
        """The leaf that lies uppermost."""
        return self.leaves[-1]

    def opened(self, leaf: Leaf) -> Stack:
        """Lay a leaf on top; one of that name that already lies there changes nothing."""
        if any(leaf.name == other.name for other in self.leaves):
            return self
        return Stack((*self.leaves, leaf))

    def closed(self) -> Stack:
        """Take the uppermost leaf away; the page stays."""
        return Stack(self.leaves[:-1]) if len(self.leaves) > 1 else self

    def keeper(self, intent: object) -> Leaf:
        """Find the leaf that gets an intent: each leaf is asked in turn, from the top down."""
        return next(leaf for leaf in reversed(self.leaves) if leaf.keeps(intent))
