"""The first page when practicals were begun before: go on with one, or begin anew."""

from __future__ import annotations

from dataclasses import dataclass

from sim.bench.boxes import ButtonBox, Gap, Heading, PageBox, Paragraph
from sim.bench.choosing import Button
from sim.record_folder import SUFFIX, Begun

NEW = "offer.new"
MOST_OFFERED = 6


@dataclass(frozen=True)
class Offer:
    """The practicals that can be gone on with, and which button has the focus."""

    begun: tuple[Begun, ...]
    focus: str = "offer.0"

    def boxes(self) -> tuple[PageBox, ...]:
        """The page: a button for each practical, the newest first, and one for a new one."""
        buttons: list[PageBox] = []
        for number, record in enumerate(self.begun[:MOST_OFFERED]):
            name = f"offer.{number}"
            buttons += [ButtonBox(name, Button(_label(record)), self.focus == name), Gap(6)]
        return (
            Heading("Practicals begun here"),
            Paragraph("Go on where one stopped, or begin a new one. Tab moves, Return chooses."),
            *buttons,
            Gap(14),
            ButtonBox(NEW, Button("Begin a new practical"), self.focus == NEW),
        )

    def names(self) -> tuple[str, ...]:
        """What can be chosen, in order."""
        return (*(f"offer.{n}" for n in range(len(self.begun[:MOST_OFFERED]))), NEW)

    def moved(self, by: int) -> Offer:
        """The next or previous button has the focus."""
        names = self.names()
        return Offer(self.begun, names[(names.index(self.focus) + by) % len(names)])

    def record(self, name: str) -> Begun | None:
        """The practical behind a button; None for a new one."""
        return None if name == NEW else self.begun[int(name.removeprefix("offer."))]


def _label(record: Begun) -> str:
    name = record.label or record.path.name.removesuffix(SUFFIX)
    return f"{name}, last used {record.changed:%d %b, %H:%M}"
