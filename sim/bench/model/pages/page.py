"""What a page of the exercise book is to the bench.

Feedback on a page: asked for by a button, counted as a try, shown below it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from analysis.marking.remark import Remark, Verdict
from sim import actions as act
from sim.bench.model.desk import Desk, Field, Step, done
from sim.bench.ui.blocks import Button, ButtonBox, Heading, PageBox, Paragraph
from sim.bench.ui.fields import Motion
from sim.marking import remarks_on
from sim.procedure import plan_sentence
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


def plan_boxes(desk: Desk) -> tuple[PageBox, ...]:
    """What the record's class set asks for; nothing where there is no such plan."""
    plan = desk.state.setup.plan
    return () if plan is None else (Paragraph(plan_sentence(plan)),)


FEEDBACK = "feedback"
ASK = "Ask for feedback"
NUDGES = "The first time it says where to look. Asked again, it shows the step."
STEPS = "The steps are shown now."
STALE = "It tells of what stood here when you asked."
NOTHING = "There is nothing on this page to say anything about yet."
TO_THE_FOOT = 10**6
"""Scrolled as far down as still shows what has the focus: the feedback comes after it."""

SIGNS = {
    Verdict.RIGHT: "✓ Right",
    Verdict.CARRIED: "✓ Right, carried on from an earlier slip",
    Verdict.WRONG: "✗ Not yet",
    Verdict.MISSING: "– Nothing written yet",
    Verdict.TEACHER: "? For your teacher to judge",
}
"""What stands before each remark, so that no colour has to say it."""


def feedback_boxes(desk: Desk, page: str) -> tuple[PageBox, ...]:
    """The button, and what feedback said when it was last pressed."""
    name = f"{page}.{FEEDBACK}"
    button = ButtonBox(name, Button(ASK), desk.focus == name)
    if page not in desk.remarks:
        return (button,)
    tries = desk.state.book.tries.get(page, 0)
    remarks = desk.remarks[page]
    said: list[PageBox] = [Heading(f"Feedback, try {tries}", level=2)]
    if not remarks:
        return (button, *said, Paragraph(NOTHING))
    said.append(Paragraph(f"{NUDGES if tries < 2 else STEPS} {STALE}", small=True))
    said += [Paragraph(text) for text in _said(remarks, tries)]
    return (button, *said)


def feedback_asked(desk: Desk, page: str) -> Step:
    """A try is counted, and the page is marked as it stands on the record."""
    step = done(desk, act.AskForFeedback(page))
    remarks = remarks_on(step.desk.state, page)
    shown = MappingProxyType({**desk.remarks, page: remarks})
    return Step(replace(step.desk, remarks=shown, scroll_px=TO_THE_FOOT), step.actions)


def _said(remarks: tuple[Remark, ...], tries: int) -> list[str]:
    """A paragraph for each remark: what is not right yet first, then what is."""
    later = (Verdict.RIGHT, Verdict.CARRIED)
    ordered = sorted(remarks, key=lambda remark: remark.verdict in later)
    return [_sentence(remark, tries) for remark in ordered]


def _sentence(remark: Remark, tries: int) -> str:
    sign = SIGNS[remark.verdict] + (f" ({remark.where})" if remark.where else "")
    told = remark.worked if tries >= 2 and remark.worked else remark.nudge
    if remark.verdict is Verdict.RIGHT or not told:
        return f"{sign}: {remark.asks}"
    return f"{sign}: {told}"
