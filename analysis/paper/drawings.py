"""What the printed pages have drawn on them: graph paper, and which heights are meant."""

from __future__ import annotations

from analysis.paper.document import Drawing, Label, Ring, Segment
from analysis.paper.scales import (
    LARGE_ACROSS,
    LARGE_RULE,
    LARGE_SQUARE_MM,
    LARGE_UP,
    SMALL_RULE,
    SMALL_SQUARE_MM,
    SMALL_SQUARES,
    Rule,
)

SHEET_X_MM = 20.0
"""The squares stand at the right margin, so that numbers and titles have room on their left."""


def graph_paper() -> Drawing:
    """Rule the sheet of graph paper in true size, empty; the large squares over the small."""
    width_mm, height_mm = LARGE_ACROSS * LARGE_SQUARE_MM, LARGE_UP * LARGE_SQUARE_MM
    small, large = (
        (
            *(_upright(SHEET_X_MM + x, height_mm, rule) for x in _places(LARGE_ACROSS, bold=bold)),
            *(_level(y, width_mm, rule) for y in _places(LARGE_UP, bold=bold)),
        )
        for rule, bold in ((SMALL_RULE, False), (LARGE_RULE, True))
    )
    return Drawing(
        text=f"Graph paper with squares of {SMALL_SQUARE_MM:g} mm, bolder every "
        f"{LARGE_SQUARE_MM / 10:g} cm",
        size_mm=(SHEET_X_MM + width_mm, height_mm),
        segments=(*small, *large),
    )


def _places(large_squares: int, *, bold: bool) -> tuple[float, ...]:
    """Places of one kind of line; where a bold line runs there is no small one."""
    lines = range(large_squares * SMALL_SQUARES + 1)
    return tuple(n * SMALL_SQUARE_MM for n in lines if (n % SMALL_SQUARES == 0) is bold)


def _upright(x: float, height_mm: float, rule: Rule) -> Segment:
    return Segment((x, 0.0), (x, height_mm), rule.width_mm, grey=rule.grey)


def _level(y: float, width_mm: float, rule: Rule) -> Segment:
    return Segment((SHEET_X_MM, y), (SHEET_X_MM + width_mm, y), rule.width_mm, grey=rule.grey)


FLOOR_MM, TOP_MM, RULE_MM, REBOUND_MM = 64.0, 8.0, (34.0, 40.0), 33.0
DROP_X_MM, REBOUND_X_MM, BALL_MM = 52.0, 62.0, 3.2
DROP_ARROW_MM, REBOUND_ARROW_MM = 112.0, 76.0
HEAD_MM = 1.6


def heights() -> Drawing:
    """Draw the rule, the ball before its fall and at the top of its rebound, and both heights."""
    return Drawing(
        text="A metre rule stands upright on the floor. Beside it the ball is drawn twice: before "
        "it falls and at the top of its rebound. Each height is shown from the floor to the "
        "lowest point of the ball.",
        size_mm=(180.0, 72.0),
        segments=(*_rule(), *_path(), *_arrows()),
        rings=(
            Ring((DROP_X_MM, TOP_MM - BALL_MM), BALL_MM),
            Ring((REBOUND_X_MM, REBOUND_MM - BALL_MM), BALL_MM),
        ),
        labels=(
            Label((RULE_MM[0] - 2, TOP_MM + 1), "100 cm", ends=True),
            Label((RULE_MM[0] - 2, 37.0), "metre rule", ends=True),
            Label((RULE_MM[0] - 2, FLOOR_MM - 1), "0 cm", ends=True),
            Label((DROP_ARROW_MM + 3, 36.0), "drop height"),
            Label((REBOUND_ARROW_MM + 3, 50.0), "rebound height"),
            Label((DROP_ARROW_MM + 3, FLOOR_MM + 5.5), "floor (not to scale)"),
        ),
    )


def _line(x1: float, y1: float, x2: float, y2: float) -> Segment:
    return Segment((x1, y1), (x2, y2))


def _rule() -> tuple[Segment, ...]:
    """The floor and the rule standing on it, with a mark for every ten centimetres."""
    left, right = RULE_MM
    marks = [TOP_MM + n * (FLOOR_MM - TOP_MM) / 10 for n in range(1, 10)]
    return (
        Segment((10.0, FLOOR_MM), (170.0, FLOOR_MM), 0.5),
        _line(left, TOP_MM, left, FLOOR_MM),
        _line(right, TOP_MM, right, FLOOR_MM),
        _line(left, TOP_MM, right, TOP_MM),
        *(_line(right - 2.5, y, right, y) for y in marks),
    )


def _path() -> tuple[Segment, ...]:
    """The way down to the floor and up again."""
    foot = ((DROP_X_MM + REBOUND_X_MM) / 2, FLOOR_MM)
    return (
        Segment((DROP_X_MM, TOP_MM), foot, dashed=True),
        Segment(foot, (REBOUND_X_MM, REBOUND_MM), dashed=True),
    )


def _arrows() -> tuple[Segment, ...]:
    """The two heights, each with a line at the level of the ball's lowest point."""
    return (
        _line(DROP_X_MM, TOP_MM, DROP_ARROW_MM + 3, TOP_MM),
        _line(REBOUND_X_MM, REBOUND_MM, REBOUND_ARROW_MM + 3, REBOUND_MM),
        *_arrow(DROP_ARROW_MM, TOP_MM),
        *_arrow(REBOUND_ARROW_MM, REBOUND_MM),
    )


def _arrow(x: float, top: float) -> tuple[Segment, ...]:
    """A shaft from the floor, with a head at both ends."""
    sides = (x - HEAD_MM / 2, x + HEAD_MM / 2)
    return (
        _line(x, top, x, FLOOR_MM),
        *(_line(side, top + HEAD_MM, x, top) for side in sides),
        *(_line(side, FLOOR_MM - HEAD_MM, x, FLOOR_MM) for side in sides),
    )
