"""The two pages of the judging: all answers to a question, and the one at hand in full."""

from __future__ import annotations

import re

from analysis.quantity.units import counted
from sim.bench.model.judging import (
    BACK,
    HALF,
    KEYS_HELP,
    LIST,
    NOT_YET,
    REASON,
    RIGHT,
    VERDICT_OF,
    Judging,
)
from sim.bench.ui.blocks import Block, ButtonBox, FieldBox, TableBox, TableRow, Words
from sim.classroom.answers import LEFT
from sim.classroom.corrections import student_list

MOST_ROWS = 60
"""Answers about the one at hand that are listed; of a large class the others are counted."""
FEW = 5
OWN_WORK_SAYS = "The pupil's own readings or line say"
_WITHIN = re.compile(r"(?<![,;]) ")
"""A blank within one temperature's mean and bar, at which no line is to break."""
TO_BE_SEEN = "(to be seen in the practical)"
AT_HAND = "▸ "
OPEN, TO_AUDIT = "? open", "✓? credited"
ALL_DONE = (
    "All is judged and kept in corrections.csv. Collect the class again, with --force, and it is "
    "taken in."
)


def row_name(place: int) -> str:
    """The name by which the row of an answer is known."""
    return f"answer {place}"


def picked_place(name: str) -> int | None:
    """The place of the answer whose row has that name; None for anything else."""
    head, _, place = name.rpartition(" ")
    return int(place) if head == "answer" else None


def list_blocks(judging: Judging) -> tuple[Block, ...]:
    """The question, and all answers to it that are to be judged."""
    group = judging.answers[judging.at]
    at = judging.here.index(judging.at) if judging.at in judging.here else 0
    first = max(0, min(at - MOST_ROWS // 2, len(judging.here) - MOST_ROWS))
    shown = judging.here[first : first + MOST_ROWS]
    before, after = first, len(judging.here) - first - len(shown)
    bases = any(judging.answers[place].builds_on for place in shown)
    headings = ("verdict", "answer", *(["builds on"] if bases else []), "by")
    return (
        Words(
            f"{group.place} ({_number(judging)} of {counted(len(judging.questions), 'question')})",
            "title",
        ),
        Words(group.question, "part"),
        Words(f"The mark is for: {group.asks}", "note"),
        *([Words(f"{before} more above", "note")] if before else []),
        TableBox(headings, tuple(_row(judging, place, bases=bases) for place in shown)),
        *([Words(f"{after} more below", "note")] if after else []),
    )


def _number(judging: Judging) -> int:
    return judging.questions.index(judging.answers[judging.at].criterion) + 1


def _row(judging: Judging, place: int, *, bases: bool) -> TableRow:
    group = judging.answers[place]
    mark = AT_HAND if place == judging.at else ""
    cells = (
        mark + verdict_words(judging, place),
        group.answer or TO_BE_SEEN,
        *([group.builds_on] if bases else []),
        f"{len(group.students)}",
    )
    return TableRow(cells, name=row_name(place))


def verdict_words(judging: Judging, place: int) -> str:
    """What is the case with an answer, by its sign and in words."""
    word = judging.words.get(place)
    if word is not None:
        return f"{VERDICT_OF[word].sign} {word}"
    return OPEN if judging.answers[place].standing == LEFT else TO_AUDIT


def card_blocks(judging: Judging) -> tuple[Block, ...]:
    """The answer at hand in full, what it is judged beside, the guess, and what can be pressed."""
    group = judging.answers[judging.at]
    base = (Words("It builds on", "note"), Words(group.builds_on)) if group.builds_on else ()
    says = _WITHIN.sub("\u00a0", group.own_work)
    own = (Words(OWN_WORK_SAYS, "note"), Words(says)) if says else ()
    return (
        *([Words(judging.trouble, "caution")] if judging.trouble else []),
        Words(_written_by(group.students), "note"),
        Words(group.answer or TO_BE_SEEN, "part"),
        *base,
        *own,
        Words("The program", "note"),
        Words(_program_words(judging)),
        Words("The verdict", "note"),
        Words(verdict_words(judging, judging.at)),
        ButtonBox(RIGHT, "✓ Right (R)"),
        ButtonBox(HALF, "½ Half (H)"),
        ButtonBox(NOT_YET, "✗ Not yet (N)"),
        ButtonBox(BACK, "Take back (U)"),
        FieldBox(REASON, judging.reason, "What to tell the student with the next verdict (T)"),
        Words(progress_words(judging)),
        *(Words(line, "note") for line in KEYS_HELP),
    )


def _written_by(students: tuple[int, ...]) -> str:
    """How many wrote it, and of a few, whose practicals they are: by number, never by name."""
    few = f" (practical {student_list(students)})" if len(students) <= FEW else ""
    return f"Written by {counted(len(students), 'student')}{few}"


def _program_words(judging: Judging) -> str:
    group = judging.answers[judging.at]
    if group.standing != LEFT:
        return "It was credited; you are asked whether that is right."
    guess = f" Its guess: {group.guess}." if group.guess else ""
    return f"It is left to you.{guess}"


def progress_words(judging: Judging) -> str:
    """How far the judging has got."""
    if not judging.still_open:
        return ALL_DONE
    done = len(judging.asked) - len(judging.still_open)
    return f"{done} of {counted(len(judging.asked), 'answer')} judged."


def list_focus(judging: Judging) -> str:
    """The row at hand, which has the ring while the list has the focus."""
    return row_name(judging.at) if judging.focus == LIST else ""
