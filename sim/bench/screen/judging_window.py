"""The judging in its window: all answers to a question on one page, the one at hand beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import pygame

from analysis.refusal import Refused
from sim.bench.model import intents as want
from sim.bench.model.judging import (
    REASON,
    Judging,
    JudgingWish,
    PickAnswer,
    ToKeep,
    judging_after,
    judging_wish,
)
from sim.bench.model.keys import Held
from sim.bench.model.pages.judging_pages import (
    card_blocks,
    list_blocks,
    list_focus,
    picked_place,
    row_name,
)
from sim.bench.screen.events import WHEEL_PX, key_name
from sim.bench.screen.layout import BASE_HEIGHT, BASE_WIDTH
from sim.bench.screen.lettering import MEASURE
from sim.bench.screen.sheet import draw_sheet
from sim.bench.ui.blocks import Block
from sim.bench.ui.fields import Typed
from sim.bench.ui.marks import SetPage, page_point, view_box
from sim.bench.ui.theme import COVER, Box
from sim.bench.ui.typeset import laid_out

FRAMES_PER_S = 60
LIST_SHARE = 0.58
"""How much of the window's width the list of answers has."""
FOLD_PX = 6


@dataclass(frozen=True)
class SeenPage:
    """A page as it is set, its place in the window, and how far it is scrolled."""

    sheet: SetPage
    area: Box
    scroll_px: int = 0

    @property
    def view(self) -> Box:
        """The part of the window in which its writing is seen."""
        return view_box(self.area, self.sheet.text_scale)

    def name_at(self, at: tuple[int, int]) -> str | None:
        """What of the page lies at a point of the window."""
        return self.sheet.name_at(*page_point(self.view, self.scroll_px, at))


@dataclass
class JudgingWindow:
    """A judging in a window, and what keeps each verdict. `frame` is one turn of the loop."""

    surface: pygame.Surface
    judging: Judging
    keep: Callable[[ToKeep], None]
    list_scroll_px: int = 0
    card_scroll_px: int = 0

    def frame(self) -> None:
        """Take the events, draw, and show."""
        for event in pygame.event.get():
            self.event(event)
        self.draw()
        pygame.display.flip()

    def event(self, event: pygame.Event) -> None:
        """Turn one event into what it is wished for, and do it."""
        if event.type == pygame.MOUSEWHEEL:
            self._scroll(-event.y * WHEEL_PX)
            return
        if event.type == pygame.KEYDOWN and event.key in (pygame.K_PAGEUP, pygame.K_PAGEDOWN):
            self.card_scroll_px += (8 if event.key == pygame.K_PAGEDOWN else -8) * WHEEL_PX
            return
        wish = self._wish(event)
        if wish is not None:
            self._want(wish)

    def _wish(self, event: pygame.Event) -> JudgingWish | None:
        if event.type == pygame.QUIT:
            return want.Leave()
        if event.type == pygame.TEXTINPUT and self.judging.writing:
            return want.EditText(Typed(event.text))
        if event.type == pygame.KEYDOWN:
            held = Held(
                shift=bool(event.mod & pygame.KMOD_SHIFT),
                control=bool(event.mod & pygame.KMOD_CTRL),
            )
            return judging_wish(key_name(event), held, self.judging)
        if event.type == pygame.MOUSEBUTTONDOWN and event.button == 1:
            return self._clicked(event.pos)
        return None

    def _clicked(self, at: tuple[int, int]) -> JudgingWish | None:
        listed, card = self.seen()
        name = (listed if listed.area.holds(at) else card).name_at(at)
        if name is None:
            return None
        place = picked_place(name)
        if place is not None:
            return PickAnswer(place)
        return want.FocusOn(name) if name == REASON else want.Press(name)

    def _want(self, wish: JudgingWish) -> None:
        """Do what is wished for. A verdict that cannot be kept is not given, and it is told why."""
        before = self.judging
        after, to_keep = judging_after(before, wish)
        try:
            if to_keep != ToKeep():
                self.keep(to_keep)
        except Refused as why:
            after = replace(before, trouble=f"This verdict is not kept. {why}")
        self.judging = after
        if after.writing != before.writing:
            (pygame.key.start_text_input if after.writing else pygame.key.stop_text_input)()
        if after.at != before.at:
            self.card_scroll_px = 0
        if after.here != before.here:
            self.list_scroll_px = 0
        self._follow()

    def _follow(self) -> None:
        """Scroll as little as shows the row at hand, and what has the focus beside it."""
        listed, card = self.seen()
        self.list_scroll_px = listed.sheet.scrolled_to(
            row_name(self.judging.at), self.list_scroll_px, listed.view.height
        )
        self.card_scroll_px = card.sheet.scrolled_to(
            self.judging.focus, self.card_scroll_px, card.view.height
        )

    def _scroll(self, by_px: int) -> None:
        """Turn the wheel over one of the pages."""
        listed, _ = self.seen()
        if listed.area.holds(pygame.mouse.get_pos()):
            self.list_scroll_px += by_px
        else:
            self.card_scroll_px += by_px

    def seen(self) -> tuple[SeenPage, SeenPage]:
        """Both pages as they are set; how far they are scrolled is held within them."""
        width, height = self.surface.get_size()
        fold = round(width * LIST_SHARE)
        areas = Box(0, 0, fold, height), Box(fold + FOLD_PX, 0, width - fold - FOLD_PX, height)
        listed = self._page(list_blocks(self.judging), areas[0], list_focus(self.judging))
        card = self._page(card_blocks(self.judging), areas[1], self.judging.focus)
        self.list_scroll_px = listed.sheet.scrolled(self.list_scroll_px, listed.view.height)
        self.card_scroll_px = card.sheet.scrolled(self.card_scroll_px, card.view.height)
        return (
            replace(listed, scroll_px=self.list_scroll_px),
            replace(card, scroll_px=self.card_scroll_px),
        )

    def _page(self, blocks: tuple[Block, ...], area: Box, focus: str) -> SeenPage:
        window = self.surface.get_size()
        grown = max(1.0, min(window[0] / BASE_WIDTH, window[1] / BASE_HEIGHT))
        scale = grown * self.judging.text_scale
        width = view_box(area, scale).width
        return SeenPage(laid_out(blocks, MEASURE, width, scale, focus), area)

    def draw(self) -> None:
        """Draw both pages."""
        self.surface.fill(COVER)
        for page in self.seen():
            draw_sheet(self.surface, page.sheet, page.area, page.scroll_px)


def judge_in(surface: pygame.Surface, judging: Judging, keep: Callable[[ToKeep], None]) -> Judging:
    """Judge until the window is left; gives how far it got."""
    clock = pygame.time.Clock()
    pygame.key.stop_text_input()
    shown = JudgingWindow(surface, judging, keep)
    while shown.judging.open:
        shown.frame()
        clock.tick(FRAMES_PER_S)
    return shown.judging
