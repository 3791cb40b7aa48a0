"""The desk as a student finds it, new or going on with a record."""

from __future__ import annotations

from types import MappingProxyType

from sim.bench.desk import Desk, Field
from sim.bench.pages import PAGES
from sim.state import State

GOING_ON = "Going on where the practical stopped. F1 lists the keys."


def desk_for(state: State, text_scale: float = 1.0) -> Desk:
    """A desk for a practical, the fields filled from what its book holds already."""
    fields: dict[str, Field] = {}
    for page in PAGES.values():
        fields.update(page.fields(state))
    desk = Desk(
        state=state,
        eye_m=state.eye_height_m,
        fields=MappingProxyType(fields),
        text_scale=text_scale,
    )
    return desk.saying(GOING_ON) if state.time_s else desk
