"""The teacher's judging: one question at a time, one key for each answer, each word kept at once.

What is to be judged are the answers that the program left, and a sample of its credits. Where the
teacher finds one of the sample not right, every other credit of that question is to be judged too.
Nothing here draws or writes: `judging_after` gives what is the case after a wish, and what has to
be kept of it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from types import MappingProxyType
from typing import Any

from analysis.marking.work import Verdict
from sim.bench.model import intents as want
from sim.bench.model.keys import Held, edit_of
from sim.bench.ui.fields import Edit, TextLine, edited
from sim.bench.ui.theme import next_scale
from sim.classroom.answers import AUDIT, CREDITED, TO_JUDGE, AnswerGroup
from sim.classroom.corrections import WORD_OF, Correction, Corrections

VERDICT_OF = {word: verdict for verdict, word in WORD_OF.items()}
RIGHT, HALF, NOT_YET = WORD_OF[Verdict.RIGHT], WORD_OF[Verdict.HALF], WORD_OF[Verdict.WRONG]
LIST, REASON, BACK = "answers", "reason", "take back"
NO_REASON = TextLine()
FOCI = (LIST, REASON, RIGHT, HALF, NOT_YET, BACK)
"""What the Tab key goes through: the list of answers, the line for a reason, the buttons."""


@dataclass(frozen=True)
class GiveVerdict:
    """Judge the answer at hand; with `rest`, all that are still open of its question too."""

    word: str
    rest: bool = False


@dataclass(frozen=True)
class GoToAnswer:
    """Go to the next answer of the question (1) or the one before (-1)."""

    by: int


@dataclass(frozen=True)
class GoToQuestion:
    """Go to the next question (1) or the one before (-1)."""

    by: int


@dataclass(frozen=True)
class PickAnswer:
    """Go to an answer by its place among all."""

    place: int


@dataclass(frozen=True)
class TakeBack:
    """Undo what was given last."""


JudgingWish = (
    GiveVerdict
    | GoToAnswer
    | GoToQuestion
    | PickAnswer
    | TakeBack
    | want.MoveFocus
    | want.FocusOn
    | want.Press
    | want.EditText
    | want.ScaleText
    | want.Dismiss
    | want.Leave
)


@dataclass(frozen=True)
class ToKeep:
    """What has to go into the file of corrections, and what out of it (student, criterion)."""

    made: tuple[Correction, ...] = ()
    withdrawn: frozenset[tuple[int, str]] = frozenset()


@dataclass(frozen=True)
class Judging:
    """Where the judging stands.

    Attributes:
        answers: all that the class wrote, question by question.
        words: what the teacher said so far, by the place of the answer among all.
        at: place of the answer at hand.
        focus: what the keyboard is at, one of `FOCI`.
        reason: what the student is to be told with the next verdict.
        given: what each verdict given here took the place of, the latest last.
        trouble: why the last verdict could not be kept, or nothing.

    """

    answers: tuple[AnswerGroup, ...]
    words: Mapping[int, str] = field(default_factory=lambda: MappingProxyType({}))
    at: int = 0
    focus: str = LIST
    reason: TextLine = NO_REASON
    given: tuple[tuple[tuple[int, str], ...], ...] = ()
    text_scale: float = 1.0
    trouble: str = ""
    open: bool = True

    @cached_property
    def asked(self) -> tuple[int, ...]:
        """Places of the answers that are to be judged, in the order of the book."""
        doubted = {
            self.answers[place].criterion
            for place, word in self.words.items()
            if word != RIGHT and self.answers[place].standing in (AUDIT, CREDITED)
        }
        return tuple(
            place
            for place, one in enumerate(self.answers)
            if one.standing in TO_JUDGE or (one.standing == CREDITED and one.criterion in doubted)
        )

    @cached_property
    def here(self) -> tuple[int, ...]:
        """Places of the answers to the question at hand."""
        criterion = self.answers[self.at].criterion
        return tuple(place for place in self.asked if self.answers[place].criterion == criterion)

    @cached_property
    def still_open(self) -> tuple[int, ...]:
        """Places of the answers on which there is no word yet."""
        return tuple(place for place in self.asked if place not in self.words)

    @cached_property
    def questions(self) -> tuple[str, ...]:
        """The criteria that have answers to be judged, in the order of the book."""
        return tuple(dict.fromkeys(self.answers[place].criterion for place in self.asked))

    @property
    def writing(self) -> bool:
        """Whether letters go into the line for a reason."""
        return self.focus == REASON


def judging_of(
    answers: tuple[AnswerGroup, ...], kept: Corrections, text_scale: float = 1.0
) -> Judging | None:
    """The judging as a teacher finds it, at the first open answer; None with nothing to judge."""
    latest = {(one.student, one.criterion): one for one in kept.rows}
    words = {
        place: word for place, one in enumerate(answers) if (word := _said_before(one, latest))
    }
    judging = Judging(answers, MappingProxyType(words), text_scale=text_scale)
    if not judging.asked:
        return None
    return replace(judging, at=(judging.still_open or judging.asked)[0])


def _said_before(group: AnswerGroup, latest: Mapping[tuple[int, str], Correction]) -> str:
    """The teacher's word on an answer, where all who gave it have the same."""
    found = {
        WORD_OF.get(one.verdict, "")
        for student in group.students
        if (one := latest.get((student, group.criterion))) is not None
        and one.verdict is not None
        and (one.answer, one.builds_on) in (("", ""), (group.answer, group.builds_on))
        and one.own_work in ("", group.own_work)
    }
    everybody = all((student, group.criterion) in latest for student in group.students)
    if len(found) == 1 and everybody:
        return found.pop()
    return group.judged if group.judged in VERDICT_OF else ""


def judging_after(judging: Judging, wish: JudgingWish) -> tuple[Judging, ToKeep]:
    """The judging after a wish, and what has to be kept of it."""
    return _AFTER[type(wish)](replace(judging, trouble=""), wish)


AfterWish = tuple[Judging, ToKeep]
NOTHING = ToKeep()


def _give(judging: Judging, wish: GiveVerdict) -> AfterWish:
    rest = [place for place in judging.here if place not in judging.words] if wish.rest else []
    places = tuple(dict.fromkeys((judging.at, *rest)))
    replaced = tuple((place, judging.words.get(place, "")) for place in places)
    words = MappingProxyType({**judging.words, **dict.fromkeys(places, wish.word)})
    made = tuple(
        one for place in places for one in _made(judging.answers[place], wish.word, judging.reason)
    )
    given = (*judging.given, replaced)
    judged = replace(judging, words=words, given=given, reason=NO_REASON, focus=LIST)
    return replace(judged, at=_next_open(judged)), ToKeep(made)


def _made(group: AnswerGroup, word: str, reason: TextLine) -> list[Correction]:
    return [
        Correction(
            row=0,
            student=student,
            criterion=group.criterion,
            verdict=VERDICT_OF[word],
            reason=reason.text.strip(),
            answer=group.answer,
            builds_on=group.builds_on,
            own_work=group.own_work,
        )
        for student in group.students
    ]


def _next_open(judging: Judging) -> int:
    """The next open answer of the question, else of all; where none is left, the one at hand."""
    for places in (judging.here, judging.asked):
        waiting = [place for place in places if place not in judging.words]
        if waiting:
            return next((place for place in waiting if place > judging.at), waiting[0])
    return judging.at


def _take_back(judging: Judging, _: TakeBack) -> AfterWish:
    if not judging.given:
        return judging, NOTHING
    *earlier, last = judging.given
    words = dict(judging.words)
    made: list[Correction] = []
    withdrawn: set[tuple[int, str]] = set()
    for place, word in last:
        group = judging.answers[place]
        if word:
            words[place] = word
            made += _made(group, word, NO_REASON)
        else:
            del words[place]
            withdrawn |= {(student, group.criterion) for student in group.students}
    back = replace(
        judging, words=MappingProxyType(words), given=tuple(earlier), at=last[0][0], focus=LIST
    )
    return back, ToKeep(tuple(made), frozenset(withdrawn))


def _go_to_answer(judging: Judging, wish: GoToAnswer) -> AfterWish:
    at = judging.here.index(judging.at) + wish.by if judging.at in judging.here else 0
    place = judging.here[min(max(at, 0), len(judging.here) - 1)]
    return replace(judging, at=place, focus=LIST), NOTHING


def _go_to_question(judging: Judging, wish: GoToQuestion) -> AfterWish:
    now = judging.questions.index(judging.answers[judging.at].criterion)
    wanted = judging.questions[(now + wish.by) % len(judging.questions)]
    there = [place for place in judging.asked if judging.answers[place].criterion == wanted]
    waiting = [place for place in there if place not in judging.words]
    return replace(judging, at=(waiting or there)[0], focus=LIST), NOTHING


def _pick(judging: Judging, wish: PickAnswer) -> AfterWish:
    return replace(judging, at=wish.place, focus=LIST), NOTHING


def _move_focus(judging: Judging, wish: want.MoveFocus) -> AfterWish:
    focus = FOCI[(FOCI.index(judging.focus) + wish.by) % len(FOCI)]
    return replace(judging, focus=focus), NOTHING


def _focus_on(judging: Judging, wish: want.FocusOn) -> AfterWish:
    return replace(judging, focus=wish.name), NOTHING


def _press(judging: Judging, wish: want.Press) -> AfterWish:
    name = wish.name or judging.focus
    if name in VERDICT_OF:
        return _give(judging, GiveVerdict(name))
    if name == BACK:
        return _take_back(judging, TakeBack())
    return replace(judging, focus=LIST), NOTHING


def _edit_reason(judging: Judging, wish: want.EditText) -> AfterWish:
    return replace(judging, reason=edited(judging.reason, wish.edit)), NOTHING


def _scale(judging: Judging, wish: want.ScaleText) -> AfterWish:
    return replace(judging, text_scale=next_scale(judging.text_scale, wish.by)), NOTHING


def _dismiss(judging: Judging, _: want.Dismiss) -> AfterWish:
    """Back to the list; from there, out."""
    if judging.focus == LIST:
        return replace(judging, open=False), NOTHING
    return replace(judging, focus=LIST), NOTHING


_AFTER: dict[type, Callable[[Judging, Any], AfterWish]] = {
    GiveVerdict: _give,
    GoToAnswer: _go_to_answer,
    GoToQuestion: _go_to_question,
    PickAnswer: _pick,
    TakeBack: _take_back,
    want.MoveFocus: _move_focus,
    want.FocusOn: _focus_on,
    want.Press: _press,
    want.EditText: _edit_reason,
    want.ScaleText: _scale,
    want.Dismiss: _dismiss,
    want.Leave: lambda judging, _: (replace(judging, open=False), NOTHING),
}


_VERDICT_KEYS = {"r": RIGHT, "1": RIGHT, "h": HALF, "2": HALF, "n": NOT_YET, "3": NOT_YET}
_GOING: dict[str, JudgingWish] = {
    "DOWN": GoToAnswer(1),
    "UP": GoToAnswer(-1),
    "RIGHT": GoToQuestion(1),
    "LEFT": GoToQuestion(-1),
    "u": TakeBack(),
    "BACKSPACE": TakeBack(),
    "t": want.FocusOn(REASON),
    "SPACE": want.Press(),
}
_EVERYWHERE: dict[str, JudgingWish] = {
    "ESCAPE": want.Dismiss(),
    "RETURN": want.Press(),
    "KP_ENTER": want.Press(),
}
_WITH_CONTROL: dict[str, JudgingWish] = {
    **dict.fromkeys(("PLUS", "EQUALS", "KP_PLUS"), want.ScaleText(1)),
    **dict.fromkeys(("MINUS", "KP_MINUS"), want.ScaleText(-1)),
}
KEYS_HELP = (
    "R or 1: right. H or 2: half. N or 3: not yet. With Shift: all still open of this question.",
    "↓ ↑: next answer, the one before. → ←: next question, the one before.",
    "T: what to tell the student. U: take back. Tab: the buttons. Page ↑ ↓: this page. "
    "Ctrl + or −: text. Esc: close; all is kept.",
)


def judging_wish(key: str, held: Held, judging: Judging) -> JudgingWish | None:
    """The wish that a key stands for, as keyboards name it, or None."""
    if key == "TAB":
        return want.MoveFocus(-1 if held.shift else 1)
    everywhere = _EVERYWHERE.get(key) or (_WITH_CONTROL.get(key) if held.control else None)
    if everywhere is not None:
        return everywhere
    if judging.writing:
        edit: Edit | None = edit_of(key, held)
        return None if edit is None else want.EditText(edit)
    return None if held.control else _of_list(key, held)


def _of_list(key: str, held: Held) -> JudgingWish | None:
    if key in _VERDICT_KEYS:
        return GiveVerdict(_VERDICT_KEYS[key], rest=held.shift)
    return _GOING.get(key)
