"""From pygame's events to the wishes of a showing, and the words for them on the page."""

from __future__ import annotations

import pygame

from sim.bench.demonstration.show import Close, GoTo, Hasten, Heed, Pause, Turn, Wish

K = pygame
KEYS: dict[int, Wish] = {
    K.K_SPACE: Pause(),
    K.K_UP: Hasten(1),
    K.K_DOWN: Hasten(-1),
    K.K_PLUS: Hasten(1),
    K.K_KP_PLUS: Hasten(1),
    K.K_MINUS: Hasten(-1),
    K.K_KP_MINUS: Hasten(-1),
    K.K_RIGHT: Turn(1),
    K.K_LEFT: Turn(-1),
    # A presenter's clicker sends these two.
    K.K_PAGEDOWN: Turn(1),
    K.K_PAGEUP: Turn(-1),
    K.K_HOME: GoTo(end=False),
    K.K_r: GoTo(end=False),
    K.K_END: GoTo(end=True),
    K.K_RETURN: Heed(),
    K.K_KP_ENTER: Heed(),
    K.K_ESCAPE: Close(),
}
WORDS = "Space: pause   ↑ ↓: faster, slower   ← →: a drop back, on   R: again   Esc: close"


def wish_of(event: pygame.Event) -> Wish | None:
    """The wish that an event stands for, if any; a click does what Space does."""
    if event.type == pygame.KEYDOWN:
        return KEYS.get(event.key)
    if event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
        return Pause()
    return None
