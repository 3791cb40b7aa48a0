"""What a person can wish for on the page, and what each wish is to the model.

A wish comes in as JSON: a small object with one of the keys of `_WISHES`, and what belongs to it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import msgspec

from analysis.quantity.units import kelvin
from sim.bench.model import intents as want
from sim.bench.model.along_bench import THINGS
from sim.bench.model.desk import BENCH, PAPER, Desk
from sim.bench.model.handling import HURRIED_S, Onto, carried_onto, clicked
from sim.bench.model.keys import BENCH_KEYS, PAPER_KEYS, Held, intent_of
from sim.bench.model.pages.graph_page import line_begins
from sim.bench.ui.fields import Cut, Paste, SelectAll, TextLine

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
    dial_c: float | None = None
    turn_k: float | None = None
    eye_m: float | None = None
    hand_m: float | None = None
    pencil: Literal["down", "move", "up"] | None = None
    place: tuple[float, float] = (0.0, 0.0)
    by_finger: bool | None = None
    """Whether the hands that did it are at the screen; None where that is not known."""


LETTERS = (*BENCH_KEYS, *PAPER_KEYS)
"""All keys that can be pressed as buttons, by their number."""
read_wish = msgspec.json.Decoder(Wish).decode
"""Raises msgspec.ValidationError for what is no wish."""


def hands_of(wish: Wish, desk: Desk) -> tuple[want.Intent, ...]:
    """The change of hands that a wish brings, where those that did it are others than before."""
    same = wish.by_finger is None or wish.by_finger == desk.by_finger
    return () if same else (want.ChangeHands(wish.by_finger is True),)


def intents_of(wish: Wish, desk: Desk) -> tuple[want.Intent, ...]:
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
    "dial_c": lambda wish, desk: (
        want.TurnDial(kelvin(wish.dial_c or 0.0) - desk.state.bath_setting_k),
    ),
    "turn_k": lambda wish, _: (want.TurnDial(wish.turn_k or 0.0),),
    "eye_m": lambda wish, _: (want.PlaceEye(wish.eye_m or 0.0),),
    "hand_m": lambda wish, _: (want.PlaceHand(wish.hand_m or 0.0),),
    "pencil": _drawn,
}
