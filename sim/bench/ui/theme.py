"""What the bench is measured out, coloured, lettered and ruled with, and how contrast is judged.

No drawing here. `PAIRS` lists every ink that is read on a ground, so that one test can
hold them all against WCAG 2.2 (success criteria 1.4.3 and 1.4.11).
"""

from __future__ import annotations

from typing import NamedTuple


class Box(NamedTuple):
    """A rectangle; x and y are its upper left corner."""

    x: int
    y: int
    width: int
    height: int

    @property
    def right(self) -> int:
        """The first column to its right."""
        return self.x + self.width

    @property
    def bottom(self) -> int:
        """The first row below it."""
        return self.y + self.height

    @property
    def centre(self) -> tuple[int, int]:
        """Its middle."""
        return self.x + self.width // 2, self.y + self.height // 2

    def holds(self, point: tuple[int, int]) -> bool:
        """Whether a point lies inside."""
        return self.x <= point[0] < self.right and self.y <= point[1] < self.bottom

    def inset(self, margin: int) -> Box:
        """The same box, smaller by a margin on each side."""
        return Box(
            self.x + margin, self.y + margin, self.width - 2 * margin, self.height - 2 * margin
        )


Colour = tuple[int, int, int]

# The room, lit from the upper left.
WALL_LIGHT: Colour = (238, 239, 231)
WALL_SHADE: Colour = (213, 218, 211)
SKIRTING: Colour = (247, 245, 238)
FLOOR_FAR: Colour = (173, 155, 134)
FLOOR_NEAR: Colour = (196, 178, 155)
TABLE_TOP: Colour = (206, 168, 122)
TABLE_EDGE: Colour = (168, 126, 82)
TABLE_FRONT: Colour = (188, 147, 101)

# Materials.
BOXWOOD: Colour = (244, 220, 165)
BOXWOOD_SHADE: Colour = (222, 190, 130)
RULE_INK: Colour = (44, 30, 18)
STEEL_LIGHT: Colour = (236, 239, 241)
STEEL_MID: Colour = (160, 168, 175)
STEEL_DARK: Colour = (82, 90, 98)
IRON: Colour = (62, 66, 72)
RUBBER: Colour = (38, 38, 42)
GLASS_EDGE: Colour = (92, 116, 124)
WATER: Colour = (134, 184, 205)
WATER_DEEP: Colour = (78, 140, 170)
SPIRIT: Colour = (176, 28, 36)
TOWEL: Colour = (226, 221, 205)
TOWEL_STRIPE: Colour = (120, 58, 64)

# Reading and writing.
INK: Colour = (34, 34, 44)
SOFT_INK: Colour = (84, 82, 88)
PAGE: Colour = (252, 247, 232)
COVER: Colour = (52, 62, 78)
PAGE_EDGE: Colour = (205, 193, 164)
PAGE_RULING: Colour = (186, 200, 214)
MARGIN_RULING: Colour = (204, 136, 136)
PEN: Colour = (22, 48, 120)
PENCIL: Colour = (88, 88, 92)
STRUCK: Colour = (150, 30, 30)
FIELD: Colour = (255, 255, 252)
FIELD_EDGE: Colour = (116, 108, 92)
BUTTON: Colour = (228, 216, 188)
BUTTON_HELD: Colour = (206, 190, 154)
PAPER_GROUND: Colour = (250, 252, 250)
PAPER_FAINT: Colour = (206, 224, 214)
PAPER_STRONG: Colour = (104, 150, 126)
FOCUS: Colour = (20, 74, 148)
SELECTION: Colour = (178, 206, 240)
NOTE_GROUND: Colour = (255, 253, 242)
CAUTION_GROUND: Colour = (255, 236, 170)
CAUTION_EDGE: Colour = (150, 92, 0)
CAUTION_INK: Colour = (66, 40, 0)
LENS_GROUND: Colour = (246, 247, 242)
LENS_FRAME: Colour = (72, 66, 58)
EYE: Colour = (24, 78, 104)
DIAL: Colour = (250, 249, 242)
DIAL_INK: Colour = (30, 32, 38)
HOUSING: Colour = (84, 98, 114)
"""Of the bath's thermostat."""

RIBBONS: tuple[Colour, ...] = (
    (128, 36, 44),
    (134, 72, 16),
    (96, 86, 20),
    (38, 98, 62),
    (18, 92, 104),
    (36, 74, 138),
    (88, 60, 132),
    (120, 44, 96),
)
"""One ribbon for each bookmark of the exercise book; the page's name is always written on it."""
RIBBON_INK: Colour = (255, 252, 240)

# Type sizes in pixels, at 1366 x 768 and text scale 1; `Layout.type_px` scales them.
TYPE_SMALL = 13
TYPE_TEXT = 15
TYPE_LARGE = 18
TYPE_HEADING = 22

TEXT_SCALES = (1.0, 1.25, 1.5, 1.75, 2.0)


def next_scale(text_scale: float, by: int) -> float:
    """The text scale so many steps larger, or smaller, as far as there are any."""
    at = TEXT_SCALES.index(text_scale) + by
    return TEXT_SCALES[min(max(at, 0), len(TEXT_SCALES) - 1)]


# Strokes in pixels at 1366 x 768.
FOCUS_STROKE = 3
FRAME_STROKE = 3

TEXT_CONTRAST = 4.5
MARK_CONTRAST = 3.0


class Pair(NamedTuple):
    """An ink and the ground it is read on; `least` is the contrast it must reach."""

    name: str
    ink: Colour
    ground: Colour
    least: float


PAIRS: tuple[Pair, ...] = (
    Pair("writing on the page", INK, PAGE, TEXT_CONTRAST),
    Pair("soft writing on the page", SOFT_INK, PAGE, TEXT_CONTRAST),
    Pair("pen on the page", PEN, PAGE, TEXT_CONTRAST),
    Pair("pencil on the page", PENCIL, PAGE, TEXT_CONTRAST),
    Pair("struck out on the page", STRUCK, PAGE, TEXT_CONTRAST),
    Pair("pen in a field", PEN, FIELD, TEXT_CONTRAST),
    Pair("pen in a selection", PEN, SELECTION, TEXT_CONTRAST),
    Pair("writing in a field", INK, FIELD, TEXT_CONTRAST),
    Pair("edge of a field on the page", FIELD_EDGE, PAGE, MARK_CONTRAST),
    Pair("edge of a field against its inside", FIELD_EDGE, FIELD, MARK_CONTRAST),
    Pair("writing on a button", INK, BUTTON, TEXT_CONTRAST),
    Pair("writing on a held button", INK, BUTTON_HELD, TEXT_CONTRAST),
    Pair("pencil on graph paper", PENCIL, PAPER_GROUND, TEXT_CONTRAST),
    Pair("large squares on graph paper", PAPER_STRONG, PAPER_GROUND, MARK_CONTRAST),
    Pair("pencil on a thick line of graph paper", INK, PAPER_STRONG, TEXT_CONTRAST),
    Pair("pen on a thick line of graph paper", PEN, PAPER_STRONG, MARK_CONTRAST),
    Pair("focus ring on the page", FOCUS, PAGE, MARK_CONTRAST),
    Pair("focus ring on a field", FOCUS, FIELD, MARK_CONTRAST),
    Pair("focus ring on a button", FOCUS, BUTTON, MARK_CONTRAST),
    Pair("focus ring on the lit wall", FOCUS, WALL_LIGHT, MARK_CONTRAST),
    Pair("focus ring on the shaded wall", FOCUS, WALL_SHADE, MARK_CONTRAST),
    Pair("focus ring on the table", FOCUS, TABLE_TOP, MARK_CONTRAST),
    Pair("focus ring on the far floor", FOCUS, FLOOR_FAR, MARK_CONTRAST),
    Pair("focus ring on the near floor", FOCUS, FLOOR_NEAR, MARK_CONTRAST),
    Pair("writing in the message", INK, NOTE_GROUND, TEXT_CONTRAST),
    Pair("soft writing in the message", SOFT_INK, NOTE_GROUND, TEXT_CONTRAST),
    Pair("refusal in the message", STRUCK, NOTE_GROUND, TEXT_CONTRAST),
    Pair("writing in a caution", CAUTION_INK, CAUTION_GROUND, TEXT_CONTRAST),
    Pair("edge of a caution on the near floor", CAUTION_INK, FLOOR_NEAR, MARK_CONTRAST),
    Pair("numbers on the rule", RULE_INK, BOXWOOD, TEXT_CONTRAST),
    Pair("numbers on the shaded rule", RULE_INK, BOXWOOD_SHADE, TEXT_CONTRAST),
    Pair("numbers in the lens", INK, LENS_GROUND, TEXT_CONTRAST),
    Pair("thread of the thermometer", SPIRIT, LENS_GROUND, MARK_CONTRAST),
    Pair("eye mark on the lit wall", EYE, WALL_LIGHT, MARK_CONTRAST),
    Pair("eye mark on the shaded wall", EYE, WALL_SHADE, TEXT_CONTRAST),
    Pair("ball on the lit wall", RUBBER, WALL_LIGHT, MARK_CONTRAST),
    Pair("ball on the rule", RUBBER, BOXWOOD, MARK_CONTRAST),
    Pair("ball on the floor", RUBBER, FLOOR_FAR, MARK_CONTRAST),
    Pair("writing on the wall", INK, WALL_SHADE, TEXT_CONTRAST),
    Pair("digits of the stopwatch", DIAL_INK, DIAL, TEXT_CONTRAST),
    Pair("signs beside the bath's dial", STEEL_LIGHT, HOUSING, MARK_CONTRAST),
    Pair("graduations of the beaker over water", INK, WATER, TEXT_CONTRAST),
    *(
        Pair(f"ribbon {n + 1}", RIBBON_INK, ground, TEXT_CONTRAST)
        for n, ground in enumerate(RIBBONS)
    ),
)


def contrast(first: Colour, second: Colour) -> float:
    """The contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition of contrast ratio)."""
    lighter, darker = sorted((_luminance(first), _luminance(second)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def mixed(first: Colour, second: Colour, share: float) -> Colour:
    """`first` going over into `second` as `share` goes from 0 to 1."""
    red, green, blue = (round(a + (b - a) * share) for a, b in zip(first, second, strict=True))
    return red, green, blue


def _luminance(colour: Colour) -> float:
    """Relative luminance, WCAG 2.2."""
    red, green, blue = (_linear(channel / 255.0) for channel in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(channel: float) -> float:
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)
