"""The window itself, and the bare room that is seen while the rest of the bench loads.

Imports little: on a slow machine the window stands long before the apparatus is drawn.
"""

from __future__ import annotations

import os
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, suppress

import pygame

from analysis.refusal import Refused
from sim.bench.screen.lettering import forget
from sim.bench.ui.theme import COVER, FLOOR_FAR, PAGE, WALL_LIGHT

TITLE = "Rebound Practical"
SIZE = (1366, 768)
"""The window at first, which common laptops hold; a smaller screen gets a smaller one."""
CORNER_SHARE, FLOOR_SHARE = 900 / 1366, 664 / 768
"""How far the laboratory corner and its wall reach, as in `sim.bench.screen.layout`."""


NOBODY_SEES = ("offscreen", "dummy", "evdev")
"""What SDL draws into where there is no display, without a word, unless it is asked to."""


class NoScreen(Refused):
    """There is no screen to open a window on."""


@contextmanager
def window(
    size: tuple[int, int] = SIZE, *, instead: str = "`python -m sim perform` needs none"
) -> Iterator[pygame.Surface]:
    """Open the window, and close it at the end whatever happens.

    `instead` says what can be done without one. Raises:
        NoScreen: no window can be opened here.

    """
    os.environ.setdefault("SDL_VIDEO_CENTERED", "1")
    # Without a graphics card SDL would show frames by OpenGL in software, a twelfth as fast.
    os.environ.setdefault("SDL_FRAMEBUFFER_ACCELERATION", "0")
    asked_for = "SDL_VIDEODRIVER" in os.environ
    try:
        pygame.display.init()
        if pygame.display.get_driver() in NOBODY_SEES and not asked_for:
            raise NoScreen(f"There is no display here to open a window on; {instead}.")
        surface = pygame.display.set_mode(_on_this_screen(size), pygame.RESIZABLE)
    except pygame.error as error:
        raise NoScreen(f"No window can be opened here ({error}); {instead}.") from None
    pygame.font.init()
    pygame.display.set_caption(TITLE)
    pygame.key.set_repeat(350, 40)
    try:
        yield surface
    finally:
        forget()  # fonts do not outlive the window
        pygame.quit()


def _on_this_screen(size: tuple[int, int]) -> tuple[int, int]:
    """A window's size, no larger than the screen that is there."""
    if pygame.display.get_driver() in NOBODY_SEES:
        return size
    screen = pygame.display.get_desktop_sizes()[0]
    return min(size[0], screen[0]), min(size[1], screen[1])


def toggle_full_screen() -> None:
    """Fill the screen that the window is on, or leave it; where a screen cannot, all stays."""
    with warnings.catch_warnings(), suppress(pygame.error):
        # A window of its own kind is asked for; but only this one stays on the projector's screen.
        warnings.simplefilter("ignore", DeprecationWarning)
        opened = pygame.Window.from_display_module()
        if pygame.display.is_fullscreen():
            opened.set_windowed()
        else:
            opened.set_fullscreen(desktop=True)


def show_bare_room(surface: pygame.Surface) -> None:
    """Show wall, floor and the closed book at once, with nothing in the room yet."""
    width, height = surface.get_size()
    corner, floor = round(width * CORNER_SHARE), round(height * FLOOR_SHARE)
    surface.fill(WALL_LIGHT, (0, 0, corner, floor))
    surface.fill(FLOOR_FAR, (0, floor, corner, height - floor))
    surface.fill(COVER, (corner, 0, width - corner, height))
    surface.fill(PAGE, (corner + 3, 64, width - corner - 6, height - 67))
    pygame.display.flip()
