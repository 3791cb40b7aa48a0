"""What a person can want of the bench, whether by mouse or by key.

An intent is a wish; `sim.bench.desk` makes actions of the practical out of it, or moves
what the screen alone knows (the page, the focus, the hand).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from sim.bench.fields import Edit


@dataclass(frozen=True)
class Pour:
    """Pour a portion from the kettle or the jug into the beaker, or from it into the sink."""

    what: Literal["hot", "cold", "away"]
    mass_kg: float = 0.050
    carefully: bool = True


@dataclass(frozen=True)
class MoveBall:
    """Take the ball to the water, to the towel or to the rule, from wherever it is."""

    to: Literal["water", "towel", "rule"]
    with_tongs: bool = True


@dataclass(frozen=True)
class MoveHand:
    """Move the hand that holds the ball up (positive) or down, in metres."""

    by_m: float


@dataclass(frozen=True)
class PlaceHand:
    """Bring the ball's lowest point to a height above the floor."""

    height_m: float


@dataclass(frozen=True)
class MoveEye:
    """Raise (positive) or lower the eye, in metres."""

    by_m: float


@dataclass(frozen=True)
class PlaceEye:
    """Bring the eye to a height above the floor."""

    height_m: float


@dataclass(frozen=True)
class LetGo:
    """Open the tongs beside the rule."""


@dataclass(frozen=True)
class WipeUp:
    """Wipe the floor."""


@dataclass(frozen=True)
class TurnStopwatch:
    """Turn the stopwatch on, which shortens the wait, or off."""


@dataclass(frozen=True)
class UseCamera:
    """Stand the camera up at the eye's height, or put it away."""


@dataclass(frozen=True)
class ChangeRate:
    """Change between the camera's frame rates."""


@dataclass(frozen=True)
class TurnFrames:
    """Go forward or back through the frames of the last rebound."""

    by: int


@dataclass(frozen=True)
class UseAid:
    """Let the model reader call the heights out, or read alone again."""


@dataclass(frozen=True)
class OpenPage:
    """Turn to a page of the exercise book."""

    name: str


@dataclass(frozen=True)
class MoveFocus:
    """Go to the next (1) or the one before (-1) of what can be written in or pressed."""

    by: int


@dataclass(frozen=True)
class FocusOn:
    """Go to a field or button by name; "bench" is the apparatus."""

    name: str


@dataclass(frozen=True)
class Press:
    """Press the button that has the focus, or a named one."""

    name: str | None = None


@dataclass(frozen=True)
class EditText:
    """Edit the text line that has the focus."""

    edit: Edit


@dataclass(frozen=True)
class Scroll:
    """Move the page up or down, in pixels at 100 % text."""

    by_px: int


@dataclass(frozen=True)
class ScaleText:
    """Make the text larger (1) or smaller (-1)."""

    by: int


@dataclass(frozen=True)
class TurnHelp:
    """Open or close the help leaf."""


@dataclass(frozen=True)
class Dismiss:
    """Leave what lies on top: the help leaf, a question, the text line."""


@dataclass(frozen=True)
class Point:
    """The pointer goes down, moves or comes up at a place in the window, in pixels."""

    what: Literal["down", "move", "up"]
    x: int
    y: int


@dataclass(frozen=True)
class Leave:
    """Close the window; everything is on the record already."""


AtTheBench = (
    Pour
    | MoveBall
    | MoveHand
    | PlaceHand
    | MoveEye
    | PlaceEye
    | LetGo
    | WipeUp
    | TurnStopwatch
    | UseCamera
    | ChangeRate
    | TurnFrames
    | UseAid
)
InTheBook = (
    OpenPage | MoveFocus | FocusOn | Press | EditText | Scroll | ScaleText | TurnHelp | Dismiss
)
Intent = AtTheBench | InTheBook | Point | Leave
