"""Where everything stands on the demonstration's page, in any window. No pygame.

Planned for 1366 x 768 and scaled with the window. No letter is smaller than 24 px there:
the page is read from the back of a room.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from analysis.paper.scales import round_steps
from analysis.quantity.units import minutes
from sim.bench.screen.layout import BASE_HEIGHT, BASE_WIDTH
from sim.bench.ui.theme import Box
from sim.teaching.demonstration import Demonstration, centres_cm, window_cm

TYPE_PLAIN, TYPE_HEAD = 24, 30
MOST_ROWS, MOST_ROWS_WITH_OWN = 5, 4
"""Of more temperatures than this only so many are shown at a time; own readings need room."""
ROWS_TOP, ROWS_BOTTOM, TALLEST_ROW = 66, 632, 260
NUMBERS = 46
"""What a row needs below its strips."""
LARGEST_SIGN = 30
LEAST_SPAN_K = 10.0
"""The temperatures' axis spans this at least: a tenth of a degree must not look like much."""
FINEST_STEP = 0.1
"""No two marks of an axis are nearer than this, in its unit."""


@dataclass(frozen=True)
class PixelAxis:
    """One axis on the screen: values from `low` to `high` between two pixels."""

    low: float
    high: float
    low_px: float
    high_px: float

    def px(self, value: float) -> float:
        """Where a value stands."""
        share = (value - self.low) / (self.high - self.low)
        return self.low_px + share * (self.high_px - self.low_px)

    def ticks(self, least_px: float) -> list[float]:
        """Round values at least so many pixels apart."""
        per_unit = abs(self.high_px - self.low_px) / (self.high - self.low)
        step = next(round_steps(max(FINEST_STEP, least_px / per_unit)))
        first, last = math.ceil(self.low / step - 1e-9), math.floor(self.high / step + 1e-9)
        return [number * step for number in range(first, last + 1)]


@dataclass(frozen=True, eq=False)
class ShowPlan:
    """The places of one demonstration on a window of a size, from one row of the table on."""

    size: tuple[int, int]
    shown: Demonstration
    first_row: int = 0

    @cached_property
    def scale(self) -> float:
        """How much larger than 1366 x 768 everything is."""
        return min(self.size[0] / BASE_WIDTH, self.size[1] / BASE_HEIGHT)

    def px(self, length: float) -> int:
        """A length of the plan in this window's pixels."""
        return round(length * self.scale)

    def box(self, x: float, y: float, width: float, height: float) -> Box:
        """A box of the plan in this window, in the middle of a window of other proportions."""
        left = (self.size[0] - self.px(BASE_WIDTH)) // 2
        top = (self.size[1] - self.px(BASE_HEIGHT)) // 2
        return Box(left + self.px(x), top + self.px(y), self.px(width), self.px(height))

    # Above and below.

    @cached_property
    def key(self) -> Box:
        """Which sign stands for which procedure."""
        return self.box(16, 10, 500, 46)

    @cached_property
    def count(self) -> Box:
        """How many drops have landed."""
        return self.box(540, 10, 240, 46)

    @cached_property
    def ratio(self) -> Box:
        """The ratio of the spreads."""
        return self.box(800, 10, 550, 46)

    @cached_property
    def words(self) -> Box:
        """What is said below."""
        return self.box(16, 638, 1334, 92)

    @cached_property
    def keys(self) -> Box:
        """What the keys do."""
        return self.box(16, 732, 1334, 32)

    # The strips.

    @property
    def rows(self) -> range:
        """The rows of the table that are on the page."""
        last = min(self.first_row + most_rows(self.shown), len(self.shown.temperatures_k))
        return range(self.first_row, last)

    @cached_property
    def _row_height(self) -> float:
        return min((ROWS_BOTTOM - ROWS_TOP) / len(self.rows), TALLEST_ROW)

    @cached_property
    def sign_px(self) -> int:
        """How large a reading's sign is: half a strip."""
        return self.px(min((self._row_height - NUMBERS) / (2.0 * self.lanes), LARGEST_SIGN))

    def row(self, row: int) -> Box:
        """The whole of one temperature's row."""
        height = self._row_height
        return self.box(16, ROWS_TOP + (row - self.first_row) * height, 770, height)

    def lane(self, row: int, side: int) -> Box:
        """The strip of one procedure at one temperature; side 2 is that of own readings."""
        whole = self.row(row)
        height = self.px((self._row_height - NUMBERS) / self.lanes - 1.0)
        top = whole.y + self.px(4) + side * (height + self.px(2))
        return Box(whole.x + self.px(136), top, self.px(436), height)

    @property
    def lanes(self) -> int:
        """How many strips a row has."""
        return 2 if self.shown.own is None else 3

    def ground_px(self, row: int, side: int) -> int:
        """The height of the middle of a sign that lies at the foot of its strip."""
        return self.lane(row, side).bottom - self.sign_px // 2 - self.px(2)

    def beside(self, row: int, side: int) -> Box:
        """The half-range beside a strip."""
        lane = self.lane(row, side)
        return Box(lane.right + self.px(16), lane.y, self.px(190), lane.height)

    def height_scale(self, row: int) -> PixelAxis:
        """Centimetres across a row's strips: as many in every row."""
        lane, centre = self.lane(row, 0), self._centres_cm[row]
        half = self._window_cm / 2.0
        return PixelAxis(centre - half, centre + half, lane.x, lane.right)

    @cached_property
    def _centres_cm(self) -> list[float]:
        return centres_cm(self.shown)

    @cached_property
    def _window_cm(self) -> float:
        return window_cm(self.shown)

    # The temperatures.

    def title(self, side: int) -> Box:
        """The words above a panel."""
        return self.box(800, 66 + 284 * side, 550, 30)

    def panel(self, side: int) -> Box:
        """The field in which a side's true temperature is drawn against time."""
        return self.box(862, 100 + 284 * side, 474, 212)

    def time_scale(self, side: int) -> PixelAxis:
        """Minutes across a panel: each side has a time of its own."""
        panel = self.panel(side)
        last_min = minutes(self.shown.sides[side].landings[-1].time_s)
        return PixelAxis(0.0, 1.03 * last_min, panel.x, panel.right)

    def warmth_scale(self, side: int) -> PixelAxis:
        """Kelvin up a panel: the same in both."""
        panel = self.panel(side)
        low = min(float(each.curve_k.min()) for each in self.shown.sides)
        high = max(float(each.curve_k.max()) for each in self.shown.sides)
        room = max(0.08 * (high - low), (LEAST_SPAN_K - (high - low)) / 2.0)
        return PixelAxis(low - room, high + room, panel.bottom, panel.y)


def most_rows(shown: Demonstration) -> int:
    """How many temperatures the page holds at a time."""
    return MOST_ROWS if shown.own is None else MOST_ROWS_WITH_OWN


def first_row(shown: Demonstration, progress: float) -> int:
    """The first row on the page, so that the row of the next drop is on it."""
    rows = len(shown.temperatures_k)
    side = int(progress >= shown.drops)
    now = min(int(shown.progress_of(side, progress)) // shown.repeats, rows - 1)
    most = most_rows(shown)
    return min(max(now - most + 1, 0), max(rows - most, 0))
