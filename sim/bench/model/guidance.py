"""What is said to the student: a hint of what could be done next, or what just came of a wish."""

from __future__ import annotations

from sim.bench.model.desk import Desk, Note
from sim.soaking import COVERING_KG
from sim.state import Place

# Each fits one line at 150 % text, so that it covers nothing of the rule.
POUR = "Pour from the kettle and the jug into the beaker (H, C). F1: all keys."
PUT_IN = "Read the thermometer when it has settled. Then the ball goes in (B)."
SOAK = "Soak it two minutes; the stopwatch (S) shortens that. Then dry it (T)."
SOAK_AS_PLANNED = "Soak it as planned; the stopwatch (S) shortens that. Then dry it (T)."
TO_RULE = "Bring the ball to the rule before it cools (R)."
SET_AND_LET_GO = "Lowest point to the flag (↑ ↓), eye to the bounce (Page ↑ ↓), Space."
WRITE = "Write what you read, with its units, on the rough page (Tab)."
ALL = (POUR, PUT_IN, SOAK, SOAK_AS_PLANNED, TO_RULE, SET_AND_LET_GO, WRITE)


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
        return SOAK if state.setup.plan is None else SOAK_AS_PLANNED
    return PUT_IN if state.water_kg >= COVERING_KG else POUR


SIGNS = {"hint": "", "refusal": "Not now: ", "caution": "Caution: ", "trouble": "Record: "}
"""What stands before the words, so that no colour has to say it."""


def told(desk: Desk) -> Note:
    """The words at the foot of the corner: trouble with the record, what was said, or a hint."""
    note = desk.note
    if desk.trouble and note.kind != "caution":
        note = Note(desk.trouble, "trouble")
    if not note.text:
        note = Note(hint(desk))
    return Note(SIGNS[note.kind] + note.text, note.kind) if note.text else note
