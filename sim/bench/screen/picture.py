"""The picture of a desk, a function of desk and scene alone: what is drawn, in which order.

The laboratory corner with its apparatus, the exercise book (cover, ribbons, open page), the words
at the foot, and the help leaf on top.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

import pygame

from analysis.quantity.units import celsius, fixed
from sim.actions import Vessel
from sim.bench.model.desk import BENCH, Desk
from sim.bench.model.handling import VESSELS, dial_at_k
from sim.bench.model.hints import told
from sim.bench.model.seeing import (
    ball_seen,
    bath_word,
    lens_seen,
    poured_now,
    steam_s,
    stopwatch_seen,
)
from sim.bench.screen.apparatus.instruments import (
    draw_stopwatch,
    draw_thermometer,
    draw_thermometer_lens,
)
from sim.bench.screen.apparatus.lens import (
    draw_ball_seen,
    draw_camera_on_shelf,
    draw_camera_on_stand,
    draw_lens,
)
from sim.bench.screen.apparatus.room import draw_room, draw_towel
from sim.bench.screen.apparatus.rule import draw_eye_mark, draw_jaws, draw_marker
from sim.bench.screen.apparatus.tank import (
    draw_bath_back,
    draw_bath_front,
    draw_thermostat,
    water_mouth,
)
from sim.bench.screen.apparatus.tongs import (
    UPRIGHT_DEG,
    draw_ball,
    draw_floor_shadow,
    draw_held_ball,
    draw_resting_shadow,
    draw_tongs_at_rest,
)
from sim.bench.screen.apparatus.vessels import (
    draw_beaker_back,
    draw_beaker_front,
    draw_pouring,
    draw_vessel,
    draw_water,
    vessel_lip,
)
from sim.bench.screen.apparatus.water import draw_bench_puddle, draw_floor_puddle, draw_steam
from sim.bench.screen.events import DIAL, place_of_thing
from sim.bench.screen.help_leaf import draw_help
from sim.bench.screen.layout import Layout
from sim.bench.screen.lettering import MEASURE, broken, line_surface
from sim.bench.screen.scene import Carried, Scene
from sim.bench.screen.sheet import BLINK_S, draw_sheet
from sim.bench.ui.marks import SetPage
from sim.bench.ui.theme import (
    CAUTION_GROUND,
    CAUTION_INK,
    COVER,
    FOCUS,
    FOCUS_STROKE,
    INK,
    NOTE_GROUND,
    RIBBON_INK,
    RIBBONS,
    STRUCK,
    TYPE_SMALL,
    TYPE_TEXT,
    Box,
    Colour,
)
from sim.passing import is_wet, thermometer_reading_exact_k
from sim.procedure import COLDEST_BATH_K, HOTTEST_BATH_K, KETTLE_K
from sim.state import PLACE_IN, Place, State

OPEN_PX, SHUT_PX = 10, 4
IN_A_ROW = (5, 4, 3, 2)
RIBBON_PAD = 5


@lru_cache(maxsize=4)
def ribbons(layout: Layout, pages: tuple[str, ...]) -> tuple[tuple[str, Box], ...]:
    """The pages' names and the places of their ribbons: as wide as their names."""
    area, gap = layout.bookmarks, layout.px(4)
    rows = _rows(layout, pages)
    height = (area.height - gap) // len(rows)
    size = ribbon_type_px(layout, pages)
    placed = []
    for row, names in enumerate(rows):
        widths = [MEASURE.width_px(name, size, True) for name in names]
        spare = area.width - sum(widths) - gap * (len(names) - 1)
        x = area.x
        for number, (name, width) in enumerate(zip(names, widths, strict=True)):
            share = spare // len(names) + (number < spare % len(names))
            placed.append((name, Box(x, area.y + row * height, width + share, height)))
            x += width + share + gap
    return tuple(placed)


@lru_cache(maxsize=4)
def ribbon_type_px(layout: Layout, pages: tuple[str, ...]) -> int:
    """The type size of all ribbons: the usual one, or the largest at which every row fits."""
    size = layout.type_px(TYPE_SMALL)
    while size > TYPE_SMALL and not _fit(_rows(layout, pages), size, layout):
        size -= 1
    return size


def _rows(layout: Layout, names: tuple[str, ...]) -> tuple[tuple[str, ...], ...]:
    """The names row by row: five a row, or fewer where larger text needs it."""
    for longest in IN_A_ROW:
        most = -(-len(names) // -(-len(names) // longest))  # no row with one name left over
        rows = tuple(names[n : n + most] for n in range(0, len(names), most))
        if _fit(rows, layout.type_px(TYPE_SMALL), layout):
            break
    return rows


def _fit(rows: tuple[tuple[str, ...], ...], size_px: int, layout: Layout) -> bool:
    gap, pad = layout.px(4), 2 * layout.px(RIBBON_PAD)
    widest = max(
        sum(MEASURE.width_px(name, size_px, True) + pad + gap for name in names) - gap
        for names in rows
    )
    return widest <= layout.bookmarks.width


def draw_book(surface: pygame.Surface, desk: Desk, scene: Scene) -> None:
    """The book at the right: cover, ribbons, and the page that is open."""
    caret_shown = desk.clock_s % (2 * BLINK_S) < BLINK_S or scene.sheet.caret is None
    opened = OpenBook(
        scene.layout, scene.sheet, scene.ribbons, desk.page, scene.scroll_px, caret_shown
    )
    surface.blit(_book(opened), scene.layout.book[:2])


class OpenBook(NamedTuple):
    """All that the drawn book depends on."""

    layout: Layout
    sheet: SetPage
    ribbons: tuple[tuple[str, Box], ...]
    page: str
    scroll_px: int
    caret_shown: bool


@lru_cache(maxsize=4)
def _book(opened: OpenBook) -> pygame.Surface:
    """The book drawn, and kept while nothing in it changes: most frames are of the corner."""
    layout = opened.layout
    left = layout.book.x
    book = pygame.Surface(layout.book[2:])
    book.fill(COVER)
    size = ribbon_type_px(layout, tuple(name for name, _ in opened.ribbons))
    for number, (name, box) in enumerate(opened.ribbons):
        ribbon = Ribbon(name, RIBBONS[number % len(RIBBONS)], size, name == opened.page)
        _draw_ribbon(book, layout, box._replace(x=box.x - left), ribbon)
    time_s = 0.0 if opened.caret_shown else BLINK_S
    page = layout.page._replace(x=layout.page.x - left)
    draw_sheet(book, opened.sheet, page, opened.scroll_px, time_s)
    return book


class Ribbon(NamedTuple):
    """A page's name on its ribbon, the cloth's colour, and whether the page is open."""

    name: str
    cloth: Colour
    size_px: int
    is_open: bool


def _draw_ribbon(surface: pygame.Surface, layout: Layout, box: Box, ribbon: Ribbon) -> None:
    """A ribbon with its page's name; the open page's hangs lower and its name is underlined."""
    longer = layout.px(OPEN_PX if ribbon.is_open else SHUT_PX)
    cloth = pygame.Rect(box.x, box.y, box.width, box.height - layout.px(OPEN_PX) + longer)
    pygame.draw.rect(surface, ribbon.cloth, cloth)
    words = line_surface(ribbon.name, ribbon.size_px, RIBBON_INK, ribbon.is_open)
    place = words.get_rect(center=cloth.center)
    surface.blit(words, place)
    if ribbon.is_open:
        surface.fill(RIBBON_INK, (place.x, place.bottom, place.width, 2))


def draw_note(surface: pygame.Surface, desk: Desk, layout: Layout) -> None:
    """The words at the foot of the corner: a hint, a refusal, a caution, or trouble."""
    note = told(desk)
    if not note.text:
        return
    warns = note.kind in ("caution", "trouble")
    ground: Colour = CAUTION_GROUND if warns else NOTE_GROUND
    ink: Colour = CAUTION_INK if warns else STRUCK if note.kind == "refusal" else INK
    size = layout.type_px(TYPE_TEXT)
    pad = layout.px(8)
    foot = layout.message
    lines = broken(note.text, size, foot.width - 2 * pad)
    step = MEASURE.line_height_px(size)
    height = len(lines) * step + 2 * pad
    box = pygame.Rect(foot.x, foot.bottom - height, foot.width, height)
    pygame.draw.rect(surface, ground, box, border_radius=layout.px(4))
    pygame.draw.rect(surface, ink, box, 1, border_radius=layout.px(4))
    top = box.y + (height - len(lines) * step) // 2
    for row, line in enumerate(lines):
        surface.blit(line_surface(line, size, ink), (box.x + pad, top + row * step))


def picture(surface: pygame.Surface, desk: Desk, scene: Scene) -> None:
    """Draw the whole window. The same desk and scene give the same picture."""
    state, layout = desk.shown, scene.layout
    carried = scene.carried.thing if scene.carried else ""
    surface.blit(room(layout), (0, 0))
    _table(surface, desk, state, layout, carried)
    _bath(surface, desk, state, scene)
    _called_out(surface, state, scene)
    _rule(surface, desk, state, layout, carried)
    _carried(surface, desk, layout, scene.carried)
    _focused(surface, desk, layout)
    draw_note(surface, desk, layout)
    draw_book(surface, desk, scene)
    if desk.help_open:
        draw_help(surface, layout)


def _focused(surface: pygame.Surface, desk: Desk, layout: Layout) -> None:
    """The ring about the thing that has the focus, as about a field."""
    if desk.focus != BENCH or not desk.thing:
        return
    stroke = max(layout.px(FOCUS_STROKE), FOCUS_STROKE)
    ring = place_of_thing(desk, layout, desk.thing).inset(-2 * stroke)
    pygame.draw.rect(surface, FOCUS, ring, stroke, border_radius=2 * stroke)


@lru_cache(maxsize=2)
def room(layout: Layout) -> pygame.Surface:
    """The room with nothing in it, drawn once for a layout."""
    return draw_room(layout)


def _table(surface: pygame.Surface, desk: Desk, state: State, layout: Layout, carried: str) -> None:
    """All that stands on the table or hangs above it, the farthest first."""
    if carried != "towel":
        draw_towel(surface, layout)
    draw_stopwatch(surface, layout, *stopwatch_seen(desk, state))
    poured = next((thing for thing, water in VESSELS.items() if water == poured_now(desk)), "")
    _vessels(surface, desk, layout, (carried, poured))
    if state.floor_wet:
        draw_floor_puddle(surface, layout)
        draw_bench_puddle(surface, layout)
    _beaker(surface, desk, state, layout, carried)
    if poured:
        draw_pouring(surface, layout, poured, layout.water_level_px(state.water_kg))
    if state.place is Place.TRAY and carried != "ball":
        x, y = layout.tray_ball
        radius = layout.table_ball_radius_px
        draw_resting_shadow(surface, x, y + radius, radius)
        draw_ball(surface, x, y + radius, radius)
    if state.place in (Place.TRAY, Place.FLOOR) and carried != "ball":
        draw_tongs_at_rest(surface, layout)


def _vessels(surface: pygame.Surface, desk: Desk, layout: Layout, away: tuple[str, ...]) -> None:
    """Kettle and jug where they stand, unless they are away; the kettle steams."""
    for thing in VESSELS:
        if thing in away:
            continue
        draw_vessel(surface, layout, thing)
        if thing == "kettle":
            lip = vessel_lip(layout, thing)
            draw_steam(surface, lip, layout.px(44), celsius(KETTLE_K), steam_s(desk))


def _beaker(
    surface: pygame.Surface, desk: Desk, state: State, layout: Layout, carried: str
) -> None:
    """Far wall, thermometer, ball, water, near wall, steam."""
    under = state.place is Place.WATER
    draw_beaker_back(surface, layout)
    _in_water(surface, state, layout, "beaker", carried)
    draw_water(surface, layout, state.water_kg, under)
    draw_beaker_front(surface, layout)
    if state.water_kg > 0.0:
        level = layout.water_level_px(state.water_kg, under)
        mouth = (layout.beaker.centre[0], level - layout.px(4))
        water_c = celsius(state.water_k)
        draw_steam(surface, mouth, layout.beaker.width * 0.9, water_c, steam_s(desk))


def _bath(surface: pygame.Surface, desk: Desk, state: State, scene: Scene) -> None:
    """Trolley, tank with what stands in it, steam, and the thermostat as it is set."""
    layout, held = scene.layout, scene.carried
    carried = held.thing if held else ""
    draw_bath_back(surface, layout)
    _in_water(surface, state, layout, "bath", carried)
    draw_bath_front(surface, layout)
    spread = layout.bath.width * 0.6
    draw_steam(surface, water_mouth(layout), spread, celsius(state.bath_k), steam_s(desk))
    turned_k = layout.dial_turn_k(held.from_px, held.at_px) if held and carried in DIAL else 0.0
    setting_k = dial_at_k(state, turned_k) if turned_k else state.bath_setting_k
    share = (setting_k - COLDEST_BATH_K) / (HOTTEST_BATH_K - COLDEST_BATH_K)
    text = f"{fixed(float(celsius(setting_k)), 1)} °C"
    draw_thermostat(surface, layout, share, text, bath_word(state))


def _in_water(
    surface: pygame.Surface, state: State, layout: Layout, vessel: Vessel, carried: str
) -> None:
    """The thermometer and the ball, where they are in this vessel and not in the hand."""
    if state.thermometer_in == vessel and carried != "thermometer":
        reading_c = celsius(thermometer_reading_exact_k(state))
        draw_thermometer(surface, layout, layout.thermometer_bulb(vessel), reading_c)
    if state.place is PLACE_IN[vessel] and carried != "ball":
        x, y = layout.bath_ball if vessel == "bath" else layout.beaker_ball
        radius = layout.table_ball_radius_px
        draw_held_ball(surface, x, y + radius, radius, wet=True, turn_deg=UPRIGHT_DEG)


def _rule(surface: pygame.Surface, desk: Desk, state: State, layout: Layout, carried: str) -> None:
    """The rule's fittings, the ball before it, the eye, the lens or the camera's picture."""
    sight = layout.sight(desk.eye_m)
    draw_jaws(surface, layout)
    draw_marker(surface, layout, state.setup.drop_height_m)
    if state.camera is None:
        draw_camera_on_shelf(surface, layout)
    ball = None if carried == "ball" else ball_seen(desk)
    lens = lens_seen(desk, ball)
    through = layout.lens_sight(lens.eye_m, lens.centre_m)
    draw_lens(surface, layout, through, lens.ball, lens.heading)
    if state.camera is not None:
        draw_camera_on_stand(surface, layout, state.camera.height_m)
    draw_eye_mark(surface, layout, desk.eye_m)
    if ball is not None:
        radius = layout.rule.height * state.ball.diameter_m / 2.0
        draw_floor_shadow(surface, layout, layout.ball_x_px, ball.lowest_m, radius)
        draw_ball_seen(surface, layout.ball_x_px, sight, ball)


def _carried(surface: pygame.Surface, desk: Desk, layout: Layout, carried: Carried | None) -> None:
    """What hangs on the pointer, or is held beside the towel."""
    if carried is None:
        _between(surface, desk, layout)
        return
    x, y = carried.at_px
    if carried.thing in VESSELS:
        box = layout.handles[carried.thing]
        at = (x - box.width // 2, y - box.height // 2)
        draw_vessel(surface, layout, carried.thing, at)
    elif carried.thing == "towel":
        draw_towel(surface, layout, (x - layout.towel.width // 2, y - layout.px(10)))
    elif carried.thing == "ball":
        radius = 0.020 * layout.px_per_m_at(x)
        draw_held_ball(surface, x, y + radius, radius, wet=desk.state.soaking)


def _called_out(surface: pygame.Surface, state: State, scene: Scene) -> None:
    """The thermometer's call-out, wherever the thermometer is."""
    layout, held = scene.layout, scene.carried
    (x, y), reading_c = (
        layout.thermometer_bulb(state.thermometer_in),
        celsius(thermometer_reading_exact_k(state)),
    )
    if held and held.thing == "thermometer":
        x, y = x + held.at_px[0] - held.from_px[0], y + held.at_px[1] - held.from_px[1]
        draw_thermometer(surface, layout, (x, y), reading_c)
    draw_thermometer_lens(surface, layout, (x, y), reading_c)


def _between(surface: pygame.Surface, desk: Desk, layout: Layout) -> None:
    """The ball in the tongs, neither in the water nor at the rule: before the towel."""
    state = desk.state
    if state.place is not Place.TONGS or state.held_height_m is not None:
        return
    radius = layout.table_ball_radius_px
    x, y = layout.hand_ball
    draw_held_ball(surface, x, y + radius, radius, wet=is_wet(state))
