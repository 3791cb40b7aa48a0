"""Things that are chosen or pressed, as values: a button, a choice among options, a tick."""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True)
class Button:
    """Something to press; what happens then is the page's affair."""

    label: str
    enabled: bool = True


@dataclass(frozen=True)
class Choice:
    """One of several options; none until the student has chosen."""

    options: tuple[str, ...]
    current: int | None = None

    def __post_init__(self) -> None:
        """Refuse a current option that is not among them (ValueError)."""
        if self.current is not None and not 0 <= self.current < len(self.options):
            raise ValueError(f"there is no option {self.current} among {len(self.options)}")

    @property
    def value(self) -> str | None:
        """The chosen option, or None."""
        return None if self.current is None else self.options[self.current]

    def chosen(self, index: int) -> Choice:
        """Choose an option by its number; one that does not exist changes nothing."""
        return replace(self, current=index) if 0 <= index < len(self.options) else self

    def moved(self, step: int) -> Choice:
        """Go to the next (1) or the one before (-1), stopping at the ends."""
        if self.current is None:
            return self.chosen(0 if step > 0 else len(self.options) - 1)
        return self.chosen(self.current + step)


@dataclass(frozen=True)
class Tick:
    """A statement that is ticked or not."""

    label: str
    on: bool = False

    def toggled(self) -> Tick:
        """Turn it the other way round."""
        return replace(self, on=not self.on)
