"""A session at the bench: which practical is worked at, its record, and the work itself.

Where practicals were begun before, it is asked first which to go on with.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pygame

from sim.bench.model.after import Wanted, desk_for
from sim.bench.model.keeping import Keeper, Offer, gone_on_with, with_new_record
from sim.bench.screen.app import FRAMES_PER_S, Bench, first_seen, layout_of, run
from sim.bench.screen.events import key_name
from sim.bench.screen.layout import Layout
from sim.bench.screen.lettering import MEASURE
from sim.bench.screen.picture import room
from sim.bench.screen.sheet import draw_sheet
from sim.bench.ui.marks import SetPage, page_point, view_box
from sim.bench.ui.theme import COVER
from sim.bench.ui.typeset import laid_out
from sim.record.file import unfinished


def work(surface: pygame.Surface, wanted: Wanted, bench: Bench | None = None) -> str:
    """Work at the bench until the window is closed.

    `bench` is that of a new practical if it is seen already. Returns what went wrong with the
    record at the end, or nothing.

    Raises:
        Refused: the record cannot be gone on with, in one sentence.

    """
    try:
        path = wanted.record
        if path is None and not wanted.begins_anew:
            path = chosen_record(surface, wanted.folder, wanted.text_scale)
    except Closed:
        return ""
    if path is None:
        bench = bench or first_seen(surface, wanted)
        opened = with_new_record(bench.desk.state, wanted.folder)
        bench.desk = replace(bench.desk, trouble=opened.trouble)
    else:
        opened = gone_on_with(path)
        desk = desk_for(opened.state, wanted.text_scale)
        bench = Bench(surface, desk.saying(opened.words) if opened.words else desk)
    return run(bench, Keeper(opened.record, opened.trouble))


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


def _drawn(surface: pygame.Surface, offer: Offer, layout: Layout) -> SetPage:
    scale = layout.scale * layout.text_scale
    width = view_box(layout.page, scale).width
    sheet = laid_out(offer.blocks(), MEASURE, width, scale, offer.focus)
    surface.blit(room(layout), (0, 0))
    surface.fill(COVER, layout.book)
    draw_sheet(surface, sheet, layout.page)
    pygame.display.flip()
    return sheet


def _after(
    event: pygame.Event, offer: Offer, layout: Layout, sheet: SetPage
) -> tuple[Offer, str | None]:
    """The offer after an event, and the name of what was chosen, if anything was."""
    if event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
        point = page_point(view_box(layout.page, sheet.text_scale), 0, event.pos)
        return offer, sheet.name_at(*point)
    if event.type == pygame.KEYDOWN:
        return offer.keyed(key_name(event), shift=bool(event.mod & pygame.KMOD_SHIFT))
    return offer, None
