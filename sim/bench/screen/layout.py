"""Where everything stands: window size and text scale to named rectangles.

Pure arithmetic, no pygame. The bench is laid out for 1366 x 768 and grows in proportion with a
larger window. In a smaller one the room is drawn smaller and the lettering is not; where text is
so large that the book needs more than its share of the window, the book is given it and the room
is drawn smaller again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

from sim.actions import Vessel
from sim.bench.model.seeing import LENS_STRIP_M, lens_centre_m
from sim.bench.screen.sight import Sight, lens_sight
from sim.bench.ui.theme import Box

BASE_WIDTH, BASE_HEIGHT = 1366, 768
LEAST_SIZE = (1024, 600)
"""A window that is smaller still shows a part of this."""
CORNER_WIDTH = 900
MOST_OF_WINDOW = 0.5
"""The book is never given more of the window than this."""
MARKED_MOST = 1.5
"""Numbers on the apparatus grow with the text up to this, where they would run into one another."""
LEAST_HANDLE = 44
"""The least width and height of a handle in pixels (WCAG 2.2, 2.5.5 asks for 44)."""
RULE_PX_PER_M = 570
TABLE_PX_PER_M = 1150
"""The table stands nearer than the rule, so things on it are drawn larger."""
BALL_RADIUS_M = 0.020
DIAL_PX_PER_K = 14
"""How far the bath's dial is dragged for a degree: half of one is more than a click's tremble."""
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

    `size` is the window in pixels; `text_scale` goes from 1.0 to 2.0.
    """

    size: tuple[int, int] = (BASE_WIDTH, BASE_HEIGHT)
    text_scale: float = 1.0

    @cached_property
    def scale(self) -> float:
        """How much larger than in the plan the room is drawn: it fits its part of the window."""
        return min(self.corner.width / CORNER_WIDTH, self.size[1] / BASE_HEIGHT)

    @cached_property
    def type_scale(self) -> float:
        """The factor on type sizes: text grows with the window and does not shrink with it."""
        return self._least_scale * self.text_scale

    @property
    def _least_scale(self) -> float:
        return max(1.0, min(self.size[0] / BASE_WIDTH, self.size[1] / BASE_HEIGHT))

    @property
    def mark_scale(self) -> float:
        """How much larger than in the plan, beside the apparatus, its numbers are."""
        return min(self.type_scale / self.scale, MARKED_MOST)

    def px(self, length: float) -> int:
        """A length of the 1366 x 768 plan, in this window's pixels."""
        return round(length * self.scale)

    def type_px(self, size: float) -> int:
        """A type size of the theme, in this window's pixels."""
        return round(size * self.type_scale)

    def mark_px(self, size: float) -> int:
        """A type size of the theme as it stands on the apparatus, in this window's pixels."""
        return round(size * self.scale * self.mark_scale)

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
        width, usual = self.size[0], 1 - CORNER_WIDTH / BASE_WIDTH
        # Half as fast as its text: in wider lines there are fewer words to a line, none broken.
        wanted = usual * BASE_WIDTH * self._least_scale * (1.0 + self.text_scale) / 2.0
        book = max(usual * width, min(wanted, MOST_OF_WINDOW * width))
        return Box(0, 0, round(width - book), self.size[1])

    @cached_property
    def book(self) -> Box:
        """The exercise book with its bookmarks, at the right."""
        return Box(self.corner.right, 0, self.size[0] - self.corner.width, self.size[1])

    @cached_property
    def bookmarks(self) -> Box:
        """The ribbons along the top of the book."""
        margin = self.px(3)
        height = self.type_px(72) - self.px(8)
        return Box(self.book.x + margin, 0, self.book.width - 2 * margin, height)

    @cached_property
    def page(self) -> Box:
        """The open page, below the ribbons."""
        margin, top = self.px(3), self.bookmarks.bottom
        return Box(
            self.book.x + margin, top, self.book.width - 2 * margin, self.size[1] - top - margin
        )

    @cached_property
    def message(self) -> Box:
        """A line of guidance or a caution at the foot of the corner; more where there is room."""
        margin = self.px(12)
        line, spare = self.type_px(22), self.size[1] - self.px(BASE_HEIGHT)
        height = line * min(max((spare + self.px(34)) // line, 1), 3) + self.px(12)
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
    def bath(self) -> Box:
        """The bath's tank, on its trolley before the table."""
        return self._box(150, 590, 192, 108)

    @cached_property
    def bath_control(self) -> Box:
        """The bath's thermostat, hung over the tank's end: display and dial."""
        return self._box(344, 552, 100, 144)

    @cached_property
    def dial(self) -> Box:
        """The bath's dial."""
        panel = self.bath_control
        across = self.px(60)
        top = panel.bottom - self.px(8) - across
        return Box(panel.centre[0] - across // 2, top, across, across)

    def dial_turn_k(self, from_px: tuple[int, int], at_px: tuple[int, int]) -> float:
        """How far the dial is turned by a drag: up or to the right is warmer."""
        moved_px = (at_px[0] - from_px[0]) - (at_px[1] - from_px[1])
        return moved_px / self.px(DIAL_PX_PER_K)

    def dial_half(self, *, warmer: bool) -> Box:
        """The half of the thermostat that is pressed for warmer, right, or for cooler water."""
        panel = self.bath_control
        half = panel.width // 2
        return panel._replace(x=panel.x + half if warmer else panel.x, width=half)

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

    def thermometer_bulb(self, vessel: Vessel) -> tuple[int, int]:
        """The middle of the thermometer's bulb, in the beaker or in the bath."""
        if vessel == "beaker":
            return self.beaker.x + self.px(68), self.beaker.bottom - self.px(20)
        return self.bath.x + self.px(90), self.bath.bottom - self.px(18)

    def thermometer_stem(self, vessel: Vessel) -> Box:
        """The part of the thermometer that stands out of the beaker or the bath."""
        x, y = self.thermometer_bulb(vessel)
        rim = self.beaker.y if vessel == "beaker" else self.bath.y
        top = y - self.px(264)
        return Box(x - self.px(4), top, self.px(46), rim - top)

    @cached_property
    def thermometer(self) -> Box:
        """The thermometer where it stands at first."""
        return self.thermometer_stem("beaker")

    @cached_property
    def thermometer_lens(self) -> Box:
        """The call-out that magnifies the thermometer about its thread's end."""
        width = self.px(76) + self.mark_px(44)
        height = self.px(254) + self.thermometer_heading_px
        return Box(self.px(300), self._drop + self.px(334) - height, width, height)

    @cached_property
    def thermometer_heading_px(self) -> int:
        """The height of the call-out's heading, which names the unit."""
        return self.mark_px(22)

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
    def bath_ball(self) -> tuple[int, int]:
        """The middle of the ball held under in the bath."""
        radius = round(self.table_ball_radius_px)
        return self.bath.x + self.px(20) + radius, self.bath.bottom - self.px(12) - radius

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
        width = self.px(20) + self.mark_px(26)
        return Box(self.px(540), foot - length, width, length)

    def sight(self, eye_height_m: float) -> Sight:
        """The wall view, in which there is no parallax."""
        return Sight(eye_height_m, self.rule.bottom, self.rule.height, standoff_m=0.0)

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
        heading = self.mark_px(24)
        height = heading + self.lens_px_per_m * LENS_STRIP_M + 2 * self.px(6)
        bottom = self.camera_shelf.y - self.px(22)
        return Box(x, bottom - round(height), self.corner.right - self.px(10) - x, round(height))

    @cached_property
    def lens_px_per_m(self) -> int:
        """The lens's scale: whole pixels to the millimetre, so that its marks are even."""
        return 1000 * max(int(4 * self.scale), 3)

    @cached_property
    def lens_view(self) -> Box:
        """The glass of the lens: where the strip is seen."""
        edge, heading = self.px(6), self.mark_px(24)
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
                "dial down": self.dial_half(warmer=False),
                "dial up": self.dial_half(warmer=True),
                "stopwatch": self.stopwatch,
                "camera": self.camera_shelf,
                "lens": self.lens,
                "floor puddle": self.floor_puddle,
            }
        )
