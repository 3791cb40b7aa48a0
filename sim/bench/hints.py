"""What could be done next, in a sentence, until the first reading is written down."""

from __future__ import annotations

from sim.bench.desk import Desk
from sim.soaking import COVERING_KG
from sim.state import Place

# Each fits one line at 150 % text, so that it covers nothing of the rule.
POUR = "Pour from the kettle and the jug into the beaker (H, C). F1: all keys."
PUT_IN = "Read the thermometer when it has settled. Then the ball goes in (B)."
SOAK = "Soak it two minutes; the stopwatch (S) shortens that. Then dry it (T)."
TO_RULE = "Bring the ball to the rule before it cools (R)."
SET_AND_LET_GO = "Lowest point to the flag (↑ ↓), eye to the bounce (Page ↑ ↓), Space."
WRITE = "Write what you read, with its units, on the rough page (Tab)."
ALL = (POUR, PUT_IN, SOAK, TO_RULE, SET_AND_LET_GO, WRITE)


def hint(desk: Desk) -> str:
    """The hint for a desk; nothing once a reading stands on the rough page."""
    state = desk.state
    if state.rough:
        return ""
    if state.place is Place.TONGS:
        return TO_RULE if state.held_height_m is None else SET_AND_LET_GO
    if state.place is Place.FLOOR:
        return WRITE
    if state.place is Place.WATER:
        return SOAK
    return PUT_IN if state.water_kg >= COVERING_KG else POUR
