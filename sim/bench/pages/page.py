"""What a page of the exercise book is to the bench."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from sim.bench.boxes import PageBox
from sim.bench.desk import Desk, Field, Step
from sim.bench.fields import Motion
from sim.state import State


def no_neighbour(_: str, __: Motion) -> str | None:
    """For a page whose fields stand alone: an arrow stays in its field."""
    return None


@dataclass(frozen=True)
class Page:
    """One page: its name on the ribbon, its boxes, and what its fields and buttons do.

    Attributes:
        name: as it stands on the ribbon.
        boxes: the page for a desk, in reading order.
        fields: the fields that the page begins with, from what is in the book already.
        kept: the actions that put on record what has been written and not kept yet.
        pressed: what a button, or the return key in a field, does.
        neighbour: the field that an arrow key goes to from the edge of a field.

    """

    name: str
    boxes: Callable[[Desk], tuple[PageBox, ...]]
    fields: Callable[[State], Mapping[str, Field]]
    kept: Callable[[Desk], Step]
    pressed: Callable[[Desk, str], Step]
    neighbour: Callable[[str, Motion], str | None] = no_neighbour


def nothing_to_keep(desk: Desk) -> Step:
    """For a page whose fields go on record by a button alone."""
    return Step(desk)
