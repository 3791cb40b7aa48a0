"""Line drawings as data, and the one on the cover: which heights are meant."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Stroke:
    """A straight line from one point to another."""

    start_mm: tuple[float, float]
    end_mm: tuple[float, float]
    width_mm: float = 0.25
    dashed: bool = False


@dataclass(frozen=True)
class Ring:
    """A circle, left white inside."""

    centre_mm: tuple[float, float]
    radius_mm: float


@dataclass(frozen=True)
class Label:
    """Text that begins at a point of its own foot line, or ends there."""

    at_mm: tuple[float, float]
    text: str
    ends: bool = False


@dataclass(frozen=True)
class Drawing:
    """Lines, circles and labels, in millimetres from the top left corner.

    `text` says in words what is drawn, for a reader who cannot see it.
    """

    text: str
    size_mm: tuple[float, float]
    strokes: tuple[Stroke, ...]
    rings: tuple[Ring, ...]
    labels: tuple[Label, ...]
    kind: Literal["drawing"] = "drawing"


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
        strokes=(*_rule(), *_path(), *_arrows()),
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


def _line(x1: float, y1: float, x2: float, y2: float) -> Stroke:
    return Stroke((x1, y1), (x2, y2))


def _rule() -> tuple[Stroke, ...]:
    """The floor and the rule standing on it, with a mark for every ten centimetres."""
    left, right = RULE_MM
    marks = [TOP_MM + n * (FLOOR_MM - TOP_MM) / 10 for n in range(1, 10)]
    return (
        Stroke((10.0, FLOOR_MM), (170.0, FLOOR_MM), 0.5),
        _line(left, TOP_MM, left, FLOOR_MM),
        _line(right, TOP_MM, right, FLOOR_MM),
        _line(left, TOP_MM, right, TOP_MM),
        *(_line(right - 2.5, y, right, y) for y in marks),
    )


def _path() -> tuple[Stroke, ...]:
    """The way down to the floor and up again."""
    foot = ((DROP_X_MM + REBOUND_X_MM) / 2, FLOOR_MM)
    return (
        Stroke((DROP_X_MM, TOP_MM), foot, dashed=True),
        Stroke(foot, (REBOUND_X_MM, REBOUND_MM), dashed=True),
    )


def _arrows() -> tuple[Stroke, ...]:
    """The two heights, each with a line at the level of the ball's lowest point."""
    return (
        _line(DROP_X_MM, TOP_MM, DROP_ARROW_MM + 3, TOP_MM),
        _line(REBOUND_X_MM, REBOUND_MM, REBOUND_ARROW_MM + 3, REBOUND_MM),
        *_arrow(DROP_ARROW_MM, TOP_MM),
        *_arrow(REBOUND_ARROW_MM, REBOUND_MM),
    )


def _arrow(x: float, top: float) -> tuple[Stroke, ...]:
    """A shaft from the floor, with a head at both ends."""
    sides = (x - HEAD_MM / 2, x + HEAD_MM / 2)
    return (
        _line(x, top, x, FLOOR_MM),
        *(_line(side, top + HEAD_MM, x, top) for side in sides),
        *(_line(side, FLOOR_MM - HEAD_MM, x, FLOOR_MM) for side in sides),
    )
