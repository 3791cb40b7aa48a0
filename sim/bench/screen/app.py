"""The bench in its window: events in, frames out.

Uneven frame times are turned into whole fixed steps, so that a stalled laptop stays in step.
Where practicals were begun before, it is asked first which to go on with. What keeps records is
imported by `work` alone: the first picture does not wait for it.
"""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass, field, replace
from functools import lru_cache
from subprocess import DEVNULL, Popen
from time import perf_counter
from typing import TYPE_CHECKING

import pygame

from sim.bench.model import intents as want
from sim.bench.model.after import (
    PAGES,
    Wanted,
    after,
    desk_for,
    get_ready_to_mark,
    new_practical,
    page_of,
    passed_by,
)
from sim.bench.model.desk import BENCH, Desk, Step
from sim.bench.model.hints import told
from sim.bench.model.keys import writing
from sim.bench.model.pages.first_and_last import on_card
from sim.bench.model.speech import NO_SPEAKER, Voice, speaker_here
from sim.bench.screen.events import Scroll, key_name, pointed, wish_of
from sim.bench.screen.layout import LEAST_SIZE, Layout
from sim.bench.screen.lettering import MEASURE
from sim.bench.screen.picture import picture, ribbons, room
from sim.bench.screen.scene import Carried, Point, Scene
from sim.bench.screen.sheet import draw_sheet
from sim.bench.screen.window import TITLE, toggle_full_screen
from sim.bench.ui.blocks import Block, with_refusal
from sim.bench.ui.marks import SetPage, view_box
from sim.bench.ui.theme import COVER
from sim.bench.ui.typeset import laid_out

if TYPE_CHECKING:
    from pathlib import Path

    from sim.bench.model.keeping import Keeper, Offer

STEP_S = 1.0 / 120.0
MOST_STEPS = 30
"""A frame longer than a quarter of a second counts as a quarter: the bench slows rather
than jumps."""


@dataclass(frozen=True)
class Ticks:
    """Time owed to the bench and not yet made into steps."""

    owed_s: float = 0.0

    def take(self, frame_s: float) -> tuple[int, Ticks]:
        """The whole steps that are due after a frame, and what is still owed."""
        owed_s = self.owed_s + min(frame_s, MOST_STEPS * STEP_S)
        steps = int(owed_s / STEP_S)
        return steps, Ticks(owed_s - steps * STEP_S)


FRAMES_PER_S = 60
KEPT_AGAIN = "What could not be written before is written now: nothing is lost."


@dataclass
class Bench:
    """A desk in a window, and who keeps its record. `frame` is one turn of the loop.

    Without a keeper it can be drawn, and nothing is to be done at it yet.
    """

    surface: pygame.Surface
    desk: Desk
    keeper: Keeper | None = None
    open: bool = True
    scroll_px: int = 0
    carried: Carried | None = None
    voice: Voice | None = None
    _said: str = ""
    _ticks: Ticks = field(default_factory=Ticks)

    def frame(self, frame_s: float) -> None:
        """Take the events, let the time pass, draw, and show."""
        for event in pygame.event.get():
            self.event(event)
        steps, self._ticks = self._ticks.take(frame_s)
        if steps:
            self._do(passed_by(self.desk, steps * STEP_S))
        self._speak()
        self.draw()
        pygame.display.flip()

    def event(self, event: pygame.Event) -> None:
        """Turn one event into what it is wished for, and do it."""
        if event.type == pygame.TEXTEDITING and writing(self.desk):
            self.desk = replace(self.desk, composing=event.text)
            return
        wish = wish_of(event, self.desk)
        if isinstance(wish, Scroll):
            self._scroll(wish)
        elif isinstance(wish, Point):
            self.carried, intents = pointed(self.desk, self.seen(), wish)
            self._want(*intents, by_pointer=True)
        elif wish is not None:
            self._want(wish)
        if self.desk.demonstrating:
            self.desk = replace(self.desk, demonstrating=False)
            self._demonstrate()
        if self.desk.asked_for and self.desk.kept_in is not None:
            trouble = open_folder(self.desk.kept_in.parent)
            desk = replace(self.desk, asked_for="")
            self.desk = desk.saying(trouble, "refusal") if trouble else desk

    def _want(self, *intents: want.Intent, by_pointer: bool = False) -> None:
        """Do what is wished for, and show what came of it."""
        before = self.desk
        for intent in intents:
            lines = self.seen().sheet.lines_of(self.desk.focus)
            self._do(after(self.desk, intent, lines))
            self.open = self.open and not isinstance(intent, want.Leave)
            self._of_window(intent)
        if self.desk is not before:
            self._follow(before, by_pointer)

    def _of_window(self, intent: want.Intent) -> None:
        """What the window itself does for a wish: fill the screen, bear words in its title."""
        if isinstance(intent, want.FillScreen):
            toggle_full_screen()
        elif isinstance(intent, want.TellState):
            words = self.desk.note.text
            if pygame.display.get_init():
                pygame.display.set_caption(f"{TITLE}: {words}")
            if sys.stdout is not None:  # a window without a terminal has none
                sys.stdout.write(f"{words}\n")
                sys.stdout.flush()

    def speak(self) -> None:
        """Say from now on what is told, by the system's speech program, or that there is none."""
        command = speaker_here()
        if command is None:
            self.desk = self.desk.saying(NO_SPEAKER, "refusal")
        else:
            self.voice = Voice(command)

    def _speak(self) -> None:
        """Say aloud what is newly told at the foot of the corner, where that is wanted."""
        words = told(self.desk).text
        if self.voice is not None and words != self._said:
            self._said = words
            if not self.voice.say(words):
                self.voice = None

    def _scroll(self, wish: Scroll) -> None:
        if not self.desk.help_open:
            scene = self.seen()
            wanted = self.scroll_px + round(wish.by_px * scene.sheet.text_scale)
            self.scroll_px = scene.sheet.scrolled(wanted, scene.view.height)

    def _follow(self, before: Desk, by_pointer: bool) -> None:
        """Scroll as little as shows what has the focus; nothing that is seen moves under a pointer.

        Feedback comes after the button that asks for it, so it is shown as far as it may be.
        """
        if self.desk.page != before.page:
            self.scroll_px = 0
        if self.desk.remarks is not before.remarks:
            self.scroll_px = self.seen().sheet.height_px
        scene = self.seen()
        seen = by_pointer and scene.sheet.shows(self.desk.focus, self.scroll_px, scene.view.height)
        if self.desk.focus != BENCH and not seen:
            self.scroll_px = scene.sheet.scrolled_to(
                self.desk.focus, self.scroll_px, scene.view.height
            )

    def _demonstrate(self) -> None:
        """The teacher's page until it is left; the practical stands still and is not touched."""
        # Judging spreads takes libraries that the first frame does not wait for.
        from sim.bench.screen.demonstration.showing import show_in_bench

        self.open = show_in_bench(self.surface, self.desk.state) and self.open
        if writing(self.desk):
            pygame.key.start_text_input()

    def seen(self) -> Scene:
        """What the person has before the eyes: the layout and the page as it is set."""
        desk = self.desk
        layout = layout_of(self.surface.get_size(), desk.text_scale)
        blocks, note = page_of(desk).blocks(desk), told(desk)
        if note.kind == "refusal":
            blocks = with_refusal(blocks, desk.focus, note.text)
        sheet = page_set(layout, blocks, desk.focus, desk.composing)
        return Scene(layout, sheet, ribbons(layout, tuple(PAGES)), self.scroll_px, self.carried)

    def draw(self) -> None:
        """Draw the desk as it is."""
        picture(self.surface, self.desk, self.seen())

    def _do(self, step: Step) -> None:
        before = self.desk
        self.desk = step.desk
        if step.actions and self.keeper is not None:
            trouble = self.keeper.keep(before.state, step.actions)
            mended = before.trouble and not trouble
            desk = step.desk.saying(KEPT_AGAIN) if mended else step.desk
            self.desk = replace(desk, trouble=trouble)
        if writing(self.desk) != writing(before):
            (pygame.key.start_text_input if writing(self.desk) else pygame.key.stop_text_input)()


def open_folder(folder: Path) -> str:
    """Show a folder in the system's own window; why that cannot be, or nothing."""
    try:
        if sys.platform == "win32":
            os.startfile(folder)
        else:
            opener = "open" if sys.platform == "darwin" else "xdg-open"
            Popen([opener, folder], stdout=DEVNULL, stderr=DEVNULL, start_new_session=True)
    except OSError:
        return f"nothing here opens folders. It is {folder}"
    return ""


@lru_cache(maxsize=4)
def layout_of(size: tuple[int, int], text_scale: float) -> Layout:
    """The layout of a window, kept: its rectangles are worked out once."""
    return Layout((max(size[0], LEAST_SIZE[0]), max(size[1], LEAST_SIZE[1])), text_scale)


def page_set(layout: Layout, blocks: tuple[Block, ...], focus: str, composing: str = "") -> SetPage:
    """Set a page as wide as the open book."""
    view, scale = view_box(layout.page, layout.type_scale), layout.type_scale
    return laid_out(blocks, MEASURE, view.width, scale, focus, composing, height_px=view.height)


def first_seen(surface: pygame.Surface, wanted: Wanted) -> Bench:
    """A new practical on its bench, drawn before anything is asked of the disk.

    Nothing is taken from the keyboard yet: every act has to find its record.
    """
    bench = Bench(surface, on_card(desk_for(new_practical(wanted), wanted.text_scale)))
    bench.draw()
    pygame.display.flip()
    return bench


def run(bench: Bench, keeper: Keeper) -> str:
    """Run until the window is closed; returns what went wrong with the record, or nothing."""
    bench.keeper = keeper
    clock = pygame.time.Clock()
    pygame.key.stop_text_input()
    keeper.meanwhile(get_ready_to_mark())
    last_s = perf_counter()
    try:
        while bench.open:
            now_s = perf_counter()
            bench.frame(now_s - last_s)
            last_s = now_s
            clock.tick(FRAMES_PER_S)
    finally:
        trouble = keeper.close()
        if bench.voice is not None:
            bench.voice.hush()
    return trouble


def work(surface: pygame.Surface, wanted: Wanted, bench: Bench | None = None) -> str:
    """Work at the bench until the window is closed.

    `bench` is that of a new practical if it is seen already. Returns what went wrong with the
    record at the end, or nothing.

    Raises:
        Refused: the record cannot be gone on with, in one sentence.

    """
    # Records, locks and threads are loaded behind the picture of the bench.
    from sim.bench.model.keeping import Keeper, gone_on_with, offered, with_new_record

    try:
        path = wanted.record
        if path is None and not wanted.begins_anew:
            offer = offered(wanted.folder)
            path = chosen_record(surface, offer, wanted.text_scale) if offer else None
    except Closed:
        return ""
    if path is None:
        bench = bench or first_seen(surface, wanted)
        opened = with_new_record(bench.desk.state, wanted.folder)
        bench.desk = replace(bench.desk, trouble=opened.trouble)
    else:
        opened = gone_on_with(path)
        desk = desk_for(opened.state, wanted.text_scale)
        desk = desk.saying(opened.words) if opened.words else desk
        bench = Bench(surface, desk if opened.state.time_s else on_card(desk))
    if opened.record is not None:
        bench.desk = replace(bench.desk, kept_in=opened.record.path)
    if wanted.speaks:
        bench.speak()
    return run(bench, Keeper(opened.record, opened.trouble))


class Closed(Exception):
    """The window was closed before anything was chosen."""


def chosen_record(surface: pygame.Surface, offer: Offer, text_scale: float = 1.0) -> Path | None:
    """The record that the student chooses to go on with; None to begin anew.

    Raises:
        Closed: the window was closed.

    """
    clock = pygame.time.Clock()
    while True:
        layout = layout_of(surface.get_size(), text_scale)
        scene = Scene(layout, page_set(layout, offer.blocks(), offer.focus))
        surface.blit(room(layout), (0, 0))
        surface.fill(COVER, layout.book)
        draw_sheet(surface, scene.sheet, layout.page)
        pygame.display.flip()
        for event in pygame.event.get():
            if event.type == pygame.QUIT:
                raise Closed
            offer, name = _offer_after(event, offer, scene)
            if name is not None:
                record = offer.record(name)
                return None if record is None else record.path
        clock.tick(FRAMES_PER_S)


def _offer_after(event: pygame.Event, offer: Offer, scene: Scene) -> tuple[Offer, str | None]:
    """The offer after an event, and the name of what was chosen, if anything was."""
    if event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
        return offer, scene.sheet.name_at(*scene.on_page(event.pos))
    if event.type == pygame.KEYDOWN:
        return offer.keyed(key_name(event), shift=bool(event.mod & pygame.KMOD_SHIFT))
    return offer, None
