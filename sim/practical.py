"""The virtual practical: a fold of actions over states. No window, no clock, no files.

`apply` is the only place where anything changes. A practical is its setup and its list
of actions; replaying them gives every state again, bit for bit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import accumulate
from typing import Any

from sim import actions as act
from sim import book, dropping, soaking
from sim.state import Setup, State, beginning

HANDLERS: dict[type[act.Action], Callable[[State, Any], State]] = {
    act.ChooseExtent: dropping.choose_extent,
    act.ChooseBall: dropping.choose_ball,
    act.AddHotWater: soaking.add_hot_water,
    act.AddColdWater: soaking.add_cold_water,
    act.PourAway: soaking.pour_away,
    act.SetBath: soaking.set_bath,
    act.MoveThermometer: soaking.move_thermometer,
    act.PutBallIn: soaking.put_ball_in,
    act.Wait: soaking.wait,
    act.LiftOut: soaking.lift_out,
    act.Towel: soaking.towel,
    act.WipeFloor: soaking.wipe_floor,
    act.PickUp: dropping.pick_up,
    act.Hold: dropping.hold,
    act.SetEyeLevel: dropping.set_eye_level,
    act.Release: dropping.release,
    act.NoteReading: dropping.note_reading,
    act.StrikeReading: dropping.strike_reading,
    act.SetUpCamera: dropping.set_up_camera,
    act.PutCameraAway: dropping.put_camera_away,
    act.AskReader: dropping.ask_reader,
    act.WriteCell: book.write_cell,
    act.WriteAnswer: book.write_answer,
    act.SetAxis: book.set_axis,
    act.PlotPoint: book.plot_point,
    act.RubOutPoint: book.rub_out_point,
    act.LayLine: book.lay_line,
    act.AskForFeedback: book.ask_for_feedback,
}


def apply(state: State, action: act.Action) -> State:
    """The state that follows when one action is done.

    Raises:
        NotPossible: the action cannot be done now, with the reason in one sentence; the
            state it was asked of still stands.

    """
    return HANDLERS[type(action)](state, action)


def states(setup: Setup, actions: Iterable[act.Action], first_drop: int = 0) -> Iterator[State]:
    """Every state of a practical, the beginning included."""
    return accumulate(actions, apply, initial=beginning(setup, first_drop))
