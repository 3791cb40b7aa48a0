"""Asks, before the bench opens, which practical to go on with."""

from __future__ import annotations

from pathlib import Path

import pygame

from sim.bench.app import FRAMES_PER_S, layout_of
from sim.bench.layout import Layout
from sim.bench.lettering import MEASURE
from sim.bench.marks import Sheet, page_point, view_box
from sim.bench.offer import Offer
from sim.bench.picture import room
from sim.bench.sheet import draw_sheet
from sim.bench.theme import COVER
from sim.bench.typeset import laid_out
from sim.record_folder import unfinished


class Closed(Exception):
    """The window was closed before anything was chosen."""


def chosen_record(surface: pygame.Surface, folder: Path, text_scale: float = 1.0) -> Path | None:
    """The record that the student chooses to go on with; None to begin anew.

    Raises:
        Closed: the window was closed.
        RecordTrouble: the folder of the records cannot be read.

    """
    begun = unfinished(folder)
    if not begun:
        return None
    offer = Offer(begun)
    clock = pygame.time.Clock()
    while True:
        layout = layout_of(surface.get_size(), text_scale)
        sheet = _drawn(surface, offer, layout)
        for event in pygame.event.get():
            if event.type == pygame.QUIT:
                raise Closed
            offer, name = _after(event, offer, layout, sheet)
            if name is not None:
                record = offer.record(name)
                return None if record is None else record.path
        clock.tick(FRAMES_PER_S)


def _drawn(surface: pygame.Surface, offer: Offer, layout: Layout) -> Sheet:
    scale = layout.scale * layout.text_scale
    sheet = laid_out(offer.boxes(), MEASURE, view_box(layout.page, scale).width, scale)
    surface.blit(room(layout), (0, 0))
    surface.fill(COVER, layout.book)
    draw_sheet(surface, sheet, layout.page)
    pygame.display.flip()
    return sheet


def _after(
    event: pygame.Event, offer: Offer, layout: Layout, sheet: Sheet
) -> tuple[Offer, str | None]:
    """The offer after an event, and the name of what was chosen, if anything was."""
    if event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
        point = page_point(view_box(layout.page, sheet.text_scale), 0, event.pos)
        return offer, sheet.name_at(*point)
    if event.type != pygame.KEYDOWN:
        return offer, None
    if event.key in (pygame.K_RETURN, pygame.K_KP_ENTER, pygame.K_SPACE):
        return offer, offer.focus
    back = event.key == pygame.K_UP or (event.key == pygame.K_TAB and event.mod & pygame.KMOD_SHIFT)
    if back or event.key in (pygame.K_TAB, pygame.K_DOWN):
        return offer.moved(-1 if back else 1), None
    return offer, None
