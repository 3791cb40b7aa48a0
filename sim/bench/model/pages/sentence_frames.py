"""A sentence to finish, under a question that has one: a button for each gap, to press for words.

What has been chosen stands in the question's own field, so the sentence may be written on by hand;
where it becomes another one, the buttons go. A field that is empty offers the sentence.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from analysis.marking.frames import SentenceFrame
from analysis.marking.question import Question
from sim.bench.model.desk import Desk
from sim.bench.model.pages.book_page import field_name, questions_of
from sim.bench.ui.blocks import Block, ButtonBox, Words
from sim.bench.ui.fields import TextArea

OFFER = "Finish a sentence instead"
HOW = (
    "Each press puts other words into a gap. Go on until the whole sentence is true; or write on "
    "above."
)


def frame_blocks(desk: Desk, asked: Question) -> tuple[Block, ...]:
    """The offer of a sentence, or its pieces; nothing beside an answer in own words."""
    if asked.frame is None:
        return ()
    name = field_name(asked.page, asked.name)
    text = desk.fields[name].text
    if not text.strip():
        return (ButtonBox(_offer(name), OFFER),)
    chosen = asked.frame.chosen(text)
    if chosen is None:
        return ()
    pieces = zip(asked.frame.pieces, chosen, strict=True)
    buttons = (
        ButtonBox(_gap(name, at), piece.filled(words)) for at, (piece, words) in enumerate(pieces)
    )
    return (Words(HOW, "note"), *buttons)


def frame_buttons(page: str) -> Mapping[str, Callable[[Desk], Desk]]:
    """What pressing does: the offer lays the sentence open, a gap takes its next words."""
    buttons: dict[str, Callable[[Desk], Desk]] = {}
    for asked in questions_of(page):
        if asked.frame is None:
            continue
        name = field_name(page, asked.name)
        buttons[_offer(name)] = partial(_laid_open, name=name, frame=asked.frame)
        for at in range(len(asked.frame.pieces)):
            buttons[_gap(name, at)] = partial(_turned, name=name, frame=asked.frame, at=at)
    return buttons


def _offer(name: str) -> str:
    return f"{name}.sentence"


def _gap(name: str, at: int) -> str:
    return f"{name}.gap {at + 1}"


def _laid_open(desk: Desk, name: str, frame: SentenceFrame) -> Desk:
    sentence = frame.sentence([""] * len(frame.pieces))
    return desk.writing({name: TextArea.holding(sentence)}).at(_gap(name, 0))


def _turned(desk: Desk, name: str, frame: SentenceFrame, at: int) -> Desk:
    """The gap has its next words, round; a field that holds another sentence keeps it."""
    chosen = list(frame.chosen(desk.fields[name].text) or ())
    if not chosen:
        return desk
    choices = frame.pieces[at].choices
    chosen[at] = choices[(choices.index(chosen[at]) + 1) % len(choices) if chosen[at] else 0]
    return desk.writing({name: TextArea.holding(frame.sentence(chosen))})
