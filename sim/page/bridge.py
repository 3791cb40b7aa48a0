"""The model's side of the page: wishes come in as JSON, and what is to be shown goes out as JSON.

It runs in the browser's own Python, and the same in any other. What the person does arrives as a
small object with one of the keys of `_WISHES`; the answer holds everything that the page shows and
the lines that are new on the record.
"""

from __future__ import annotations

import base64
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Literal

import msgspec

from sim import actions as act
from sim.bench.model import intents as want
from sim.bench.model.after import PAGES, Wanted, after, desk_for, new_practical, page_of, passed_by
from sim.bench.model.along_bench import THINGS
from sim.bench.model.desk import BENCH, PAPER, Desk, Step
from sim.bench.model.handling import HURRIED_S, Onto, carried_onto, clicked
from sim.bench.model.hints import told
from sim.bench.model.in_words import what_changed
from sim.bench.model.keys import (
    BENCH_KEYS,
    PAPER_KEYS,
    WITH_A_FINGER,
    Held,
    Key,
    help_texts,
    intent_of,
)
from sim.bench.model.pages.first_and_last import BEGIN, START, on_card
from sim.bench.model.pages.graph_page import line_begins
from sim.bench.ui.blocks import with_refusal
from sim.bench.ui.fields import Cut, Paste, SelectAll, TextLine
from sim.page.lines import GOES_ON, RecordLines, begun, gone_on
from sim.page.values import Values, block_values, falling_values, scene_values, things_values
from sim.record.readings_file import readings_content, readings_path

LONGEST_FRAME_S = 0.25
"""A frame longer than this counts as so much: the bench slows rather than jumps."""
KEY_NAMES = {
    "ArrowUp": "UP",
    "ArrowDown": "DOWN",
    "ArrowLeft": "LEFT",
    "ArrowRight": "RIGHT",
    "PageUp": "PAGEUP",
    "PageDown": "PAGEDOWN",
    "Enter": "RETURN",
    "Escape": "ESCAPE",
    " ": "SPACE",
    ",": "COMMA",
    ".": "PERIOD",
    "+": "PLUS",
    "=": "EQUALS",
    "-": "MINUS",
}
"""What the table of keys calls a key, by the browser's name for it; others by their capitals."""
THE_BROWSERS_OWN = (want.FillScreen, want.ScaleText, want.MoveFocus, want.Demonstrate)
"""Wishes that a browser fulfils itself by its own keys, or uses their keys for something else."""


class Wish(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What the person did; one of these is given, with what belongs to it."""

    key: str | None = None
    shift: bool = False
    control: bool = False
    alt: bool = False
    focus: str | None = None
    thing: str | None = None
    press: str | None = None
    page: int | None = None
    edit: str | None = None
    text: str = ""
    click: str | None = None
    use: str | None = None
    carry: str | None = None
    onto: Onto = ""
    carried_s: float = 1.0
    letter: int | None = None
    leave: bool | None = None
    eye_m: float | None = None
    hand_m: float | None = None
    pencil: Literal["down", "move", "up"] | None = None
    place: tuple[float, float] = (0.0, 0.0)


ALWAYS = (want.WriteDown(),)
"""What every drop needs and no thing on the bench stands for: its button is always in sight."""
LETTERS = (*BENCH_KEYS, *PAPER_KEYS)
"""All keys that can be pressed as buttons, by their number."""
_wish = msgspec.json.Decoder(Wish)


class PageBench:
    """One practical on one page."""

    def __init__(self) -> None:
        """Nothing is begun yet: `begin` or `open` comes first."""
        self._desk: Desk
        self._record: RecordLines | None = None

    def begin(self, name: str, seed: str | None = None) -> str:
        """A new practical, its record to be called `name`; the answer has its opening line."""
        wanted = Wanted(folder=Path(), seed=None if seed is None else int(seed))
        desk = on_card(desk_for(new_practical(wanted)))
        self._record, line = begun(desk.state.setup)
        self._desk = replace(desk, saved_as=name)
        return self._answer(line)

    def open(self, content: str, name: str) -> str:
        """Go on with a record, given as base64; raises RecordRefused in one sentence.

        The answer's lines are all that could be believed of it.
        """
        self._record, good, record = gone_on(base64.b64decode(content), name)
        desk = replace(desk_for(record.end), saved_as=name)
        words = " ".join(record.notices)
        desk = desk.saying(words) if words else desk
        self._desk = desk if record.end.time_s else on_card(desk)
        return self._answer(good)

    def do(self, wish: str) -> str:
        """Do what the person wished for."""
        wanted, before = _wish.decode(wish), self._desk
        intents = _intents(wanted, self._desk)
        lines = b"".join(self._done(after(self._desk, intent)) for intent in intents)
        happened = what_changed(before, self._desk)
        wanted_file = self._desk.asked_for
        self._desk = replace(self._desk, asked_for="")
        return self._answer(
            lines,
            handled=bool(intents),
            saves=wanted_file == "record",
            file=_readings_file(self._desk) if wanted_file == "readings" else None,
            happened=happened,
        )

    def tick(self, time_s: float) -> str:
        """Let time pass; while the ball is in the air the answer has no more than that shows.

        `waited` says that no line tells of anything but time: a saved file lacks nothing then.
        """
        step = passed_by(self._desk, min(time_s, LONGEST_FRAME_S))
        lines = self._done(step)
        falling = falling_values(self._desk)
        if falling["in_the_air"] and not lines:
            return _json({"falling": falling})
        waited = all(isinstance(one, act.Wait) for one in step.actions)
        return _json(self._seen() | {"lines": lines.decode(), "waited": waited})

    def in_memory(self, why: str) -> str:
        """Say that the browser keeps nothing, or that it does again where `why` is empty."""
        self._desk = replace(self._desk, trouble=f"{why} {GOES_ON}" if why else "")
        return self._answer(b"")

    def _done(self, step: Step) -> bytes:
        before, self._desk = self._desk, step.desk
        if not step.actions or self._record is None:
            return b""
        self._record, lines, trouble = self._record.with_acts(before.state, step.actions)
        if trouble:
            self._desk = replace(self._desk, trouble=trouble)
        return lines

    def _seen(self) -> Values:
        note = told(self._desk)
        return {
            "scene": scene_values(self._desk),
            "note": {"text": note.text, "kind": note.kind},
        }

    def _answer(
        self,
        lines: bytes,
        *,
        handled: bool = True,
        saves: bool = False,
        file: Values | None = None,
        happened: str = "",
    ) -> str:
        desk, note = self._desk, told(self._desk)
        blocks = page_of(desk).blocks(desk)
        if note.kind == "refusal":
            blocks = with_refusal(blocks, desk.focus, note.text)
        return _json(
            self._seen()
            | {
                "page": desk.page,
                "focus": desk.focus,
                "blocks": [block_values(block) for block in blocks],
                "help": desk.help_open,
                "lines": lines.decode(),
                "handled": handled,
                "saves": saves,
                "file": file,
                "happened": happened,
            }
        )


def _readings_file(desk: Desk) -> Values:
    """The file of readings that a window keeps beside the record: its name, and its text."""
    path = readings_path(Path(desk.saved_as))
    return {"name": path.name, "text": readings_content(desk.state, path).decode()}


REHEARSED: tuple[Values, ...] = (
    {"press": BEGIN},
    *({"key": key} for key in ("h", "c", "c", "b", "t", "r", " ", "n", "Escape")),
    *({"page": page} for page in range(len(PAGES) + 1)),
)
"""The first drop, and every page opened."""


def rehearsal() -> Iterator[None]:
    """A practical that nobody sees, one act at a time, so that no act is slow the first time.

    It fills the tables that every ball of the box shares, and makes the browser compile what an
    act needs. What is drawn at random in another practical does not change by it.
    """
    bench = PageBench()
    bench.begin("rehearsal", "0")
    for wish in REHEARSED:
        yield
        bench.do(_json(wish))
        yield
        bench.tick(LONGEST_FRAME_S)


def contents() -> str:
    """What never changes on the page: its ribbons, the apparatus, and what the keys do."""
    return _json(
        {
            "pages": [START, *PAGES],
            "things": things_values(),
            "letters": _letters(BENCH_KEYS),
            "pencil": _letters(PAPER_KEYS),
            "help": help_texts(in_browser=True),
            "hands": WITH_A_FINGER,
            "bench": BENCH,
            "paper": PAPER,
        }
    )


def _letters(keys: tuple[Key, ...]) -> list[Values]:
    """Keys of a table as they can be pressed by a button; of several for one wish the first."""
    wishes = [key.intent for key in keys]
    return [
        {
            "key": f"{key.modifier}+{key.key}" if key.modifier else key.key,
            "number": LETTERS.index(key),
            "name": key.name,
            "help": key.help,
            "always": key.intent in ALWAYS,
        }
        for n, key in enumerate(keys)
        if key.intent not in wishes[:n]
    ]


def _json(values: Values) -> str:
    return msgspec.json.encode(values).decode()


def _intents(wish: Wish, desk: Desk) -> tuple[want.Intent, ...]:
    """What a wish of the page is to the model, one after another."""
    for name, meant in _WISHES.items():
        if getattr(wish, name) is not None:
            return tuple(one for one in meant(wish, desk) if one is not None)
    return ()


def _keyed(wish: Wish, desk: Desk) -> tuple[want.Intent | None, ...]:
    assert wish.key is not None
    name = KEY_NAMES.get(wish.key, wish.key.lower() if len(wish.key) == 1 else wish.key.upper())
    intent = intent_of(name, Held(wish.shift, wish.control, wish.alt), desk)
    return () if isinstance(intent, THE_BROWSERS_OWN) else (intent,)


def _along_to(thing: str, desk: Desk) -> tuple[want.Intent, ...]:
    """The focus on a thing of the apparatus."""
    names = list(THINGS)
    to_bench = () if desk.focus == BENCH else (want.FocusOn(BENCH),)
    if thing == desk.thing or thing not in names:
        return to_bench
    by = names.index(thing) - names.index(desk.thing) if desk.thing else names.index(thing) + 1
    return (*to_bench, *_steps(by, first=not desk.thing))


def _steps(by: int, *, first: bool) -> tuple[want.Intent, ...]:
    """From no thing the first step leads to the first one, and the rest from there."""
    if not first:
        return (want.MoveAlong(by),)
    return (want.MoveAlong(1), *((want.MoveAlong(by - 1),) if by > 1 else ()))


def _edited(wish: Wish, desk: Desk) -> tuple[want.Intent | None, ...]:
    """The whole text of a field, as the browser has it after an edit of its own."""
    assert wish.edit is not None
    field = desk.fields.get(wish.edit, TextLine())
    to_field = None if desk.focus == wish.edit else want.FocusOn(wish.edit)
    if field.text == wish.text:
        return (to_field,)
    change = Paste(wish.text) if wish.text else Cut()
    return (to_field, want.EditText(SelectAll()), want.EditText(change))


def _clicked(wish: Wish, desk: Desk) -> tuple[want.Intent | None, ...]:
    assert wish.click is not None
    meant = clicked(desk, wish.click)
    return _along_to(wish.click, desk) if meant is None else (meant,)


def _drawn(wish: Wish, desk: Desk) -> tuple[want.Intent | None, ...]:
    """The pencil where the pointer is; it is put down where that comes up, a line's end at once."""
    placed = want.PlacePencil(*wish.place)
    if wish.pencil == "move":
        return (placed,)
    puts_down = wish.pencil == "up" or line_begins(desk)
    return (want.FocusOn(PAPER), placed, want.Press(PAPER) if puts_down else None)


def _of_letter(intent: want.Intent) -> want.Intent:
    """What a letter pressed as a button wishes for; the pencil goes down wherever the focus is."""
    return want.Press(PAPER) if intent == want.Press() else intent


_WISHES: dict[str, Callable[[Wish, Desk], tuple[want.Intent | None, ...]]] = {
    "key": _keyed,
    "focus": lambda wish, desk: (
        () if wish.focus == desk.focus else (want.FocusOn(wish.focus or BENCH),)
    ),
    "thing": lambda wish, desk: _along_to(wish.thing or "", desk),
    "press": lambda wish, _: (want.Press(wish.press),),
    "page": lambda wish, _: (want.OpenPage(wish.page or 0),),
    "edit": _edited,
    "click": _clicked,
    "use": lambda wish, desk: (*_along_to(wish.use or "", desk), want.UseThing()),
    "carry": lambda wish, _: (
        carried_onto(wish.carry or "", wish.onto, carefully=wish.carried_s >= HURRIED_S),
    ),
    "letter": lambda wish, _: (_of_letter(LETTERS[wish.letter or 0].intent),),
    "leave": lambda _, __: (want.Leave(),),
    "eye_m": lambda wish, _: (want.PlaceEye(wish.eye_m or 0.0),),
    "hand_m": lambda wish, _: (want.PlaceHand(wish.hand_m or 0.0),),
    "pencil": _drawn,
}
