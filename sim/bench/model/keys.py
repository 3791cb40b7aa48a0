"""Which key stands for which intent: one table of keys, which the help leaf reads as well.

A key is known by its name, as keyboards and pygame call it: "h", "UP", "PAGEUP", "COMMA". A screen
brings what its own events are into these names.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from sim.bench.model import intents as want
from sim.bench.model.desk import BENCH, PAPER, Desk
from sim.bench.model.handling import FIVE_DEGREES_K, HALF_DEGREE_K
from sim.bench.ui.fields import Edit, Erase, Motion, Move, Reach, SelectAll

SMALL_POUR_KG = 0.010
FINE_M, COARSE_M = 0.001, 0.01
EYE_FINE_M, EYE_COARSE_M = 0.01, 0.10
Modifier = Literal["", "Shift", "Alt"]
SHIFT: Modifier = "Shift"
ALT: Modifier = "Alt"


class Held(NamedTuple):
    """The modifiers that are held down with a key."""

    shift: bool = False
    control: bool = False
    alt: bool = False


class Key(NamedTuple):
    """A key at the apparatus: its name, the modifier it needs, its wish, and its help.

    Keys that share a help stand under the first of them; `finger` says of each what it is, where it
    is no key but a button.
    """

    key: str
    modifier: Modifier
    intent: want.Intent
    name: str
    help: str
    finger: str = ""


BENCH_KEYS: tuple[Key, ...] = (
    Key("h", "", want.Pour("hot"), "H, Shift+H", "kettle: pour 50 ml, 10 ml", "50 ml"),
    Key("h", SHIFT, want.Pour("hot", SMALL_POUR_KG), "", "", "10 ml"),
    Key("c", "", want.Pour("cold"), "C, Shift+C", "jug: pour 50 ml, 10 ml", "50 ml"),
    Key("c", SHIFT, want.Pour("cold", SMALL_POUR_KG), "", "", "10 ml"),
    Key("h", ALT, want.Pour("hot", carefully=False), "Alt+H, Alt+C", "pour in a hurry", "hot"),
    Key("c", ALT, want.Pour("cold", carefully=False), "", "", "cold"),
    Key("x", "", want.Pour("away"), "X", "pour 50 ml away"),
    Key("d", "", want.TurnDial(FIVE_DEGREES_K), "D, Shift+D", "bath's dial: 5 °C up, down", "up"),
    Key("d", SHIFT, want.TurnDial(-FIVE_DEGREES_K), "", "", "down"),
    Key("e", "", want.TurnDial(HALF_DEGREE_K), "E, Shift+E", "bath's dial: 0.5 °C up, down", "up"),
    Key("e", SHIFT, want.TurnDial(-HALF_DEGREE_K), "", "", "down"),
    Key("m", "", want.PlaceThermometer(), "M", "thermometer to bath, back"),
    Key("b", "", want.MoveBall("beaker"), "B, V", "ball into the beaker, bath", "beaker"),
    Key("v", "", want.MoveBall("bath"), "", "", "bath"),
    Key("t", "", want.MoveBall("towel"), "T", "lift the ball out and dry it"),
    Key("r", "", want.MoveBall("rule"), "R", "ball to the rule, with tongs"),
    Key("f", "", want.MoveBall("rule", with_tongs=False), "F", "the same with bare fingers"),
    Key("UP", "", want.MoveHand(FINE_M), "↑ ↓", "hand up or down by 1 mm", "up"),
    Key("DOWN", "", want.MoveHand(-FINE_M), "", "", "down"),
    Key("UP", SHIFT, want.MoveHand(COARSE_M), "Shift+↑ ↓", "the same by 1 cm", "up"),
    Key("DOWN", SHIFT, want.MoveHand(-COARSE_M), "", "", "down"),
    Key(
        "PAGEUP", "", want.MoveEye(EYE_FINE_M), "Page ↑ ↓, L", "eye by 1 cm; to last reading", "up"
    ),
    Key("PAGEDOWN", "", want.MoveEye(-EYE_FINE_M), "", "", "down"),
    Key("l", "", want.LevelEye(), "", "", "to last reading"),
    Key("PAGEUP", SHIFT, want.MoveEye(EYE_COARSE_M), "Shift+Page ↑ ↓", "the same by 10 cm", "up"),
    Key("PAGEDOWN", SHIFT, want.MoveEye(-EYE_COARSE_M), "", "", "down"),
    Key("SPACE", "", want.LetGo(), "Space", "let go"),
    Key("n", "", want.WriteDown(), "N", "write it down"),
    Key("w", "", want.WipeUp(), "W", "wipe the floor"),
    Key("s", "", want.HastenWait(), "S", "soak or bath 20 times as fast"),
    Key("k", "", want.UseCamera(), "K", "camera to eye level, or away"),
    Key("k", SHIFT, want.ChangeRate(), "Shift+K", "camera: 60 or 240 frames/s"),
    Key("COMMA", "", want.TurnFrames(-1), ", .", "camera: step the frames", "back"),
    Key("PERIOD", "", want.TurnFrames(1), "", "", "on"),
    Key("a", "", want.UseAid(), "A", "reading aid on or off"),
    Key("RIGHT", "", want.MoveAlong(1), "← →, Return", "to next thing; use it", "next"),
    Key("LEFT", "", want.MoveAlong(-1), "", "", "last"),
    Key("RETURN", "", want.UseThing(), "", "", "use"),
    Key("KP_ENTER", "", want.UseThing(), "", ""),
    Key("s", ALT, want.StillSteam(), "Alt+S", "steam: still, or rising"),
)


WRITTEN = {
    "UP": "↑",
    "DOWN": "↓",
    "LEFT": "←",
    "RIGHT": "→",
    "PAGEUP": "Page ↑",
    "PAGEDOWN": "Page ↓",
    "COMMA": ",",
    "PERIOD": ".",
    "PLUS": "+",
    "MINUS": "−",
}
"""What is written on keys that have a name here; on others it is their name itself."""


def key_words(key: Key) -> str:
    """What is written on a key, after the one that is held down with it."""
    on_it = WRITTEN.get(key.key, key.key.capitalize())
    return f"{key.modifier}+{on_it}" if key.modifier else on_it


def key_for(intent: want.Intent | None) -> str:
    """What is written on the key at the bench that stands for a wish; nothing where none does."""
    key = next((key for key in BENCH_KEYS if key.intent == intent), None)
    return "" if key is None else key_words(key)


HALF, FIVE, TENTH = 0.5, 5.0, 0.1
"""How far the pencil goes on the graph paper, in small squares."""
PAPER_KEYS: tuple[Key, ...] = (
    Key("LEFT", "", want.MovePencil(-HALF, 0.0), "← → ↑ ↓", "graph: half a small square", "left"),
    Key("RIGHT", "", want.MovePencil(HALF, 0.0), "", "", "right"),
    Key("UP", "", want.MovePencil(0.0, HALF), "", "", "up"),
    Key("DOWN", "", want.MovePencil(0.0, -HALF), "", "", "down"),
    Key(
        "LEFT",
        SHIFT,
        want.MovePencil(-FIVE, 0.0),
        "Shift+arrow",
        "graph: five small squares",
        "left",
    ),
    Key("RIGHT", SHIFT, want.MovePencil(FIVE, 0.0), "", "", "right"),
    Key("UP", SHIFT, want.MovePencil(0.0, FIVE), "", "", "up"),
    Key("DOWN", SHIFT, want.MovePencil(0.0, -FIVE), "", "", "down"),
    Key("LEFT", ALT, want.MovePencil(-TENTH, 0.0), "Alt+arrow", "graph: a tenth of one", "left"),
    Key("RIGHT", ALT, want.MovePencil(TENTH, 0.0), "", "", "right"),
    Key("UP", ALT, want.MovePencil(0.0, TENTH), "", "", "up"),
    Key("DOWN", ALT, want.MovePencil(0.0, -TENTH), "", "", "down"),
    Key("SPACE", "", want.Press(), "Return, Space", "graph: put the pencil down"),
    Key("DELETE", "", want.RubOut(), "Delete", "graph: rub a cross out"),
    Key("BACKSPACE", "", want.RubOut(), "", ""),
    Key("PLUS", "", want.ZoomPaper(1), "+ −", "graph: closer, further", "closer"),
    Key("EQUALS", "", want.ZoomPaper(1), "", ""),
    Key("PLUS", SHIFT, want.ZoomPaper(1), "", ""),
    Key("EQUALS", SHIFT, want.ZoomPaper(1), "", ""),
    Key("KP_PLUS", "", want.ZoomPaper(1), "", ""),
    Key("MINUS", "", want.ZoomPaper(-1), "", "", "further"),
    Key("KP_MINUS", "", want.ZoomPaper(-1), "", ""),
)
EVERYWHERE: tuple[tuple[str, str], ...] = (
    ("Tab, Shift+Tab", "next or last field or button"),
    ("Return", "press; go on"),
    ("Esc, Ctrl+Z", "to the bench; undo writing"),
    ("Ctrl + or −", "larger or smaller text"),
    ("F2, F11", "the bench in words; whole screen"),
)
IN_A_WINDOW: tuple[tuple[str, str], ...] = (("F1, Ctrl+D", "this leaf; demonstration"),)
IN_A_BROWSER: tuple[tuple[str, str], ...] = (("F1", "this leaf"),)
"""The demonstration is the window's alone."""

HELP_TITLE = "What the keys do"
WITH_THE_MOUSE = (
    "Drag the kettle or the jug to the beaker; the ball to beaker, bath, towel or rule; the "
    "thermometer across; the beaker aside to empty it; the eye; the bath's dial. Click its + or −, "
    "the held ball to let go, stopwatch, camera. A vessel swung too fast spills."
)

WITH_A_FINGER = (
    "Tap a thing to use it. Or drag: the kettle or the jug to the beaker; the ball to beaker, "
    "bath, towel or rule; the thermometer across; the beaker aside to empty it; the bath's dial up "
    "for warmer, down for cooler water; the held ball up and down; the eye, or what the lens shows "
    "for fine steps. Tap the held ball to let go. A vessel swung too fast spills. All else, and "
    "finer steps, are buttons below the things."
)


def page_key(number: int | str, *, in_browser: bool) -> str:
    """What opens a page of the book by its number; a browser keeps Ctrl and a digit for itself."""
    return f"Esc, then {number}" if in_browser else f"Ctrl+{number}"


def help_texts(*, in_browser: bool = False) -> tuple[tuple[str, str], ...]:
    """Keys and what they do, the apparatus first, then the graph paper."""
    keys = (*BENCH_KEYS, *PAPER_KEYS)
    return (
        *((key.name, key.help) for key in keys if key.name),
        *EVERYWHERE,
        (page_key("0 to 9", in_browser=in_browser), "the card; a page of the book"),
        *(IN_A_BROWSER if in_browser else IN_A_WINDOW),
    )


_CARET: dict[str, tuple[Motion, Motion]] = {
    "LEFT": (Motion.LEFT, Motion.WORD_LEFT),
    "RIGHT": (Motion.RIGHT, Motion.WORD_RIGHT),
    "UP": (Motion.UP, Motion.UP),
    "DOWN": (Motion.DOWN, Motion.DOWN),
    "HOME": (Motion.LINE_START, Motion.TEXT_START),
    "END": (Motion.LINE_END, Motion.TEXT_END),
}
_ERASING: dict[str, tuple[Reach, Reach]] = {
    "BACKSPACE": (Reach.BACK, Reach.WORD_BACK),
    "DELETE": (Reach.FORWARD, Reach.WORD_FORWARD),
}
_WITH_CONTROL: dict[str, want.Intent] = {"d": want.Demonstrate(), "z": want.UndoWriting()}
_LARGER = ("PLUS", "EQUALS", "KP_PLUS")
_SMALLER = ("MINUS", "KP_MINUS")
_RETURN = ("RETURN", "KP_ENTER")


def writing(desk: Desk) -> bool:
    """Whether letters go into a text."""
    return desk.focus in desk.fields and not desk.help_open


def intent_of(key: str, held: Held, desk: Desk) -> want.Intent | None:
    """The wish that a key stands for at this desk, or None."""
    everywhere = _everywhere(key, held)
    if everywhere is not None:
        return everywhere
    if desk.focus == BENCH:
        return _of_table(key, held, BENCH_KEYS) or _page_of(key, held)
    if key in _RETURN or (key == "SPACE" and not writing(desk)):
        return want.Press()
    if desk.focus == PAPER:
        return _of_table(key, held, PAPER_KEYS)
    edit = edit_of(key, held)
    return None if edit is None else want.EditText(edit)


def _everywhere(key: str, held: Held) -> want.Intent | None:
    if key == "TAB":
        return want.MoveFocus(-1 if held.shift else 1)
    plain: dict[str, want.Intent] = {
        "F1": want.TurnHelp(),
        "F2": want.TellState(),
        "F11": want.FillScreen(),
        "ESCAPE": want.Dismiss(),
    }
    if key in plain:
        return plain[key]
    if not held.control:
        return None
    if key in _LARGER or key in _SMALLER:
        return want.ScaleText(1 if key in _LARGER else -1)
    if key in _WITH_CONTROL:
        return _WITH_CONTROL[key]
    return want.OpenPage(int(key)) if key.isdecimal() else None


def _page_of(key: str, held: Held) -> want.Intent | None:
    """At the apparatus nothing is written, so a digit alone opens a page there."""
    return want.OpenPage(int(key)) if key.isdecimal() and not (held.control or held.alt) else None


def _of_table(key: str, held: Held, table: tuple[Key, ...]) -> want.Intent | None:
    """The wish of a key that stands in a table."""
    if held.control:
        return None
    modifier = "Shift" if held.shift else "Alt" if held.alt else ""
    found = (entry.intent for entry in table if (entry.key, entry.modifier) == (key, modifier))
    return next(found, None)


def edit_of(key: str, held: Held) -> Edit | None:
    """What a key does to a text, apart from the clipboard."""
    if key in _CARET:
        return Move(_CARET[key][held.control], select=held.shift)
    if key in _ERASING:
        return Erase(_ERASING[key][held.control])
    return SelectAll() if held.control and key == "a" else None
