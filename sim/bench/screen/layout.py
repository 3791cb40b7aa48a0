"""Where everything stands: window size and text scale to named rectangles; what an eye sees.

Pure arithmetic, no pygame. The bench is laid out for 1366 x 768 and grows in proportion with a
larger window; it never shrinks below that. Only what holds text grows with the text scale.

The marks lie on the rule and are seen where they are. The ball and the tongs hang a little in
front of it, so the eye sees them against another mark unless it is level with them: that shift is
`physics.reading.seen_height_m` and stands nowhere else.

A `Scene` is all that is seen beside the desk itself: layout, page and the thing in the hand.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import Literal, NamedTuple

from physics.reading import View, seen_height_m
from sim.bench.ui.marks import SetPage, page_point, view_box
from sim.bench.ui.theme import Box

RULE_LENGTH_M = 1.0


@dataclass(frozen=True)
class Sight:
    """Turns heights into rows of pixels, for an eye `eye_height_m` above the floor.

    `floor_y_px` is the row of the rule's zero, counted down from the top of the picture;
    it may lie outside the picture. One class serves the wall view and the lens, which
    differ in `floor_y_px` and `px_per_m` alone. Rows are floats: edges, not pixels.
    """

    eye_height_m: float
    floor_y_px: float
    px_per_m: float

    def to_px(self, height_on_rule_m: float) -> float:
        """The row of a height on the rule's own plane."""
        return self.floor_y_px - height_on_rule_m * self.px_per_m

    def to_m(self, row_px: float) -> float:
        """The height on the rule's own plane at a row."""
        return (self.floor_y_px - row_px) / self.px_per_m

    def ball_px(self, lowest_point_m: float) -> float:
        """The row against which the ball's lowest point is seen."""
        view = View(self.eye_height_m)
        seen_m = seen_height_m(
            lowest_point_m, view.eye_height_m, view.eye_distance_m, view.standoff_m
        )
        return self.to_px(float(seen_m))

    def ball_m(self, row_px: float) -> float:
        """The true height of a lowest point that is seen at a row.

        The inverse of `ball_px`, which is a straight line in the height.
        """
        at_zero, at_one = self.ball_px(0.0), self.ball_px(1.0)
        return (row_px - at_zero) / (at_one - at_zero)

    def ball_span_px(self, lowest_point_m: float, diameter_m: float) -> tuple[float, float]:
        """The rows of the ball's top and of its lowest point, both as the eye sees them."""
        return self.ball_px(lowest_point_m + diameter_m), self.ball_px(lowest_point_m)


def lens_centre_m(wanted_m: float, strip_m: float) -> float:
    """The height that the lens is centred on: as wanted, but never far off the rule.

    `strip_m` is the height of the strip that the lens shows. A quarter of it may lie
    below the floor and half of it above the rule's end, where a ball at the mark hangs.
    """
    return min(max(wanted_m, strip_m / 4.0), RULE_LENGTH_M)


def lens_sight(eye_height_m: float, centre_m: float, middle_y_px: float, px_per_m: float) -> Sight:
    """The sight through the lens: `centre_m` is seen at the row `middle_y_px`."""
    return Sight(eye_height_m, middle_y_px + centre_m * px_per_m, px_per_m)


BASE_WIDTH, BASE_HEIGHT = 1366, 768
CORNER_WIDTH = 900
LEAST_HANDLE = 44
"""The least width and height of a handle in pixels (WCAG 2.2, 2.5.5 asks for 44)."""
RULE_PX_PER_M = 570
TABLE_PX_PER_M = 1150
"""The table stands nearer than the rule, so things on it are drawn larger."""
BALL_RADIUS_M = 0.020
LENS_STRIP_M = 0.09
THERMOMETER_LENS_K = 15
"""How many degrees the thermometer's call-out shows."""
BEAKER_RIM_KG = 0.43
"""The water that would stand level with the rim."""
BALL_DISPLACES_KG = 0.0335
"""Water pushed aside by a ball of 40 mm held under."""


def around(x: float, y: float, width: int = LEAST_HANDLE, height: int = LEAST_HANDLE) -> Box:
    """A box about a middle: the handle of a thing that moves."""
    return Box(round(x) - width // 2, round(y) - height // 2, width, height)


@dataclass(frozen=True)
class Layout:
    """Every named rectangle of the window.

    `size` is the window in pixels; `text_scale` goes from 1.0 to 1.5.
    """

    size: tuple[int, int] = (BASE_WIDTH, BASE_HEIGHT)
    text_scale: float = 1.0

    @cached_property
    def scale(self) -> float:
        """How much larger than 1366 x 768 everything is drawn."""
        return max(1.0, min(self.size[0] / BASE_WIDTH, self.size[1] / BASE_HEIGHT))

    def px(self, length: float) -> int:
        """A length of the 1366 x 768 plan, in this window's pixels."""
        return round(length * self.scale)

    def type_px(self, size: float) -> int:
        """A type size of the theme, in this window's pixels."""
        return round(size * self.scale * self.text_scale)

    def _box(self, x: float, y: float, width: float, height: float) -> Box:
        """A box of the plan, moved down with it."""
        top = self._drop + self.px(y)
        return Box(self.px(x), top, self.px(width), self.px(height))

    @cached_property
    def _drop(self) -> int:
        """How far the plan is moved down: to the foot of a tall window, clear of the message."""
        return self.size[1] - self.px(BASE_HEIGHT) - (self.message.height - self.px(34))

    # The two halves of the window.

    @cached_property
    def window(self) -> Box:
        """All of it."""
        return Box(0, 0, *self.size)

    @cached_property
    def corner(self) -> Box:
        """The laboratory corner, at the left."""
        return Box(0, 0, round(self.size[0] * CORNER_WIDTH / BASE_WIDTH), self.size[1])

    @cached_property
    def book(self) -> Box:
        """The exercise book with its bookmarks, at the right."""
        return Box(self.corner.right, 0, self.size[0] - self.corner.width, self.size[1])

    @cached_property
    def bookmarks(self) -> Box:
        """The ribbons along the top of the book."""
        margin = self.px(10)
        height = self.type_px(72) - self.px(8)
        return Box(self.book.x + margin, 0, self.book.width - 2 * margin, height)

    @cached_property
    def page(self) -> Box:
        """The open page, below the ribbons."""
        margin, top = self.px(10), self.bookmarks.bottom
        return Box(
            self.book.x + margin, top, self.book.width - 2 * margin, self.size[1] - top - margin
        )

    @cached_property
    def message(self) -> Box:
        """One or two words of guidance or a caution, along the foot of the corner."""
        margin = self.px(12)
        height = self.type_px(22) + self.px(12)
        top = self.size[1] - height - self.px(6)
        return Box(margin, top, self.corner.width - 2 * margin, height)

    # The room.

    @cached_property
    def floor_line_px(self) -> int:
        """The row where the wall ends and the floor begins."""
        return self._drop + self.px(664)

    @cached_property
    def table(self) -> Box:
        """The table top as seen, from its back edge to its front edge."""
        return self._box(10, 440, 456, 60)

    # On the table, and above it.

    @cached_property
    def kettle(self) -> Box:
        """The kettle: body, spout and handle."""
        return self._box(26, 328, 120, 136)

    @cached_property
    def beaker(self) -> Box:
        """The beaker's glass, rim to foot."""
        return self._box(166, 354, 88, 134)

    @cached_property
    def jug(self) -> Box:
        """The cold jug."""
        return self._box(290, 372, 86, 92)

    @cached_property
    def tray(self) -> Box:
        """The dish for the ball."""
        return self._box(378, 438, 80, 54)

    @cached_property
    def tongs(self) -> Box:
        """The tongs on their rest."""
        return self._box(262, 466, 112, 44)

    @cached_property
    def towel(self) -> Box:
        """The towel over the table's front edge."""
        return self._box(40, 482, 92, 120)

    @cached_property
    def bench_puddle(self) -> Box:
        """Water spilt by the beaker."""
        return self._box(134, 470, 150, 32)

    @cached_property
    def stopwatch(self) -> Box:
        """The stopwatch on its hook."""
        return self._box(24, 60, 118, 150)

    @cached_property
    def thermometer(self) -> Box:
        """The part of the thermometer that stands out of the beaker."""
        rim = self.beaker
        return Box(rim.x + self.px(64), rim.y - self.px(150), self.px(46), self.px(150))

    @cached_property
    def thermometer_lens(self) -> Box:
        """The call-out that magnifies the thermometer about its thread's end."""
        width = self.px(76) + self.type_px(44)
        height = self.px(254) + self.thermometer_heading_px
        return Box(self.px(300), self._drop + self.px(334) - height, width, height)

    @cached_property
    def thermometer_heading_px(self) -> int:
        """The height of the call-out's heading, which names the unit."""
        return self.type_px(22)

    @property
    def table_ball_radius_px(self) -> float:
        """The ball's radius while it is on the table."""
        return BALL_RADIUS_M * TABLE_PX_PER_M * self.scale

    @cached_property
    def tray_ball(self) -> tuple[int, int]:
        """The middle of the ball lying in its dish."""
        tray = self.tray
        return tray.x + tray.width // 2, tray.y + self.px(20)

    @cached_property
    def beaker_ball(self) -> tuple[int, int]:
        """The middle of the ball held under water."""
        glass = self.beaker
        radius = round(self.table_ball_radius_px)
        return glass.x + self.px(12) + radius, glass.bottom - self.px(10) - radius

    @cached_property
    def hand_ball(self) -> tuple[int, int]:
        """The middle of the ball in the tongs, neither in the water nor at the rule."""
        return self.towel.right + self.px(40), self.towel.y + self.px(50)

    def water_level_px(self, mass_kg: float, ball_under: bool = False) -> float:
        """The row of the water's surface; a ball held under raises it."""
        glass = self.beaker
        foot = glass.bottom - self.px(6)
        full = min(mass_kg + (BALL_DISPLACES_KG if ball_under else 0.0), BEAKER_RIM_KG)
        return foot - (foot - glass.y) * full / BEAKER_RIM_KG

    def px_per_m_at(self, x: float) -> float:
        """The scale of a thing carried from the table (near) to the rule (farther)."""
        near, far = self.table.right - self.px(60), self.rule.x
        share = min(max((x - near) / (far - near), 0.0), 1.0)
        return self.scale * (TABLE_PX_PER_M + (RULE_PX_PER_M - TABLE_PX_PER_M) * share)

    # At the rule.

    @cached_property
    def rule(self) -> Box:
        """The metre rule: zero at its foot, on the floor."""
        foot = self._drop + self.px(704)
        length = self.px(RULE_PX_PER_M)
        width = self.px(20) + self.type_px(26)
        return Box(self.px(540), foot - length, width, length)

    def sight(self, eye_height_m: float) -> Sight:
        """The wall view from an eye's height."""
        return Sight(eye_height_m, self.rule.bottom, self.rule.height)

    @property
    def ball_x_px(self) -> int:
        """The column of the ball's middle at the rule: before the rule's divided edge."""
        return self.rule.x

    def eye_mark(self, eye_height_m: float) -> Box:
        """The handle of the eye; an eye above or below the picture waits at its edge."""
        row = self.sight(eye_height_m).to_px(eye_height_m)
        return self._beside_rule(row, self.px(14), self.px(48), self.px(LEAST_HANDLE))

    def camera_on_stand(self, height_m: float) -> Box:
        """The handle of the camera on its stand."""
        row = self.sight(height_m).to_px(height_m)
        width, height = self.px(54), self.px(LEAST_HANDLE)
        return self._beside_rule(row, self.px(66), width, height)

    def _beside_rule(self, row: float, gap: int, width: int, height: int) -> Box:
        top = min(max(round(row) - height // 2, 0), self.message.y - height)
        return Box(self.rule.right + gap, top, width, height)

    def held_ball(self, x: float, y: float) -> Box:
        """The handle of a ball that is carried or lies on the floor."""
        return around(x, y, self.px(LEAST_HANDLE), self.px(LEAST_HANDLE))

    @cached_property
    def floor_puddle(self) -> Box:
        """Water spilt on the floor by the rule."""
        return self._box(446, 682, 150, 44)

    # The lens.

    @cached_property
    def lens(self) -> Box:
        """The lens panel with its frame and its heading."""
        x = self.rule.right + self.px(124)
        heading = self.type_px(24)
        height = heading + self.lens_px_per_m * LENS_STRIP_M + 2 * self.px(6)
        bottom = self.camera_shelf.y - self.px(22)
        return Box(x, bottom - round(height), self.corner.right - self.px(10) - x, round(height))

    @cached_property
    def lens_px_per_m(self) -> int:
        """The lens's scale: whole pixels to the millimetre, so that its marks are even."""
        return 1000 * int(4 * self.scale)

    @cached_property
    def lens_view(self) -> Box:
        """The glass of the lens: where the strip is seen."""
        edge, heading = self.px(6), self.type_px(24)
        panel = self.lens
        return Box(
            panel.x + edge,
            panel.y + edge + heading,
            panel.width - 2 * edge,
            panel.height - 2 * edge - heading,
        )

    def lens_sight(self, eye_height_m: float, looked_at_m: float | None = None) -> Sight:
        """The view through the lens: about the eye's level, or about a height looked at."""
        view = self.lens_view
        wanted = eye_height_m if looked_at_m is None else looked_at_m
        centre = lens_centre_m(wanted, view.height / self.lens_px_per_m)
        return lens_sight(
            eye_height_m, centre, view.y + view.height / 2.0, float(self.lens_px_per_m)
        )

    @property
    def lens_edge_px(self) -> int:
        """The column of the rule's divided edge in the lens, where the ball's middle is."""
        return self.lens_view.x + round(0.40 * self.lens_view.width)

    @cached_property
    def camera_shelf(self) -> Box:
        """The shelf on the wall with the camera that is not in use."""
        x = self.rule.right + self.px(124)
        return Box(x, self._drop + self.px(560), self.corner.right - self.px(10) - x, self.px(84))

    # What can be handled.

    @cached_property
    def handles(self) -> Mapping[str, Box]:
        """Everything that stands still and can be handled, the foremost first."""
        return MappingProxyType(
            {
                "towel": self.towel,
                "tongs": self.tongs,
                "ball": self.tray,
                "thermometer": self.thermometer,
                "beaker": self.beaker,
                "jug": self.jug,
                "kettle": self.kettle,
                "stopwatch": self.stopwatch,
                "camera": self.camera_shelf,
                "lens": self.lens,
                "floor puddle": self.floor_puddle,
            }
        )


class Point(NamedTuple):
    """The pointer goes down, moves or comes up at a place in the window, in pixels."""

    what: Literal["down", "move", "up"]
    at: tuple[int, int]


@dataclass(frozen=True)
class Carried:
    """A thing in the hand: what, where it was taken up and where it is, in pixels."""

    thing: str
    from_px: tuple[int, int]
    at_px: tuple[int, int]
    began_s: float


@dataclass(frozen=True)
class Scene:
    """What the person sees beside the desk: where everything stands, and the page as set.

    `ribbons` are the pages' names and the places of their ribbons.
    """

    layout: Layout
    sheet: SetPage
    ribbons: tuple[tuple[str, Box], ...] = ()
    scroll_px: int = 0
    carried: Carried | None = None

    @property
    def view(self) -> Box:
        """The part of the window in which the page's writing is seen."""
        return view_box(self.layout.page, self.sheet.text_scale)

    def on_page(self, at: tuple[int, int]) -> tuple[int, int]:
        """The point of the page that is seen at a point of the window."""
        return page_point(self.view, self.scroll_px, at)
