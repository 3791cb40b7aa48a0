"""A question of the exercise book: its words, its room, and the form that its answer has."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

from analysis.quantity.units import plain

if TYPE_CHECKING:
    from analysis.marking.frames import SentenceFrame
    from analysis.marking.right_answers import RightAnswer
    from analysis.marking.study import Study
    from analysis.quantity.written import AnswerKind


class AnswerForm(NamedTuple):
    """What kind of answer is asked for.

    `form`: a number with its unit, a bare number, one of a few things, a few words on one line, or
    sentences over several lines. Of a number `quantity` is what `read_answer` takes it for, and
    `unit` is the unit that it is asked for in (a gradient's is that of its height).
    """

    form: Literal["quantity", "number", "choice", "words", "sentences"]
    quantity: AnswerKind | None = None
    unit: str = ""


WORDS, SENTENCES, CHOICE = AnswerForm("words"), AnswerForm("sentences"), AnswerForm("choice")
NUMBER, COUNT = AnswerForm("number"), AnswerForm("number", "count")
TEMPERATURE, GRADIENT = (
    AnswerForm("quantity", "temperature", "°C"),
    AnswerForm("quantity", "gradient", "cm"),
)
LENGTH, METRES, UNCERTAINTY = (
    AnswerForm("quantity", "length", "cm"),
    AnswerForm("quantity", "length", "m"),
    AnswerForm("quantity", "uncertainty", "cm"),
)
JOULES, PERCENTAGE = (
    AnswerForm("quantity", "energy", "J"),
    AnswerForm("quantity", "percentage", "%"),
)


class Room(NamedTuple):
    """Lines for an answer, on the screen and ruled on paper."""

    screen: int = 1
    paper: int = 1


ONE_LINE = Room()
A_CELL = Room(paper=0)
"""On paper a cell of a table, or the sheet of graph paper, is the room."""


@dataclass(frozen=True)
class Question:
    """One question of the exercise book.

    Attributes:
        page: page that it stands on.
        name: name that the record keeps; once on its page.
        words: the question as a student reads it, on screen and on paper.
        answer: kind of answer.
        right: an answer that earns the mark, or how a study of the student's own work gives it.
        marked_as: name of its criterion within the page, where that is another than its own.
        optional: whether nobody has to answer it, so that it has no criterion.
        room: room for the answer.
        hint: what the workbook says of conventions; never the answer.
        part: heading within its page that it stands under; "" for the first part.
        builds_on: names of earlier questions of its page that its answer cannot be judged without.
        own_work: what of the student's own readings or line its words are held against, where what
            is right of one student's may be wrong of another's.
        frame: a sentence to finish that may be its answer, for those who struggle to write one.

    """

    page: str
    name: str
    words: str
    answer: AnswerForm
    right: str | RightAnswer
    marked_as: str = ""
    optional: bool = False
    room: Room = ONE_LINE
    hint: str = ""
    part: str = ""
    builds_on: tuple[str, ...] = ()
    own_work: RightAnswer | None = None
    frame: SentenceFrame | None = None

    @property
    def criterion(self) -> str:
        """Name of the criterion that marks it; "" for none."""
        return "" if self.optional else f"{self.page.lower()}.{self.marked_as or self.name}"

    @property
    def names_temperature(self) -> bool:
        """Whether it asks about the temperature that the book, or the teacher, names."""
        return "named here" in self.words

    def held_against(self, study: Study) -> str:
        """What a student's own work says of the answer: of a number, the right one; "" for nothing.

        It is for a teacher who judges, never for the student.
        """
        if self.own_work is not None:
            return self.own_work(study)
        if self.answer.form not in ("quantity", "number") or isinstance(self.right, str):
            return ""
        right = self.right(study)
        at = f"at {plain(study.named_c, 1)} °C: " if self.names_temperature else ""
        return f"{at}{right}" if right else ""
