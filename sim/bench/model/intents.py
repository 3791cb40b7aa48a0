"""What a person can want of the bench, whether by mouse or by key.

An intent is a wish; `sim.bench.model.after` makes actions of the practical out of it, or moves
what the desk alone knows (the page, the focus, the hand).
"""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from sim.actions import Vessel
from sim.bench.ui.fields import Edit


class Pour(Struct, frozen=True):
    """Pour a portion from the kettle or the jug into the beaker, or from it into the sink."""

    what: Literal["hot", "cold", "away"]
    mass_kg: float = 0.050
    carefully: bool = True


class TurnDial(Struct, frozen=True):
    """Turn the dial of the bath up (positive) or down, in kelvin."""

    by_k: float


class PlaceThermometer(Struct, frozen=True):
    """Stand the thermometer in the beaker or the bath; None is the one where it is not."""

    to: Vessel | None = None


class MoveBall(Struct, frozen=True):
    """Take the ball to beaker, bath, towel or rule, from wherever it is."""

    to: Vessel | Literal["towel", "rule"]
    with_tongs: bool = True


class MoveHand(Struct, frozen=True):
    """Move the hand that holds the ball up (positive) or down, in metres."""

    by_m: float


class PlaceHand(Struct, frozen=True):
    """Bring the ball's lowest point to a height above the floor."""

    height_m: float


class MoveEye(Struct, frozen=True):
    """Raise (positive) or lower the eye, in metres."""

    by_m: float


class PlaceEye(Struct, frozen=True):
    """Bring the eye to a height above the floor."""

    height_m: float


class LetGo(Struct, frozen=True):
    """Open the tongs beside the rule."""


class WipeUp(Struct, frozen=True):
    """Wipe the floor."""


class LevelEye(Struct, frozen=True):
    """Bring the eye level with the height that was written down last."""


class HastenWait(Struct, frozen=True):
    """Let waiting go faster until what is waited for is there, or no longer."""


class UseCamera(Struct, frozen=True):
    """Stand the camera up at the eye's height, or put it away."""


class ChangeRate(Struct, frozen=True):
    """Change between the camera's frame rates."""


class TurnFrames(Struct, frozen=True):
    """Go forward or back through the frames of the last rebound."""

    by: int


class UseAid(Struct, frozen=True):
    """Let the model reader call the heights out, or read alone again."""


class StillSteam(Struct, frozen=True):
    """Let the steam stand still, or rise again: for eyes that moving things tire."""


class MoveAlong(Struct, frozen=True):
    """Go to the next (1) or the last (-1) thing on the bench that can be used."""

    by: int


class UseThing(Struct, frozen=True):
    """Do with the thing that has the focus what one does with it first."""


class OpenPage(Struct, frozen=True):
    """Turn to a page of the exercise book, counted from 1 in the order of the ribbons.

    0 is the opening card before them.
    """

    number: int


class MoveFocus(Struct, frozen=True):
    """Go to the next (1) or the one before (-1) of what can be written in or pressed."""

    by: int


class WriteDown(Struct, frozen=True):
    """Go to where the last drop is written down."""


class UndoWriting(Struct, frozen=True):
    """Take the last writing back."""


class FocusOn(Struct, frozen=True):
    """Go to a field or button by name; "bench" is the apparatus."""

    name: str


class Press(Struct, frozen=True):
    """Press the button that has the focus, or a named one."""

    name: str | None = None


class EditText(Struct, frozen=True):
    """Edit the text line that has the focus."""

    edit: Edit


class ScaleText(Struct, frozen=True):
    """Make the text larger (1) or smaller (-1)."""

    by: int


class TurnHelp(Struct, frozen=True):
    """Open or close the help leaf."""


class Dismiss(Struct, frozen=True):
    """Leave what lies on top: the help leaf, a question, the text line."""


class MovePencil(Struct, frozen=True):
    """Move the pencil's point on the graph paper, in small squares."""

    across: float
    up: float


class PlacePencil(Struct, frozen=True):
    """Bring the pencil's point to a place on the graph paper, in small squares."""

    across: float
    up: float


class ZoomPaper(Struct, frozen=True):
    """See the graph paper from closer (1) or further (-1)."""

    by: int


class RubOut(Struct, frozen=True):
    """Take away the cross at the pencil's point."""


class FillScreen(Struct, frozen=True):
    """Let the window fill the whole screen, or be a window again."""


class ChangeHands(Struct, frozen=True):
    """Be worked by a finger on the screen from now on, or by keys and pointer again."""

    by_finger: bool


class TellState(Struct, frozen=True):
    """Say in words how things stand at the bench."""


class Demonstrate(Struct, frozen=True):
    """Open the teacher's demonstration, which shows true values, over the whole window."""


class Leave(Struct, frozen=True):
    """Close the window; everything is on the record already."""


AtTheBench = (
    Pour
    | TurnDial
    | PlaceThermometer
    | MoveBall
    | MoveHand
    | PlaceHand
    | MoveEye
    | PlaceEye
    | LetGo
    | WipeUp
    | LevelEye
    | HastenWait
    | UseCamera
    | ChangeRate
    | TurnFrames
    | UseAid
    | StillSteam
    | MoveAlong
    | UseThing
)
InTheBook = (
    OpenPage
    | MoveFocus
    | WriteDown
    | UndoWriting
    | FocusOn
    | Press
    | EditText
    | ScaleText
    | TurnHelp
    | Dismiss
)
OnThePaper = MovePencil | PlacePencil | ZoomPaper | RubOut
Intent = (
    AtTheBench | InTheBook | OnThePaper | FillScreen | ChangeHands | TellState | Demonstrate | Leave
)
