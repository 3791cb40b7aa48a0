"""From pygame's events to wishes: intents, and what the window alone does with page and pointer."""

from __future__ import annotations

from typing import NamedTuple

import pygame

from sim.bench.model import intents as want
from sim.bench.model.desk import BENCH, PAPER, Desk
from sim.bench.model.keys import Held, intent_of, writing
from sim.bench.screen.layout import Point
from sim.bench.ui.fields import Cut, Paste, Typed

WHEEL_PX = 48
_NAMES = {code: name[2:] for name, code in vars(pygame).items() if name.startswith("K_")}
"""What the table of keys calls a key, by pygame's number for it."""
_PAGE_KEYS = {pygame.K_PAGEUP: -8, pygame.K_PAGEDOWN: 8}
"""How many turns of the wheel a key is worth."""


class Scroll(NamedTuple):
    """Move the page up or down, in pixels at 100 % text."""

    by_px: int


def wish_of(event: pygame.Event, desk: Desk) -> want.Intent | Scroll | Point | None:
    """The wish that an event stands for at this desk, or None."""
    if event.type == pygame.QUIT:
        return want.Leave()
    if event.type == pygame.TEXTINPUT:
        return want.EditText(Typed(event.text)) if writing(desk) else None
    if event.type == pygame.MOUSEWHEEL:
        return Scroll(-event.y * WHEEL_PX)
    if event.type == pygame.KEYDOWN:
        return _key(event, desk)
    return _pointing(event)


def key_name(event: pygame.Event) -> str:
    """What the table of keys calls the key that went down."""
    return _NAMES.get(event.key, "")


def _key(event: pygame.Event, desk: Desk) -> want.Intent | Scroll | None:
    held = Held(
        shift=bool(event.mod & pygame.KMOD_SHIFT),
        control=bool(event.mod & pygame.KMOD_CTRL),
        alt=bool(event.mod & pygame.KMOD_ALT),
    )
    found = intent_of(key_name(event), held, desk)
    if found is not None or desk.focus in (BENCH, PAPER):
        return found
    if event.key in _PAGE_KEYS:
        return Scroll(_PAGE_KEYS[event.key] * WHEEL_PX)
    return _clipboard(event.key, desk) if held.control else None


def _clipboard(key: int, desk: Desk) -> want.Intent | None:
    """Copy, cut and paste go through the system's clipboard; copying changes nothing."""
    if key == pygame.K_v:
        return want.EditText(Paste(pygame.scrap.get_text()))
    field = desk.fields.get(desk.focus)
    if key in (pygame.K_c, pygame.K_x) and field is not None and field.selected:
        pygame.scrap.put_text(field.selected)
        return want.EditText(Cut()) if key == pygame.K_x else None
    return None


def _pointing(event: pygame.Event) -> Point | None:
    if event.type == pygame.MOUSEMOTION:
        return Point("move", event.pos)
    if event.type in (pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP) and event.button == 1:
        return Point("down" if event.type == pygame.MOUSEBUTTONDOWN else "up", event.pos)
    return None
