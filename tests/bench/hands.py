"""Hands for the tests: keys and a mouse that work a bench through pygame's own events."""

import pygame

from sim.bench.model.after import desk_for
from sim.bench.model.desk import passed
from sim.bench.model.keeping import Keeper
from sim.bench.screen.app import Bench
from sim.bench.screen.layout import Layout
from sim.state import Setup, beginning


class Kept(Keeper):
    """A keeper that keeps the actions in a list, for the tests to look at."""

    def __init__(self):
        super().__init__(None)
        self.actions = []

    def keep(self, before, actions):
        self.actions.extend(actions)
        return ""


def bench(setup=None, size=(1366, 768), keeper=None):
    """A bench on a bare surface: no window is needed for what it does."""
    surface = pygame.Surface(size)
    desk = desk_for(beginning(setup or Setup(seed=3)))
    return Bench(surface, desk, keeper or Kept())


def wait(at, seconds):
    """Let time pass at sixty frames a second, without drawing them."""
    for _ in range(round(seconds * 60)):
        at._do(passed(at.desk, 1.0 / 60.0))


def key(at, code, mod=0):
    at.event(pygame.Event(pygame.KEYDOWN, key=code, mod=mod, unicode=""))


def keys(at, *codes):
    for code in codes:
        key(at, code)


def text(at, letters):
    """Type letters as the keyboard gives them."""
    for letter in letters:
        at.event(pygame.Event(pygame.TEXTINPUT, text=letter))


def mouse(at, what, point):
    kind = {"down": pygame.MOUSEBUTTONDOWN, "up": pygame.MOUSEBUTTONUP}.get(what)
    if kind is None:
        at.event(pygame.Event(pygame.MOUSEMOTION, pos=point, rel=(0, 0), buttons=(1, 0, 0)))
    else:
        at.event(pygame.Event(kind, pos=point, button=1))


def click(at, point):
    mouse(at, "down", point)
    mouse(at, "up", point)


def drag(at, start, end, seconds=1.0):
    """Take something up, carry it in a few moves, and put it down."""
    mouse(at, "down", start)
    wait(at, seconds)
    for share in (0.3, 0.7, 1.0):
        point = tuple(round(a + (b - a) * share) for a, b in zip(start, end, strict=True))
        mouse(at, "move", point)
    mouse(at, "up", end)


def layout(at) -> Layout:
    return at.seen().layout


def place_of(at, name):
    """The middle of a field or button of the open page, in the window."""
    seen = at.seen()
    view = seen.view
    box = seen.sheet.frame(name).box
    return box.centre[0] + view.x, box.centre[1] + view.y - at.scroll_px
