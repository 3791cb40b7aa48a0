"""What follows on an intent: the one door through which everything at the desk changes.

Here begins a desk too, as a student finds it: new, or going on with a record.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from importlib import import_module
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from analysis.marking.questions import ANSWERED, QUESTIONS_OF
from analysis.marking.work import Remark, Work
from physics.ball import Ball
from sim import actions as act
from sim.bench.model import intents as want
from sim.bench.model.along_bench import move_along, wish_with_thing
from sim.bench.model.desk import BENCH, ROUGH, Desk, Step, by_hand, done, passed
from sim.bench.model.handling import HANDLING
from sim.bench.model.in_words import in_words
from sim.bench.model.pages.book_page import BookPage
from sim.bench.model.pages.first_and_last import HAND_IN_PAGE, START, START_PAGE, on_card
from sim.bench.model.pages.graph_page import GRAPH_PAGE, PLOTTING
from sim.bench.model.pages.question_pages import (
    CONCLUSION_PAGE,
    ENERGY_PAGE,
    EVALUATION_PAGE,
    HAZARDS_PAGE,
    METHOD_PAGE,
)
from sim.bench.model.pages.readings_pages import ROUGH_PAGE, TABLE_PAGE, first_to_write
from sim.bench.ui.blocks import focus_order, next_name
from sim.bench.ui.fields import Cut, Motion, Move, SelectAll, TextLine, edited
from sim.bench.ui.theme import next_scale
from sim.bench.ui.wrapping import Lines
from sim.marking import asking_about, work_of
from sim.state import Setup, State, beginning

if TYPE_CHECKING:
    from analysis.marking.study import Study

Remarks = dict[str, tuple[Remark, ...]]
"""What was found, by page."""

PAGES: dict[str, BookPage] = {
    page.name: page
    for page in (
        HAZARDS_PAGE,
        METHOD_PAGE,
        ROUGH_PAGE,
        TABLE_PAGE,
        GRAPH_PAGE,
        CONCLUSION_PAGE,
        EVALUATION_PAGE,
        ENERGY_PAGE,
        HAND_IN_PAGE,
    )
}
"""The pages of the exercise book, in the order of their ribbons."""


def page_of(desk: Desk) -> BookPage:
    """The page that lies open: one of the book, or the opening card before them."""
    return START_PAGE if desk.page == START else PAGES[desk.page]


GOING_ON = by_hand(
    "Going on where the practical stopped. [F1 lists the keys.|Help tells what fingers do.]"
)
NOTHING_TO_TAKE_BACK = "nothing has been written that could be taken back."
STRUCK = by_hand(
    "The last reading is struck out; [N|a tap on “write it down”] writes the drop down anew."
)
AS_BEFORE = "The last writing is taken back; the record keeps both."
KEPT_EVERY_S = 3.0
"""What is being written goes on record so often, so that a crash loses no more."""


@dataclass(frozen=True)
class Wanted:
    """What the student asked for on the command line."""

    folder: Path
    record: Path | None = None
    new: bool = False
    ball: Ball | None = None
    seed: int | None = None
    text_scale: float = 1.0
    speaks: bool = False

    @property
    def begins_anew(self) -> bool:
        """Whether there is nothing to ask: a folder without a file has nothing to go on with."""
        if self.record is not None:
            return False
        return self.new or not (self.folder.is_dir() and any(self.folder.iterdir()))


def new_practical(wanted: Wanted) -> State:
    """The beginning of a new practical; it has no record yet."""
    seed = int.from_bytes(os.urandom(8)) if wanted.seed is None else wanted.seed
    return beginning(Setup(seed) if wanted.ball is None else Setup(seed, model=wanted.ball))


def desk_for(state: State, text_scale: float = 1.0) -> Desk:
    """A desk for a practical, the fields filled from what its book holds already."""
    fields: dict[str, TextLine] = {}
    for page in PAGES.values():
        fields.update(page.fields(state))
    desk = Desk(
        state=state,
        hand_m=state.setup.drop_height_m,
        eye_m=state.eye_height_m,
        text_scale=text_scale,
    ).writing(fields)
    return desk.saying(GOING_ON) if state.time_s else desk


def after(desk: Desk, intent: want.Intent, lines: Lines | None = None) -> Step:
    """The desk after an intent, and the actions that were done for it.

    `lines` are those of the field that has the focus, as they are shown: up and down go by them.
    """
    kind = type(intent)
    if desk.help_open and kind not in _UNDER_HELP:
        return _under_help(desk, intent)
    if isinstance(intent, want.EditText):
        return _edit_text(desk, intent, lines)
    return _AFTER[kind](desk, intent)


def passed_by(desk: Desk, time_s: float) -> Step:
    """Time passes on the wall, and every few seconds the open page keeps what is written."""
    step = passed(desk, time_s)
    if step.desk.clock_s // KEPT_EVERY_S == desk.clock_s // KEPT_EVERY_S:
        return step
    kept = step.then(page_of(step.desk).kept)
    return Step(replace(kept.desk, note=step.desk.note), kept.actions)


def _under_help(desk: Desk, intent: want.Intent) -> Step:
    """The help leaf lies on top: it goes at a key or a click, and lets nothing through."""
    return Step(replace(desk, help_open=not isinstance(intent, want.Dismiss | want.Press)))


def _open_page(desk: Desk, intent: want.OpenPage) -> Step:
    names = tuple(PAGES)
    if not 0 <= intent.number <= len(names):
        return Step(desk)
    step = page_of(desk).kept(desk)
    if intent.number == 0:
        return Step(on_card(step.desk), step.actions)
    page = names[intent.number - 1]
    return Step(replace(step.desk.at(BENCH), page=page), step.actions).then(_asked)


def _asked(desk: Desk) -> Step:
    """A temperature that the page names is named for good, so it goes on record."""
    if not any(one.names_temperature for one in QUESTIONS_OF.get(desk.page, ())):
        return Step(desk)
    action = asking_about(desk.state)
    return Step(desk) if action is None else done(desk, action)


def _take_back(desk: Desk, _: want.UndoWriting) -> Step:
    """The last writing is taken back; what is being written in a field counts as written."""
    line = desk.fields.get(desk.focus)
    if desk.page == ROUGH and line is not None and line.text:
        return Step(desk.writing({desk.focus: edited(edited(line, SelectAll()), Cut())}))
    step = page_of(desk).kept(desk)
    if not step.desk.written:
        return Step(step.desk.saying(NOTHING_TO_TAKE_BACK, "refusal"), step.actions)
    return step.then(_taken_back)


def _taken_back(desk: Desk) -> Step:
    *before, back = desk.written
    step = done(desk, back)
    fields: dict[str, TextLine] = {}
    for page in (page for name, page in PAGES.items() if name != ROUGH):
        fields.update(page.fields(step.desk.state))
    words = STRUCK if isinstance(back, act.StrikeReading) else AS_BEFORE
    now = replace(step.desk, written=tuple(before)).writing(fields)
    return Step(now.saying(words), step.actions)


def _write_down(desk: Desk, _: want.WriteDown) -> Step:
    """The rough page lies open at the field that the last drop is written in next."""
    opened = _open_page(desk, want.OpenPage(tuple(PAGES).index(ROUGH) + 1))
    name = first_to_write(opened.desk)
    field = edited(opened.desk.fields[name], SelectAll())
    return Step(opened.desk.at(name).writing({name: field}), opened.actions)


def _move_focus(desk: Desk, intent: want.MoveFocus) -> Step:
    order = (BENCH, *focus_order(page_of(desk).blocks(desk)))
    current = desk.focus if desk.focus in order else BENCH
    return _focus_on(desk, next_name(order, current, intent.by))


def _focus_on(desk: Desk, name: str) -> Step:
    step = page_of(desk).kept(desk)
    return Step(step.desk.at(name), step.actions)


def _press(desk: Desk, intent: want.Press) -> Step:
    name = intent.name or desk.focus
    return Step(desk) if name == BENCH else _marked_if_asked(page_of(desk).pressed(desk, name))


def _marked_if_asked(step: Step) -> Step:
    """Where feedback was asked for, the page is marked as it then stands on the record."""
    asked = [action.page for action in step.actions if isinstance(action, act.AskForFeedback)]
    if not asked:
        return step
    found, study = _marked(step.desk.study, work_of(step.desk.state), *asked)
    remarks = MappingProxyType({**step.desk.remarks, **found})
    return Step(replace(step.desk, remarks=remarks, study=study), step.actions)


def marking_ahead(desk: Desk) -> tuple[Desk, Iterator[Remark]]:
    """The desk with its work taken up anew, and the open page's remarks one by one.

    Feedback finds marked what was drawn of them.
    """
    markings, study = _markings(desk.study, work_of(desk.state), desk.page)
    return replace(desk, study=study), markings[desk.page]


def _marked(before: Study | None, work: Work, *pages: str) -> tuple[Remarks, Study]:
    """The remarks on pages of a work, some of which may have been marked `before`."""
    markings, study = _markings(before, work, *pages)
    return {page: tuple(marking) for page, marking in markings.items()}, study


def _markings(
    before: Study | None, work: Work, *pages: str
) -> tuple[dict[str, Iterator[Remark]], Study]:
    """The markings of pages, each to be drawn from; what stood so `before` is marked already."""
    # The first asking waits for these, no frame before.
    from analysis.marking.mark import page_marking
    from analysis.marking.study import Study

    study = before.again(work) if before else Study(work)
    return {page: page_marking(study, page) for page in pages}, study


_LOADED_FOR_MARKING = (
    "snowballstemmer",
    "rapidfuzz",
    "analysis.marking.sentences.language",
    "analysis.marking.sentences.claims",
    "analysis.marking.sentences.criteria",
    "analysis.statistics.trend",
    "analysis.marking.own_graph",
    "analysis.marking.study",
    "analysis.paper.document",
    "analysis.marking.mark",
)
"""What takes long to load, each after what it is built on."""


def get_ready_to_mark() -> Iterator[None]:
    """Load and read all that the first marking needs, and mark answers that are right, in pieces.

    Every list that a right answer is held against, and every question, is then known.
    """
    for name in _LOADED_FOR_MARKING:
        yield
        import_module(name)
    # The first frame waits for none of these.
    from analysis.marking.sentences.classifier import own_classifier
    from analysis.marking.sentences.criteria import own_criteria

    for file in (own_classifier, own_criteria):
        yield
        yield from file.beforehand()
    study, answers = None, {}
    for page in PAGES:
        yield
        _, study = _marked(study, Work(), page)
    for at, asked in ANSWERED.items():
        if isinstance(asked.right, str):
            yield
            answers[at] = asked.right
            _, study = _marked(study, Work(answers={**answers}), asked.page)


def _edit_text(desk: Desk, intent: want.EditText, lines: Lines | None) -> Step:
    field = desk.fields.get(desk.focus)
    if field is None:
        return Step(desk)
    changed = edited(field, intent.edit, lines)
    if changed is field and isinstance(intent.edit, Move):
        return _to_neighbour(desk, intent.edit.where)
    return Step(replace(desk.writing({desk.focus: changed}), composing=""))


def _to_neighbour(desk: Desk, way: Motion) -> Step:
    """An arrow that has no use within a field goes to the field beside it, where there is one."""
    beside = page_of(desk).neighbour(desk.focus, way)
    if beside is None or beside not in desk.fields:
        return Step(desk)
    return _focus_on(desk, beside)


def _scale_text(desk: Desk, intent: want.ScaleText) -> Step:
    scale = next_scale(desk.text_scale, intent.by)
    return Step(replace(desk, text_scale=scale).saying(f"Text at {scale * 100:.0f} %."))


def _use_thing(desk: Desk) -> Step:
    wish = wish_with_thing(desk)
    return Step(desk) if wish is None else after(desk, wish)


_UNDER_HELP = (want.TurnHelp, want.ScaleText, want.FillScreen, want.ChangeHands)
"""What is done under the help leaf, which stays."""
_AFTER: dict[type, Callable[[Desk, Any], Step]] = {
    **HANDLING,
    **PLOTTING,
    want.OpenPage: _open_page,
    want.MoveFocus: _move_focus,
    want.WriteDown: _write_down,
    want.UndoWriting: _take_back,
    want.FocusOn: lambda desk, wish: _focus_on(desk, wish.name),
    want.Press: _press,
    want.ScaleText: _scale_text,
    want.TurnHelp: lambda desk, _: Step(replace(desk, help_open=not desk.help_open)),
    want.Dismiss: lambda desk, _: _focus_on(replace(desk, thing=""), BENCH),
    want.MoveAlong: move_along,
    want.UseThing: lambda desk, _: _use_thing(desk),
    want.FillScreen: lambda desk, _: Step(desk),
    want.ChangeHands: lambda desk, wish: Step(replace(desk, by_finger=wish.by_finger)),
    want.TellState: lambda desk, _: Step(desk.saying(in_words(desk))),
    want.Demonstrate: lambda desk, _: Step(replace(desk, demonstrating=True)),
    want.Leave: lambda desk, _: page_of(desk).kept(desk),
}
