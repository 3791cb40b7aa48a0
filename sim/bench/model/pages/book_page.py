"""What a page of the exercise book is to the bench, its questions, and the feedback on it.

The registry of questions is asked anew each time, so that a question added to it alone is shown,
gets a field in the order of focus and is kept on record. Feedback is asked for by a button and
shown below it; the marking is done by `after`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from analysis.marking import questions as registry
from analysis.marking.question import NUMBER, Question
from analysis.marking.work import TRIES_FOR_THE_STEP, Remark, Verdict
from sim import actions as act
from sim.bench.model.desk import Desk, Step, done
from sim.bench.ui.blocks import Block, ButtonBox, Cell, FieldBox, TableBox, TableRow, Words
from sim.bench.ui.fields import Motion, NumberField, TextArea, TextLine
from sim.procedure import plan_sentence
from sim.state import Book, State


@dataclass(frozen=True)
class BookPage:
    """One page: its name on the ribbon, its blocks, and what its fields and buttons do.

    Attributes:
        name: as it stands on the ribbon.
        blocks: the page for a desk, in reading order.
        fields: the fields that the page begins with, from what is in the book already.
        unkept: the actions that put on record what has been written and not kept yet.
        buttons: what pressing does, by name, the sheet of graph paper included.
        returned: what the return key does in a field that is not named in `buttons`.
        neighbour: the field that an arrow key goes to from the edge of a field; None stays.
        rewritten: what pressing makes of a field's words, by name; as when somebody types, they
            are kept when the field is left.

    """

    name: str
    blocks: Callable[[Desk], tuple[Block, ...]]
    fields: Callable[[State], Mapping[str, TextLine]]
    unkept: Callable[[Desk], list[act.Action]]
    buttons: Mapping[str, Callable[[Desk], Step]]
    returned: Callable[[Desk, str], Step]
    neighbour: Callable[[str, Motion], str | None] = lambda _, __: None
    rewritten: Mapping[str, Callable[[Desk], Desk]] = field(default_factory=dict)

    def kept(self, desk: Desk) -> Step:
        """Put on record what has been written and not kept yet."""
        actions = self.unkept(desk)
        return done(desk, *actions) if actions else Step(desk)

    def pressed(self, desk: Desk, name: str) -> Step:
        """What a button does, or the return key in a field; what is written is kept first."""
        if name in self.rewritten:
            return Step(self.rewritten[name](desk))
        return self.kept(desk).then(lambda kept: self._pressed_on(kept, name))

    def _pressed_on(self, desk: Desk, name: str) -> Step:
        if name == field_name(self.name, FEEDBACK):
            return done(desk, act.AskForFeedback(self.name))
        return self.buttons[name](desk) if name in self.buttons else self.returned(desk, name)


QUESTION = (
    "The question: how does the temperature of the ball change the height to which it rebounds?"
)
"""What the whole practical is to find out."""
SHORT = 14
"""Letters that a quantity with its unit needs."""
NOTHING_DRAWN: MappingProxyType[str, str] = MappingProxyType({})


def questions_of(page: str) -> tuple[Question, ...]:
    """The questions of a page, in their order."""
    return registry.QUESTIONS_OF[page]


def field_name(page: str, name: str) -> str:
    """The name by which a page's field or button is known."""
    return f"{page}.{name}"


def question_fields(
    state: State, page: str, otherwise: MappingProxyType[str, str] = NOTHING_DRAWN
) -> dict[str, TextLine]:
    """A field for each question of a page, holding its answer as far as there is one.

    `otherwise` says what stands in the field of a question that has no answer in words.
    """
    answers = state.book.answers
    return {
        field_name(page, asked.name): _kind(asked).holding(
            answers.get((page, asked.name), otherwise.get(asked.name, ""))
        )
        for asked in questions_of(page)
    }


def _kind(asked: Question) -> type[TextLine]:
    """What an answer is written in; a bare number is read by the bench itself."""
    if asked.answer.form in ("sentences", "choice"):
        return TextArea
    return NumberField if asked.answer == NUMBER else TextLine


def question_box(desk: Desk, asked: Question) -> FieldBox:
    """A question on the page, with as much room as the registry gives it."""
    name = field_name(asked.page, asked.name)
    letters = SHORT if asked.answer.form in ("quantity", "number") else None
    return FieldBox(name, desk.fields[name], asked.words, letters, asked.room.screen)


def unkept_answers(desk: Desk, page: str) -> list[act.Action]:
    """Every answer that differs from the book's, to be written into the book.

    A sentence to finish is no answer before its last gap is filled.
    """
    written = desk.state.book.answers
    texts = {
        one.name: text
        for one in questions_of(page)
        for text in (desk.fields[field_name(page, one.name)].text,)
        if one.frame is None or not one.frame.is_open(text)
    }
    return [
        act.WriteAnswer(page, name, text)
        for name, text in texts.items()
        if text != written.get((page, name), "")
    ]


def plan_blocks(desk: Desk) -> tuple[Block, ...]:
    """What the record's class set asks for; nothing where there is no such plan."""
    plan = desk.state.setup.plan
    return () if plan is None else (Words(plan_sentence(plan)),)


def ruled(cells: Sequence[tuple[Cell, ...]]) -> TableBox:
    """A table whose first row holds the headings."""
    return TableBox(cells[0], tuple(TableRow(row) for row in cells[1:]))


def written_table(book: Book, while_empty: str = "") -> tuple[Block, ...]:
    """The results table as it stands in the book, to look at from another page."""
    title = Words("Your results table", "part")
    if not book.cells:
        return (title, Words(while_empty)) if while_empty else ()
    rows = max(row for row, _ in book.cells) + 1
    columns = max(column for _, column in book.cells) + 1
    texts = [
        tuple(book.cells.get((row, column), "") for column in range(columns)) for row in range(rows)
    ]
    return (title, ruled(texts))


def gone_on(desk: Desk, page: str, name: str, last: str) -> Step:
    """The return key in a question's field goes on to the next one, from the last to `last`."""
    names = (*(field_name(page, asked.name) for asked in questions_of(page)), last)
    at = names.index(name) if name in names else -1
    return Step(desk.at(names[min(at + 1, len(names) - 1)]))


FEEDBACK = "feedback"
ASK = "Ask for feedback"
NUDGES = "The first time it says where to look. Asked again, it shows the step."
STEPS = "The steps are shown now."
STALE = "It tells of what stood here when you asked."
NOTHING = "There is nothing on this page to say anything about yet."


def feedback_blocks(desk: Desk, page: str) -> tuple[Block, ...]:
    """The button, and what feedback said when it was last pressed."""
    button = ButtonBox(field_name(page, FEEDBACK), ASK)
    if page not in desk.remarks:
        return (button,)
    tries, remarks = desk.state.book.tries.get(page, 0), desk.remarks[page]
    title = Words(f"Feedback, try {tries}", "part")
    if not remarks:
        return (button, title, Words(NOTHING))
    told = Words(f"{NUDGES if tries < TRIES_FOR_THE_STEP else STEPS} {STALE}", "note")
    return (button, title, told, *(Words(text) for text in _said(remarks, tries)))


def _said(remarks: tuple[Remark, ...], tries: int) -> list[str]:
    """A paragraph for each remark: what is not right yet first, then what is.

    What is said of several alike, as of a table that is still empty, is said once.
    """
    ordered = sorted(remarks, key=lambda remark: remark.verdict.earns)
    return list(dict.fromkeys(_sentence(remark, tries) for remark in ordered))


def _sentence(remark: Remark, tries: int) -> str:
    verdict = f"{remark.verdict.sign} {remark.verdict.value.capitalize()}"
    where = f" ({remark.where})" if remark.where else ""
    shown = tries >= TRIES_FOR_THE_STEP and remark.worked
    told = remark.worked if shown else remark.nudge
    if remark.verdict is Verdict.RIGHT:
        # A nudge for what is right only says something of what stood beside it.
        told = f"{remark.asks}. {remark.nudge}" if remark.nudge else remark.asks
    return f"{verdict}{where}: {told or remark.asks}"
