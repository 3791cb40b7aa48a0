"""From pygame's events to intents: one table of keys, which the help leaf reads as well."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import pygame

from sim.bench.model import intents as want
from sim.bench.model.desk import BENCH, Desk
from sim.bench.model.pages import PAGES
from sim.bench.ui.fields import (
    Cut,
    Edit,
    Erase,
    Motion,
    Move,
    Paste,
    Reach,
    SelectAll,
    TextLine,
    Typed,
)
from sim.bench.ui.graph_paper import PAPER

SMALL_POUR_KG = 0.010
FINE_M, COARSE_M = 0.001, 0.01
EYE_FINE_M, EYE_COARSE_M = 0.01, 0.10
WHEEL_PX = 48
SHIFT, CONTROL, ALT = pygame.KMOD_SHIFT, pygame.KMOD_CTRL, pygame.KMOD_ALT


class Key(NamedTuple):
    """A key at the apparatus: its code, the modifier it needs, its wish, and its help."""

    code: int
    modifier: int
    intent: want.Intent
    name: str
    help: str


K = pygame
BENCH_KEYS: tuple[Key, ...] = (
    Key(K.K_h, 0, want.Pour("hot"), "H", "pour 50 ml from the kettle"),
    Key(K.K_h, SHIFT, want.Pour("hot", SMALL_POUR_KG), "Shift+H", "pour 10 ml from the kettle"),
    Key(K.K_h, ALT, want.Pour("hot", carefully=False), "Alt+H", "pour in a hurry"),
    Key(K.K_c, 0, want.Pour("cold"), "C", "pour 50 ml from the jug"),
    Key(K.K_c, SHIFT, want.Pour("cold", SMALL_POUR_KG), "Shift+C", "pour 10 ml from the jug"),
    Key(K.K_c, ALT, want.Pour("cold", carefully=False), "Alt+C", "pour in a hurry"),
    Key(K.K_x, 0, want.Pour("away"), "X", "pour 50 ml away"),
    Key(K.K_b, 0, want.MoveBall("water"), "B", "ball into the beaker"),
    Key(K.K_t, 0, want.MoveBall("towel"), "T", "lift the ball out and dry it"),
    Key(K.K_r, 0, want.MoveBall("rule"), "R", "ball to the rule, with tongs"),
    Key(K.K_f, 0, want.MoveBall("rule", with_tongs=False), "F", "the same with bare fingers"),
    Key(K.K_UP, 0, want.MoveHand(FINE_M), "↑ ↓", "hand up or down by 1 mm"),
    Key(K.K_DOWN, 0, want.MoveHand(-FINE_M), "", ""),
    Key(K.K_UP, SHIFT, want.MoveHand(COARSE_M), "Shift+↑ ↓", "the same by 1 cm"),
    Key(K.K_DOWN, SHIFT, want.MoveHand(-COARSE_M), "", ""),
    Key(K.K_PAGEUP, 0, want.MoveEye(EYE_FINE_M), "Page ↑ ↓", "eye up or down by 1 cm"),
    Key(K.K_PAGEDOWN, 0, want.MoveEye(-EYE_FINE_M), "", ""),
    Key(K.K_PAGEUP, SHIFT, want.MoveEye(EYE_COARSE_M), "Shift+Page ↑ ↓", "the same by 10 cm"),
    Key(K.K_PAGEDOWN, SHIFT, want.MoveEye(-EYE_COARSE_M), "", ""),
    Key(K.K_SPACE, 0, want.LetGo(), "Space", "let go of the ball"),
    Key(K.K_w, 0, want.WipeUp(), "W", "wipe the floor"),
    Key(K.K_s, 0, want.TurnStopwatch(), "S", "stopwatch: quicker soaking"),
    Key(K.K_k, 0, want.UseCamera(), "K", "camera to eye level, or away"),
    Key(K.K_k, SHIFT, want.ChangeRate(), "Shift+K", "camera: 60 or 240 frames/s"),
    Key(K.K_COMMA, 0, want.TurnFrames(-1), ", .", "camera: step the frames"),
    Key(K.K_PERIOD, 0, want.TurnFrames(1), "", ""),
    Key(K.K_a, 0, want.UseAid(), "A", "reading aid on or off"),
)
HALF, FIVE, TENTH = 0.5, 5.0, 0.1
"""How far the pencil goes on the graph paper, in small squares."""
PAPER_KEYS: tuple[Key, ...] = (
    Key(K.K_LEFT, 0, want.MovePencil(-HALF, 0.0), "← → ↑ ↓", "graph: half a small square"),
    Key(K.K_RIGHT, 0, want.MovePencil(HALF, 0.0), "", ""),
    Key(K.K_UP, 0, want.MovePencil(0.0, HALF), "", ""),
    Key(K.K_DOWN, 0, want.MovePencil(0.0, -HALF), "", ""),
    Key(K.K_LEFT, SHIFT, want.MovePencil(-FIVE, 0.0), "Shift+arrow", "graph: five small squares"),
    Key(K.K_RIGHT, SHIFT, want.MovePencil(FIVE, 0.0), "", ""),
    Key(K.K_UP, SHIFT, want.MovePencil(0.0, FIVE), "", ""),
    Key(K.K_DOWN, SHIFT, want.MovePencil(0.0, -FIVE), "", ""),
    Key(K.K_LEFT, ALT, want.MovePencil(-TENTH, 0.0), "Alt+arrow", "graph: a tenth of one"),
    Key(K.K_RIGHT, ALT, want.MovePencil(TENTH, 0.0), "", ""),
    Key(K.K_UP, ALT, want.MovePencil(0.0, TENTH), "", ""),
    Key(K.K_DOWN, ALT, want.MovePencil(0.0, -TENTH), "", ""),
    Key(K.K_SPACE, 0, want.Press(), "Return, Space", "graph: put the pencil down"),
    Key(K.K_DELETE, 0, want.RubOut(), "Delete", "graph: rub a cross out"),
    Key(K.K_BACKSPACE, 0, want.RubOut(), "", ""),
    Key(K.K_PLUS, 0, want.ZoomPaper(1), "+ −", "graph: closer, further"),
    Key(K.K_EQUALS, 0, want.ZoomPaper(1), "", ""),
    Key(K.K_PLUS, SHIFT, want.ZoomPaper(1), "", ""),
    Key(K.K_EQUALS, SHIFT, want.ZoomPaper(1), "", ""),
    Key(K.K_KP_PLUS, 0, want.ZoomPaper(1), "", ""),
    Key(K.K_MINUS, 0, want.ZoomPaper(-1), "", ""),
    Key(K.K_KP_MINUS, 0, want.ZoomPaper(-1), "", ""),
)
EVERYWHERE: tuple[tuple[str, str], ...] = (
    ("Tab, Shift+Tab", "next or last field or button"),
    ("Return", "press; go on"),
    ("Esc", "back to the apparatus"),
    ("Ctrl+1 to 8", "a page of the book"),
    ("Ctrl + or −", "larger or smaller text"),
    ("F1, Ctrl+D", "this leaf; demonstration"),
)

_CARET: dict[int, tuple[Motion, Motion]] = {
    K.K_LEFT: (Motion.LEFT, Motion.WORD_LEFT),
    K.K_RIGHT: (Motion.RIGHT, Motion.WORD_RIGHT),
    K.K_UP: (Motion.UP, Motion.UP),
    K.K_DOWN: (Motion.DOWN, Motion.DOWN),
    K.K_HOME: (Motion.LINE_START, Motion.TEXT_START),
    K.K_END: (Motion.LINE_END, Motion.TEXT_END),
}
_ERASING: dict[int, tuple[Reach, Reach]] = {
    K.K_BACKSPACE: (Reach.BACK, Reach.WORD_BACK),
    K.K_DELETE: (Reach.FORWARD, Reach.WORD_FORWARD),
}
_LARGER = (K.K_PLUS, K.K_EQUALS, K.K_KP_PLUS)
_SMALLER = (K.K_MINUS, K.K_KP_MINUS)
_RETURN = (K.K_RETURN, K.K_KP_ENTER)


def intents_of(event: pygame.Event, desk: Desk) -> Iterable[want.Intent]:
    """The wishes that an event stands for at this desk: none, or one."""
    if event.type == pygame.QUIT:
        return (want.Leave(),)
    if event.type == pygame.TEXTINPUT:
        return (want.EditText(Typed(event.text)),) if writing(desk) else ()
    if event.type == pygame.MOUSEWHEEL:
        return (want.Scroll(-event.y * WHEEL_PX),)
    if event.type == pygame.KEYDOWN:
        found = _key(event, desk)
        return () if found is None else (found,)
    return _pointing(event)


def writing(desk: Desk) -> bool:
    """Whether letters go into a text."""
    return isinstance(desk.fields.get(desk.focus), TextLine) and not desk.help_open


def _pointing(event: pygame.Event) -> Iterable[want.Intent]:
    if event.type == pygame.MOUSEMOTION:
        return (want.Point("move", *event.pos),)
    if event.type in (pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP) and event.button == 1:
        down = event.type == pygame.MOUSEBUTTONDOWN
        return (want.Point("down" if down else "up", *event.pos),)
    return ()


def _key(event: pygame.Event, desk: Desk) -> want.Intent | None:
    everywhere = _key_everywhere(event)
    if everywhere is not None:
        return everywhere
    if desk.focus == BENCH:
        return _of_table(event, BENCH_KEYS)
    return _key_in_book(event, desk)


def _key_in_book(event: pygame.Event, desk: Desk) -> want.Intent | None:
    if event.key in _RETURN:
        return want.Press()
    if not writing(desk) and event.key == K.K_SPACE:
        return want.Press()
    if desk.focus == PAPER:
        return _of_table(event, PAPER_KEYS)
    edit = _editing(event, desk)
    if edit is not None:
        return want.EditText(edit)
    return _scrolling(event)


def _key_everywhere(event: pygame.Event) -> want.Intent | None:
    if event.key == K.K_TAB:
        return want.MoveFocus(-1 if event.mod & SHIFT else 1)
    plain: dict[int, want.Intent] = {K.K_F1: want.TurnHelp(), K.K_ESCAPE: want.Dismiss()}
    if event.key in plain:
        return plain[event.key]
    if not event.mod & CONTROL:
        return None
    if event.key in _LARGER or event.key in _SMALLER:
        return want.ScaleText(1 if event.key in _LARGER else -1)
    if event.key == K.K_d:
        return want.Demonstrate()
    page = event.key - K.K_1
    names = tuple(PAGES)
    return want.OpenPage(names[page]) if 0 <= page < len(names) else None


def _of_table(event: pygame.Event, table: tuple[Key, ...]) -> want.Intent | None:
    """The wish of a key that stands in a table."""
    if event.mod & CONTROL:
        return None
    held = next((m for m in (SHIFT, ALT) if event.mod & m), 0)
    keys = (key for key in table if key.code == event.key and key.modifier == held)
    found = next(keys, None)
    return found.intent if found is not None else None


def _editing(event: pygame.Event, desk: Desk) -> Edit | None:
    """What a key does to a text; `desk` tells what there is to cut or copy."""
    control, shift = bool(event.mod & CONTROL), bool(event.mod & SHIFT)
    if event.key in _CARET:
        return Move(_CARET[event.key][control], select=shift)
    if event.key in _ERASING:
        return Erase(_ERASING[event.key][control])
    if control:
        return _clipboard(event.key, desk)
    return None


def _clipboard(key: int, desk: Desk) -> Edit | None:
    """Copy, cut and paste go through the system's clipboard; copying changes nothing."""
    if key == K.K_a:
        return SelectAll()
    if key == K.K_v:
        return Paste(pygame.scrap.get_text())
    field = desk.fields.get(desk.focus)
    if key in (K.K_c, K.K_x) and isinstance(field, TextLine) and field.selected:
        pygame.scrap.put_text(field.selected)
        return Cut() if key == K.K_x else None
    return None


def _scrolling(event: pygame.Event) -> want.Intent | None:
    steps = {K.K_PAGEUP: -1, K.K_PAGEDOWN: 1}
    return want.Scroll(steps[event.key] * 8 * WHEEL_PX) if event.key in steps else None
