"""Whole exercise books for the tests, and the keys by which a student gets about in one."""

from functools import reduce

import pygame as K

from physics.reading import CAREFUL
from sim.bench.model.after import PAGES, desk_for
from sim.bench.screen.app import Bench
from sim.bench.ui.blocks import Words
from sim.practical import apply
from sim.procedure import Procedure
from sim.state import Setup
from sim.student import perform
from tests.bench.hands import Kept, key
from tests.bookwork import book_actions

SETUP = Setup(seed=4)
PERFORMED = perform(SETUP, Procedure(observer=CAREFUL))
WRITTEN = book_actions(PERFORMED.end)
FULL = reduce(apply, WRITTEN, PERFORMED.end)
ORDER = list(PAGES)


def sitting(state=PERFORMED.end):
    """A bench whose practical is done and whose book is as in `state`."""
    return Bench(K.Surface((1366, 768)), desk_for(state), Kept())


def open_page(at, page):
    key(at, K.K_1 + ORDER.index(page), K.KMOD_CTRL)
    assert at.desk.page == page


def said(at):
    """The paragraphs of the open page."""
    return [block.text for block in PAGES[at.desk.page].blocks(at.desk) if isinstance(block, Words)]


def focus(at, name):
    for _ in range(60):
        if at.desk.focus == name:
            return
        key(at, K.K_TAB)
    raise AssertionError(f"Tab does not come to {name}")


def write(at, name, words):
    focus(at, name)
    at.event(K.Event(K.TEXTINPUT, text=words))


def enter(at, name, words):
    """Come to a field by Tab and type into it."""
    focus(at, name)
    key(at, K.K_a, K.KMOD_CTRL)
    at.event(K.Event(K.TEXTINPUT, text=words))


def press(at, name):
    focus(at, name)
    key(at, K.K_RETURN)


def move(at, place):
    """Move the pencil's point by keys alone."""
    for way, forward, back in ((0, K.K_RIGHT, K.K_LEFT), (1, K.K_UP, K.K_DOWN)):
        for step, mod in ((5.0, K.KMOD_SHIFT), (0.5, 0), (0.1, K.KMOD_ALT)):
            off = place[way] - at.desk.pencil.point[way]
            times = int(abs(off) / step + 1e-9)
            for _ in range(times):
                key(at, forward if off > 0 else back, mod)
