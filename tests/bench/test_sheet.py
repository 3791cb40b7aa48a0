"""The page drawn: probes of what must be seen, contrast of every ink on its ground."""

import numpy as np
import pygame
import pytest

from sim.bench.screen.lettering import MEASURE, forget
from sim.bench.screen.sheet import BLINK_S, draw_sheet
from sim.bench.ui import theme
from sim.bench.ui.blocks import FieldBox, Words, focus_order
from sim.bench.ui.fields import TextArea, TextLine
from sim.bench.ui.marks import Look, view_box
from sim.bench.ui.theme import Box
from sim.bench.ui.typeset import laid_out
from tests.bench.measures import LONG, every_kind

AREA = Box(30, 20, 446, 684)
SCALES = [1.0, 1.5]


@pytest.fixture(autouse=True)
def _fonts():
    pygame.font.init()
    forget()


def drawn(page, scale=1.0, scroll_px=0, time_s=0.0, focus="", composing=""):
    """The pixels of a page, x first, and the sheet it was drawn from."""
    surface = pygame.Surface((520, 740))
    surface.fill((1, 2, 3))
    sheet = laid_out(tuple(page), MEASURE, view_box(AREA, scale).width, scale, focus, composing)
    draw_sheet(surface, sheet, AREA, scroll_px, time_s)
    return pygame.surfarray.array3d(surface), sheet


def part(pixels, box, scale=1.0, around=0):
    view = view_box(AREA, scale)
    x, y = view.x + box.x - around, view.y + box.y - around
    return pixels[x : x + box.width + 2 * around, y : y + box.height + 2 * around]


def has(pixels, colour):
    return bool((pixels == np.array(colour)).all(axis=2).any())


def test_the_same_page_gives_the_same_picture():
    first, _ = drawn(every_kind(), focus="height")
    again, _ = drawn(every_kind(), focus="height")
    assert np.array_equal(first, again)


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("scroll_px", [0, 300, 10_000])
def test_nothing_is_drawn_outside_the_area(scale, scroll_px):
    pixels, _ = drawn(every_kind(), scale, scroll_px, focus="area")
    outside = np.ones(pixels.shape[:2], dtype=bool)
    outside[AREA.x : AREA.right, AREA.y : AREA.bottom] = False
    assert (pixels[outside] == (1, 2, 3)).all()


def test_the_clip_of_the_surface_is_left_as_it_was():
    surface = pygame.Surface((520, 740))
    surface.set_clip(pygame.Rect(40, 40, 100, 100))
    sheet = laid_out(every_kind(), MEASURE, view_box(AREA, 1.0).width)
    draw_sheet(surface, sheet, AREA)
    assert surface.get_clip() == pygame.Rect(40, 40, 100, 100)


@pytest.mark.parametrize("name", focus_order(every_kind()))
def test_every_name_shows_a_ring_of_two_pixels_or_more_when_it_has_the_focus(name):
    sheet = laid_out(every_kind(), MEASURE, view_box(AREA, 1.0).width, focus=name)
    view = view_box(AREA, 1.0)
    scroll = sheet.scrolled_to(name, 0, view.height)
    with_focus, _ = drawn(every_kind(), scroll_px=scroll, focus=name)
    without, _ = drawn(every_kind(), scroll_px=scroll)
    box = sheet.frame(name).box._replace(y=sheet.frame(name).box.y - scroll)
    ring = (part(with_focus, box, around=6) == np.array(theme.FOCUS)).all(axis=2)
    assert not has(part(without, box, around=6), theme.FOCUS)
    middle = ring[:, ring.shape[1] // 2]
    assert middle[: len(middle) // 2].sum() >= 2
    assert middle[len(middle) // 2 :].sum() >= 2
    assert ring[ring.shape[0] // 2].sum() >= 4


def test_the_caret_blinks_and_is_seen_at_first():
    page = [FieldBox("f", TextLine())]
    shown, sheet = drawn(page, focus="f")
    hidden, _ = drawn(page, time_s=1.5 * BLINK_S, focus="f")
    assert (part(shown, sheet.caret) == np.array(theme.PEN)).all()
    assert (part(hidden, sheet.caret) == np.array(theme.FIELD)).all()
    assert np.array_equal(drawn(page, time_s=2.5 * BLINK_S, focus="f")[0], shown)


def test_selected_letters_have_a_ground_and_composed_ones_a_line_below():
    field = TextLine.holding("half range")
    chosen, sheet = drawn([FieldBox("f", field.all_selected(), "say")], focus="f")
    assert has(part(chosen, sheet.frame("f").writing.selected[0]), theme.SELECTION)
    composing, sheet = drawn([FieldBox("f", field, "say")], focus="f", composing="abc")
    box = sheet.frame("f").writing.composed[0]
    assert (part(composing, Box(box.x, box.bottom - 3, box.width, 2)) == theme.PEN).all()


@pytest.mark.parametrize("focused", [False, True], ids=["its beginning", "its end"])
def test_what_is_written_in_a_field_stays_inside_it_however_long(focused):
    field = TextLine.holding(LONG * 2)
    pixels, sheet = drawn([FieldBox("f", field, "so say", letters=8)], focus="f" if focused else "")
    box = sheet.frame("f").box
    for beside in (Box(box.right + 4, box.y, 5, box.height), Box(box.x - 6, box.y, 2, box.height)):
        assert (part(pixels, beside) == np.array(theme.PAGE)).all()
    assert has(part(pixels, box), theme.PEN)


def strips(pixels, scale=1.0):
    view = view_box(AREA, scale)
    middle = slice(view.x, view.right)
    return pixels[middle, AREA.y : view.y], pixels[middle, view.bottom : AREA.bottom]


def test_more_below_and_more_above_are_said_in_their_strips():
    long = [Words("A line of the book.") for _ in range(60)]
    sheet = drawn(long)[1]
    last = sheet.most_scroll_px(view_box(AREA, 1.0).height)
    seen = {}
    for scroll_px in (0, last // 2, last):
        above, below = strips(drawn(long, scroll_px=scroll_px)[0])
        seen[scroll_px] = tuple(bool((s != np.array(theme.PAGE)).any()) for s in (above, below))
    assert seen == {0: (False, True), last // 2: (True, True), last: (True, False)}
    above, below = strips(drawn([Words("Short.")])[0])
    assert (above == np.array(theme.PAGE)).all()
    assert (below == np.array(theme.PAGE)).all()


def test_scrolling_moves_the_page_by_as_many_pixels():
    long = [Words(f"Line {n} of the book.") for n in range(60)]
    view = view_box(AREA, 1.0)
    whole, moved = drawn(long)[0], drawn(long, scroll_px=40)[0]
    a = whole[view.x : view.right, view.y + 40 : view.bottom]
    b = moved[view.x : view.right, view.y : view.bottom - 40]
    assert np.array_equal(a, b)


GROUNDS = {
    Look.FIELD: theme.FIELD,
    Look.BUTTON: theme.BUTTON,
    Look.CAUTION: theme.CAUTION_GROUND,
}


def inks_on_grounds(page, focus):
    """Every ink of lettering on a sheet, with the ground that it stands on."""
    found = set()
    for placed in laid_out(page, MEASURE, 404, focus=focus).placed:
        found |= {(line.ink, theme.PAGE) for line in placed.lines}
        for frame in placed.frames:
            ground = GROUNDS[frame.look]
            found |= {(line.ink, ground) for line in frame.lines}
            if frame.writing and frame.writing.selected:
                found |= {(line.ink, theme.SELECTION) for line in frame.lines}
    return found


def test_all_lettering_has_the_contrast_that_reading_needs():
    selecting = FieldBox("s", TextLine.holding("all").all_selected(), "say")
    pairs = inks_on_grounds((*every_kind(), selecting), "s")
    assert len(pairs) >= 7
    faint = [pair for pair in pairs if theme.contrast(*pair) < theme.TEXT_CONTRAST]
    assert not faint


def test_edges_rings_and_signs_have_the_contrast_that_seeing_needs():
    grounds = (theme.PAGE, theme.FIELD, theme.BUTTON)
    pairs = [(theme.FOCUS, ground) for ground in grounds]
    pairs += [(theme.FIELD_EDGE, theme.PAGE), (theme.FIELD_EDGE, theme.FIELD)]
    pairs += [(theme.PEN, theme.FIELD), (theme.SOFT_INK, theme.PAGE_EDGE)]
    pairs += [(theme.CAUTION_EDGE, theme.PAGE), (theme.CAUTION_INK, theme.CAUTION_GROUND)]
    pairs += [(theme.STRUCK, theme.PAGE), (theme.SOFT_INK, theme.PAGE)]
    faint = [pair for pair in pairs if theme.contrast(*pair) < theme.MARK_CONTRAST]
    assert not faint


def test_contrast_is_the_ratio_of_the_guidelines():
    # WCAG 2.2, definition of contrast ratio: black on white is 21 to 1, a colour on itself 1.
    # #767676 on white is the guidelines' well-known border case, 4.54 to 1 (from memory).
    assert theme.contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21.0)
    assert theme.contrast((9, 80, 200), (9, 80, 200)) == 1.0
    assert theme.contrast((0x76,) * 3, (255, 255, 255)) == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("scale", SCALES)
def test_a_heading_and_a_long_answer_are_seen_at_each_scale(scale):
    pixels, sheet = drawn(
        [Words("Energy", "title"), FieldBox("a", TextArea.holding("heat"), "Why?")], scale
    )
    for placed in sheet.placed:
        assert (part(pixels, placed.box, scale) != np.array(theme.PAGE)).any()
    ruling = part(pixels, sheet.frame("a").box, scale)
    assert has(ruling, theme.PAGE_RULING)
