"""The window: events in, frames out. Nothing else touches the queue, the clock or the flip."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache
from time import perf_counter

import pygame

from sim.bench import intents as want
from sim.bench.after import Seen, after, followed, passed_by
from sim.bench.desk import Desk, Step
from sim.bench.keeping import Keeper
from sim.bench.keys import intents_of, writing
from sim.bench.layout import BASE_HEIGHT, BASE_WIDTH, Layout
from sim.bench.leaf import ribbons
from sim.bench.lettering import MEASURE
from sim.bench.marks import view_box
from sim.bench.pages import PAGES
from sim.bench.picture import picture
from sim.bench.ticks import STEP_S, Ticks
from sim.bench.typeset import laid_out
from sim.record_file import RecordFile

FRAMES_PER_S = 60


@dataclass
class Bench:
    """A desk in a window, with its record. `frame` is one turn of the loop."""

    surface: pygame.Surface
    desk: Desk
    keeper: Keeper = field(default_factory=lambda: Keeper(None))
    open: bool = True
    _ticks: Ticks = field(default_factory=Ticks)

    def keep_on(self, record: RecordFile | None, trouble: str = "") -> None:
        """Keep everything from now on in a record, or say why there is none."""
        self.keeper = Keeper(record, trouble)
        self.desk = replace(self.desk, trouble=trouble)

    def frame(self, frame_s: float) -> None:
        """Take the events, let the time pass, draw, and show."""
        for event in pygame.event.get():
            self.event(event)
        steps, self._ticks = self._ticks.take(frame_s)
        if steps:
            self._do(passed_by(self.desk, steps * STEP_S))
        self.draw()
        pygame.display.flip()

    def event(self, event: pygame.Event) -> None:
        """Turn one event into what it is wished for, and do it."""
        if event.type == pygame.TEXTEDITING and writing(self.desk):
            self.desk = replace(self.desk, composing=event.text)
            return
        for intent in intents_of(event, self.desk):
            before = self.desk
            self._do(after(before, intent, self.seen()))
            if self.desk is not before and not isinstance(intent, want.Scroll):
                self.desk = followed(self.desk, self.seen())
            self.open = self.open and not isinstance(intent, want.Leave)
        if self.desk.demonstrating:
            self.desk = replace(self.desk, demonstrating=False)
            self._demonstrate()

    def _demonstrate(self) -> None:
        """The teacher's page until it is left; the practical stands still and is not touched."""
        # Judging spreads takes libraries that the first frame does not wait for.
        from sim.bench.demonstration.showing import show_at_bench

        self.open = show_at_bench(self.surface, self.desk.state) and self.open
        if writing(self.desk):
            pygame.key.start_text_input()

    def seen(self) -> Seen:
        """What the person has before the eyes: the layout and the page as it is set."""
        return seen(self.desk, layout_of(self.surface.get_size(), self.desk.text_scale))

    def draw(self) -> None:
        """Draw the desk as it is."""
        picture(self.surface, self.desk, self.seen())

    def _do(self, step: Step) -> None:
        before = self.desk
        trouble = self.keeper.keep(before.state, step.actions) if step.actions else ""
        self.desk = replace(step.desk, trouble=trouble) if step.actions else step.desk
        if writing(self.desk) != writing(before):
            (pygame.key.start_text_input if writing(self.desk) else pygame.key.stop_text_input)()


@lru_cache(maxsize=4)
def layout_of(size: tuple[int, int], text_scale: float) -> Layout:
    """The layout of a window, kept: its rectangles are worked out once."""
    return Layout((max(size[0], BASE_WIDTH), max(size[1], BASE_HEIGHT)), text_scale)


def seen(desk: Desk, layout: Layout) -> Seen:
    """A desk's page set for a layout, and where its ribbons are."""
    scale = layout.scale * layout.text_scale
    width = view_box(layout.page, scale).width
    sheet = laid_out(PAGES[desk.page].boxes(desk), MEASURE, width, scale)
    return Seen(layout, sheet, ribbons(layout))


def run(bench: Bench) -> str:
    """Run until the window is closed; returns what went wrong with the record, or nothing."""
    clock = pygame.time.Clock()
    pygame.key.stop_text_input()
    bench.keeper.get_ready()
    last_s = perf_counter()
    try:
        while bench.open:
            now_s = perf_counter()
            bench.frame(now_s - last_s)
            last_s = now_s
            clock.tick(FRAMES_PER_S)
    finally:
        trouble = bench.keeper.close()
    return trouble
