"""What follows on an intent: the one door through which everything at the desk changes.

The desk as a student finds it, new or going on with a record.

Who is asked first: the order of focus on a page, and the leaves that lie upon it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from sim.bench.model import intents as want
from sim.bench.model.desk import BENCH, Desk, Field, Step, passed
from sim.bench.model.handling import HANDLING
from sim.bench.model.pages import PAGES
from sim.bench.model.plotting import moved, pointed, rubbed_out, zoomed
from sim.bench.screen.layout import Box, Layout
from sim.bench.screen.pointer import carried_on, put_down, taken_up
from sim.bench.ui.blocks import Choice, Tick
from sim.bench.ui.fields import Edit, Motion, Move, PlaceCaret, TextLine, edited
from sim.bench.ui.graph_paper import PAPER
from sim.bench.ui.page import Hit, Sheet, page_point, view_box
from sim.state import State

GOING_ON = "Going on where the practical stopped. F1 lists the keys."


def desk_for(state: State, text_scale: float = 1.0) -> Desk:
    """A desk for a practical, the fields filled from what its book holds already."""
    fields: dict[str, Field] = {}
    for page in PAGES.values():
        fields.update(page.fields(state))
    desk = Desk(
        state=state,
        eye_m=state.eye_height_m,
        fields=MappingProxyType(fields),
        text_scale=text_scale,
    )
    return desk.saying(GOING_ON) if state.time_s else desk


@dataclass(frozen=True)
class Focus:
    """The names that can have the focus, in reading order, and the one that has it."""

    names: tuple[str, ...] = ()
    current: str | None = None

    def __post_init__(self) -> None:
        """Refuse a current name that is not among the names (ValueError)."""
        if self.current is not None and self.current not in self.names:
            raise ValueError(f"{self.current!r} is not among {self.names}")

    def moved(self, step: int) -> Focus:
        """Go to the next (1) or the one before (-1), from the last round to the first."""
        if not self.names:
            return self
        if self.current is None:
            return replace(self, current=self.names[0 if step > 0 else -1])
        at = (self.names.index(self.current) + step) % len(self.names)
        return replace(self, current=self.names[at])

    def on(self, name: str) -> Focus:
        """Give the focus to a name, as a click does; an unknown name changes nothing."""
        return replace(self, current=name) if name in self.names else self

    def among(self, names: tuple[str, ...]) -> Focus:
        """Keep the focus when the page has changed; it is on nothing if its name has gone."""
        return Focus(names, self.current if self.current in names else None)


@dataclass(frozen=True)
class Leaf:
    """Something that lies on the page: a dialog or, if `transparent`, a note.

    A dialog keeps every intent, also what it has no use for: nothing beneath may move
    while a question stands. A transparent leaf keeps only what it `wants`: types of intents.
    """

    name: str
    wants: frozenset[type] = frozenset()
    transparent: bool = False

    def keeps(self, intent: object) -> bool:
        """Whether the intent goes no further down than this leaf."""
        return not self.transparent or type(intent) in self.wants


@dataclass(frozen=True)
class Stack:
    """The leaves, the lowest first; the lowest is the page and keeps what comes to it."""

    leaves: tuple[Leaf, ...]

    def __post_init__(self) -> None:
        """Refuse a stack without a page, or a page that lets intents fall through."""
        if not self.leaves or self.leaves[0].transparent:
            raise ValueError("the lowest leaf of a stack is a page that is not transparent")

    @property
    def top(self) -> Leaf:
        """The leaf that lies uppermost."""
        return self.leaves[-1]

    def opened(self, leaf: Leaf) -> Stack:
        """Lay a leaf on top; one of that name that already lies there changes nothing."""
        if any(leaf.name == other.name for other in self.leaves):
            return self
        return Stack((*self.leaves, leaf))

    def closed(self) -> Stack:
        """Take the uppermost leaf away; the page stays."""
        return Stack(self.leaves[:-1]) if len(self.leaves) > 1 else self

    def keeper(self, intent: object) -> Leaf:
        """Find the leaf that gets an intent: each leaf is asked in turn, from the top down."""
        return next(leaf for leaf in reversed(self.leaves) if leaf.keeps(intent))


TEXT_SCALES = (1.0, 1.25, 1.5)
KEPT_EVERY_S = 3.0
"""What is being written goes on record so often, so that a crash loses no more."""


@dataclass(frozen=True)
class Seen:
    """What the person sees while wishing: where everything stands, and the page as set."""

    layout: Layout
    sheet: Sheet
    ribbons: tuple[tuple[str, Box], ...] = ()
    """The pages' names and the places of their ribbons."""


def after(desk: Desk, intent: want.Intent, seen: Seen) -> Step:
    """The desk after an intent, and the actions that were done for it."""
    kind = type(intent)
    if desk.help_open and kind not in (want.TurnHelp, want.ScaleText):
        return _under_help(desk, intent)
    if kind in HANDLING:
        return HANDLING[kind](desk, intent)
    return _BOOK[kind](desk, intent, seen)


def passed_by(desk: Desk, time_s: float) -> Step:
    """Time passes on the wall, and every few seconds the open page keeps what is written."""
    step = passed(desk, time_s)
    if step.desk.clock_s // KEPT_EVERY_S == desk.clock_s // KEPT_EVERY_S:
        return step
    kept = PAGES[step.desk.page].kept(step.desk)
    return Step(replace(kept.desk, note=step.desk.note), (*step.actions, *kept.actions))


def followed(desk: Desk, seen: Seen) -> Desk:
    """The page scrolled, as it is set now, to what has the focus; not under a pencil."""
    return desk if desk.paper.down else _in_view(desk, seen)


def _under_help(desk: Desk, intent: want.Intent) -> Step:
    """The help leaf lies on top: it goes at a key or a click, and lets nothing through."""
    closing = isinstance(intent, want.Dismiss | want.Press) or (
        isinstance(intent, want.Point) and intent.what == "down"
    )
    return Step(replace(desk, help_open=not closing))


def _open_page(desk: Desk, intent: want.OpenPage, _: Seen) -> Step:
    if intent.name not in PAGES:
        return Step(desk)
    step = PAGES[desk.page].kept(desk)
    turned = replace(step.desk, page=intent.name, focus=BENCH, scroll_px=0, composing="")
    return Step(turned, step.actions)


def _move_focus(desk: Desk, intent: want.MoveFocus, seen: Seen) -> Step:
    order = Focus((BENCH, *seen.sheet.names), BENCH).on(desk.focus).moved(intent.by)
    return _focus_on(desk, want.FocusOn(order.current or BENCH), seen)


def _focus_on(desk: Desk, intent: want.FocusOn, seen: Seen) -> Step:
    step = PAGES[desk.page].kept(desk)
    focused = replace(step.desk, focus=intent.name, composing="")
    return Step(_in_view(focused, seen), step.actions)


def _in_view(desk: Desk, seen: Seen) -> Desk:
    """The page scrolled as little as shows what has the focus."""
    if desk.focus == BENCH:
        return desk
    view = view_box(seen.layout.page, seen.sheet.text_scale)
    return replace(desk, scroll_px=seen.sheet.scrolled_to(desk.focus, desk.scroll_px, view.height))


def _press(desk: Desk, intent: want.Press, seen: Seen) -> Step:
    name = intent.name or desk.focus
    if name == BENCH:
        return Step(desk)
    field = desk.fields.get(name)
    if isinstance(field, Tick):
        return Step(_with_field(desk, name, field.toggled()))
    return PAGES[desk.page].pressed(desk, name)


def _edit_text(desk: Desk, intent: want.EditText, seen: Seen) -> Step:
    field = desk.fields.get(desk.focus)
    if isinstance(field, Choice):
        return Step(_with_field(desk, desk.focus, _chosen(field, intent.edit)))
    if not isinstance(field, TextLine):
        return Step(desk)
    changed = edited(field, intent.edit, seen.sheet.lines_of(desk.focus))
    if changed is field and isinstance(intent.edit, Move):
        return _to_neighbour(desk, intent.edit.where, seen)
    return Step(replace(_with_field(desk, desk.focus, changed), composing=""))


def _to_neighbour(desk: Desk, way: Motion, seen: Seen) -> Step:
    """An arrow that has no use within a field goes to the field beside it, where there is one."""
    beside = PAGES[desk.page].neighbour(desk.focus, way)
    if beside is None or beside not in desk.fields:
        return Step(desk)
    return _focus_on(desk, want.FocusOn(beside), seen)


def _chosen(choice: Choice, edit: Edit) -> Choice:
    """The option that an arrow key goes to."""
    steps = {Motion.UP: -1, Motion.LEFT: -1, Motion.DOWN: 1, Motion.RIGHT: 1}
    step = steps.get(edit.where, 0) if isinstance(edit, Move) else 0
    return choice.moved(step) if step else choice


def _scroll(desk: Desk, intent: want.Scroll, seen: Seen) -> Step:
    view = view_box(seen.layout.page, seen.sheet.text_scale)
    wanted = desk.scroll_px + round(intent.by_px * seen.sheet.text_scale)
    return Step(replace(desk, scroll_px=seen.sheet.scrolled(wanted, view.height)))


def _scale_text(desk: Desk, intent: want.ScaleText, _: Seen) -> Step:
    at = TEXT_SCALES.index(desk.text_scale) + intent.by
    scale = TEXT_SCALES[min(max(at, 0), len(TEXT_SCALES) - 1)]
    return Step(replace(desk, text_scale=scale).saying(f"Text at {scale * 100:.0f} %."))


def _turn_help(desk: Desk, _: want.TurnHelp, __: Seen) -> Step:
    return Step(replace(desk, help_open=not desk.help_open))


def _dismiss(desk: Desk, _: want.Dismiss, seen: Seen) -> Step:
    return _focus_on(desk, want.FocusOn(BENCH), seen)


def _point(desk: Desk, intent: want.Point, seen: Seen) -> Step:
    at = (intent.x, intent.y)
    if intent.what == "down":
        return _point_down(desk, at, seen)
    if desk.paper.down:
        view = view_box(seen.layout.page, seen.sheet.text_scale)
        return _pencil(desk, page_point(view, desk.scroll_px, at), intent.what, seen)
    follow = carried_on if intent.what == "move" else put_down
    moved, wish = follow(desk, seen.layout, at)
    return after(moved, wish, seen) if wish is not None else Step(moved)


def _point_down(desk: Desk, at: tuple[int, int], seen: Seen) -> Step:
    if seen.layout.corner.holds(at):
        step = _focus_on(desk, want.FocusOn(BENCH), seen)
        return Step(taken_up(step.desk, seen.layout, at), step.actions)
    for name, ribbon in seen.ribbons:
        if ribbon.holds(at):
            return _open_page(desk, want.OpenPage(name), seen)
    view = view_box(seen.layout.page, seen.sheet.text_scale)
    point = page_point(view, desk.scroll_px, at)
    hit = seen.sheet.hit(*point)
    return _hit(desk, hit, point, seen) if hit is not None else Step(desk)


def _hit(desk: Desk, hit: Hit, point: tuple[int, int], seen: Seen) -> Step:
    """A click on the page: into a text, on an option, on a button."""
    if hit.name == PAPER:
        return _pencil_down(desk, point, seen)
    step = _focus_on(desk, want.FocusOn(hit.name), seen)
    field = step.desk.fields.get(hit.name)
    if isinstance(field, TextLine):
        caret = seen.sheet.caret_index(hit.name, *point)
        placed = _with_field(step.desk, hit.name, edited(field, PlaceCaret(caret)))
        return Step(placed, step.actions)
    if isinstance(field, Choice) and hit.part is not None:
        chosen = _with_field(step.desk, hit.name, field.chosen(hit.part))
        return Step(chosen, step.actions)
    pressed = _press(step.desk, want.Press(hit.name), seen)
    return Step(pressed.desk, (*step.actions, *pressed.actions))


def _pencil_down(desk: Desk, point: tuple[int, int], seen: Seen) -> Step:
    """The page stays where it is, so that the pencil stays under the pointer."""
    kept = PAGES[desk.page].kept(desk)
    down = _pencil(replace(kept.desk, focus=PAPER), point, "down", seen)
    return Step(down.desk, (*kept.actions, *down.actions))


def _pencil(desk: Desk, point: tuple[int, int], what: str, seen: Seen) -> Step:
    """The pointer holds the pencil on the graph paper; without a paper it lets go."""
    frame = seen.sheet.frame(PAPER)
    if frame is None or frame.graph is None:
        return Step(replace(desk, paper=replace(desk.paper, down=False)))
    return pointed(desk, frame.graph.view, point, what)


def _move_pencil(desk: Desk, intent: want.MovePencil, _: Seen) -> Step:
    return Step(moved(desk, intent.across, intent.up))


def _zoom_paper(desk: Desk, intent: want.ZoomPaper, _: Seen) -> Step:
    return Step(zoomed(desk, intent.by))


def _rub_out(desk: Desk, _: want.RubOut, __: Seen) -> Step:
    return rubbed_out(desk)


def _with_field(desk: Desk, name: str, field: Field) -> Desk:
    return replace(desk, fields=MappingProxyType({**desk.fields, name: field}))


def _demonstrate(desk: Desk, _: want.Demonstrate, __: Seen) -> Step:
    return Step(replace(desk, demonstrating=True))


def _leave(desk: Desk, _: want.Leave, __: Seen) -> Step:
    return PAGES[desk.page].kept(desk)


_BOOK: dict[type[want.Intent], Callable[[Desk, Any, Seen], Step]] = {
    want.OpenPage: _open_page,
    want.MoveFocus: _move_focus,
    want.FocusOn: _focus_on,
    want.Press: _press,
    want.EditText: _edit_text,
    want.Scroll: _scroll,
    want.ScaleText: _scale_text,
    want.TurnHelp: _turn_help,
    want.MovePencil: _move_pencil,
    want.ZoomPaper: _zoom_paper,
    want.RubOut: _rub_out,
    want.Dismiss: _dismiss,
    want.Point: _point,
    want.Demonstrate: _demonstrate,
    want.Leave: _leave,
}
