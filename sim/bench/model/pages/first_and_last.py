"""The opening card and the last page: what is to be found out, and what is handed in at the end.

The card lies open first: the question, how long it takes, the pages in their order, and where the
file lies. The last page says what is still empty, and where the file is.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

from analysis.marking.questions import (
    CONCLUSION,
    ENERGY,
    EVALUATION,
    GRAPH,
    HAZARDS,
    METHOD,
    TABLE,
)
from analysis.marking.work import SIDES
from analysis.quantity.units import counted
from sim import actions as act
from sim.bench.model.desk import BENCH, ROUGH, Desk, Step, done
from sim.bench.model.keys import page_key
from sim.bench.model.pages.book_page import (
    QUESTION,
    BookPage,
    field_name,
    plan_blocks,
    questions_of,
)
from sim.bench.ui.blocks import Block, ButtonBox, TableBox, TableRow, Words
from sim.procedure import SHORT, WHOLE, Extent
from sim.record.readings_file import readings_path
from sim.state import State

START, HAND_IN = "Start", "Hand in"
CONTENTS = (
    (HAZARDS, "what could do harm, and what you do against it"),
    (METHOD, "what you change, measure and keep the same"),
    (ROUGH, "each reading, as soon as it is read"),
    (TABLE, "your readings in order, and their means"),
    (GRAPH, "axes, crosses and your line of best fit"),
    (CONCLUSION, "what your graph says"),
    (EVALUATION, "how good your readings are"),
    (ENERGY, "what the rebound says of energy"),
    (HAND_IN, "what is still empty, and where the file is"),
)
"""The pages of the book in their order, and what each is for."""
MINUTES: dict[Extent, int] = {WHOLE: 50, SHORT: 40}
"""How long a practical takes a pupil at the keyboard, as `tests/bench/test_hour.py` counts it."""
IN_SHORT = (
    "Warm the ball in water, lift it out and dry it, let it fall from the flag beside the rule, "
    "and read with your own eye how high its lowest point rebounds."
)
THE_CHOICE = (
    "The whole practical: {} temperatures with {} drops at each, about {} minutes with all pages. "
    "The short one: {} and {}, about {} minutes; its line rests on fewer readings."
)
HAND_IN_WORDS = (
    "Whatever you do is kept at once. To hand in, close this window and give in the file “{}”."
)
SAVE_WORDS = (
    "Whatever you do is kept at once in this browser, on this device alone. To hand in, save the "
    "file “{}” and give it in."
)
BESIDE = "Beside it stands “{}”: your readings as a table, for a spreadsheet."
NOT_KEPT = "No file is kept: see the words at the foot of the corner."
SAVED_TOO = (
    "“{}” has your readings as a table, for a spreadsheet. It is for yourself: hand in the other."
)
BEGIN, BEGIN_SHORT = field_name(START, "whole"), field_name(START, "short")
FOLDER, CARD = field_name(HAND_IN, "folder"), field_name(HAND_IN, "card")
READINGS = field_name(HAND_IN, "readings")


def _start_blocks(desk: Desk) -> tuple[Block, ...]:
    state = desk.state
    keys = page_key("", in_browser=desk.in_browser).strip()
    first = 1 if desk.by_finger else 0
    rows = tuple(
        TableRow((str(number), name, what)[first:])
        for number, (name, what) in enumerate(CONTENTS, start=1)
    )
    return (
        Words(START, "title"),
        Words(QUESTION),
        *plan_blocks(desk),
        *_beginnings(state),
        Words("What you do", "part"),
        Words(IN_SHORT),
        Words("The pages, in their order", "part"),
        TableBox((keys, "page", "what stands there")[first:], rows),
        Words("Your file", "part"),
        *_file_words(desk),
    )


def extent_settled(state: State) -> bool:
    """Whether a plan or a reading has settled how much is done, so that nothing is to choose."""
    return bool(state.rough) or state.setup.plan is not None


def _beginnings(state: State) -> tuple[Block, ...]:
    """The choice of how much is done, or one button where a plan or a reading has settled it."""
    if extent_settled(state):
        return (ButtonBox(BEGIN, "Go on" if state.time_s else "Begin"),)
    whole, short = (
        (extent.temperatures, extent.repeats, MINUTES[extent]) for extent in (WHOLE, SHORT)
    )
    return (
        Words(THE_CHOICE.format(*whole, *short)),
        ButtonBox(BEGIN, "The whole practical"),
        ButtonBox(BEGIN_SHORT, "The short one"),
    )


def _file_words(desk: Desk) -> tuple[Words, ...]:
    path = desk.kept_in
    if desk.in_browser:
        return (Words(SAVE_WORDS.format(desk.saved_as)),)
    if path is None:
        return (Words(NOT_KEPT),)
    return (
        Words(HAND_IN_WORDS.format(path.name)),
        Words(f"It lies in the folder {path.parent}"),
        Words(BESIDE.format(readings_path(path).name), "note"),
    )


def _begun(desk: Desk, *, short: bool) -> Step:
    """The length is chosen, and the book lies open at its first page, the hands free."""
    state = desk.state
    step = Step(desk) if extent_settled(state) else done(desk, act.ChooseExtent(short))
    first, _ = CONTENTS[0]
    page = ROUGH if state.rough else first
    return Step(replace(step.desk.at(BENCH), page=page), step.actions)


def on_card(desk: Desk) -> Desk:
    """The desk with the opening card before the student."""
    return replace(desk.at(BEGIN), page=START)


def _plain_page(
    name: str,
    blocks: Callable[[Desk], tuple[Block, ...]],
    buttons: dict[str, Callable[[Desk], Step]],
) -> BookPage:
    """A page on which nothing is written."""
    return BookPage(
        name,
        blocks,
        lambda _: MappingProxyType({}),
        unkept=lambda _: [],
        buttons=buttons,
        returned=lambda desk, _: Step(desk),
    )


START_PAGE = _plain_page(
    START,
    _start_blocks,
    {
        BEGIN: lambda desk: _begun(desk, short=False),
        BEGIN_SHORT: lambda desk: _begun(desk, short=True),
    },
)


def still_empty(state: State) -> tuple[tuple[str, str], ...]:
    """What is still empty, page by page: the page, and what is missing there."""
    missing: list[tuple[str, str]] = []
    for page, _ in CONTENTS:
        words = "; ".join(_missing(state, page))
        if words:
            missing.append((page, words))
    return tuple(missing)


def _missing(state: State, page: str) -> list[str]:
    book = state.book
    if page == ROUGH:
        return _readings_missing(state)
    if page == TABLE:
        return [] if book.cells else ["the whole table"]
    if page == GRAPH:
        drawn = {
            "axes": len(book.axes) == len(SIDES),
            "crosses": bool(book.crosses),
            "the line": bool(book.line),
        }
        return [what for what, there in drawn.items() if not there]
    asked = [one for one in questions_of(page) if not one.optional] if page != HAND_IN else []
    blank = sum(not book.answers.get((page, one.name), "").strip() for one in asked)
    return [f"{blank} of {len(asked)} answers"] if blank else []


def _readings_missing(state: State) -> list[str]:
    extent = state.extent
    wanted = extent.temperatures * extent.repeats
    standing = sum(line.struck_out is None for line in state.rough)
    words = []
    if standing < wanted:
        words.append(f"{counted(wanted - standing, 'reading')} of {wanted}")
    if state.line_missing:
        words.append("the line of the last drop")
    return words


def _hand_in_blocks(desk: Desk) -> tuple[Block, ...]:
    rows = tuple(TableRow(row) for row in still_empty(desk.state))
    empty: tuple[Block, ...] = (TableBox(("page", "what is missing"), rows),)
    return (
        Words(HAND_IN, "title"),
        Words("Still empty", "part"),
        *(empty if rows else (Words("Nothing: every page has something written on it."),)),
        Words("Your file", "part"),
        *_file_words(desk),
        ButtonBox(FOLDER, "Save the file" if desk.in_browser else "Open the folder"),
        *_readings_too(desk),
        ButtonBox(CARD, "The opening card"),
    )


def _readings_too(desk: Desk) -> tuple[Block, ...]:
    """In a browser nothing stands beside the record: the readings file is saved by a button."""
    if not desk.in_browser or not desk.state.rough:
        return ()
    name = readings_path(Path(desk.saved_as)).name
    return (Words(SAVED_TOO.format(name), "note"), ButtonBox(READINGS, "Save your readings"))


def _asking_for_record(desk: Desk) -> Step:
    there = desk.kept_in is not None or desk.in_browser
    return Step(replace(desk, asked_for="record" if there else ""))


HAND_IN_PAGE = _plain_page(
    HAND_IN,
    _hand_in_blocks,
    {
        FOLDER: _asking_for_record,
        READINGS: lambda desk: Step(replace(desk, asked_for="readings")),
        CARD: lambda desk: Step(on_card(desk)),
    },
)
