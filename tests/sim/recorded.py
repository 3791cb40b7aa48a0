"""A helper of the record's tests: a short practical, and its record as a file or as bytes."""

from itertools import pairwise

from sim import actions as act
from sim.practical import states
from sim.record.file import begin_record
from sim.record.format import KeptAct, linked, opening_line
from sim.record.readings_file import readings_path, write_readings
from sim.state import Setup

SETUP = Setup(seed=2**127 + 7, member=3)
ACTS = (
    act.AddColdWater(0.14),
    act.AddHotWater(0.11, carefully=False),
    act.WipeFloor(),
    act.Wait(0.1 + 0.2),
    act.PutBallIn(),
    act.Wait(61.7),
    act.LiftOut(),
    act.Towel(),
    act.SetEyeLevel(1 / 3),
    act.AskReader("hurried"),
    act.Hold(1.0),
    act.Release(),
    act.NoteReading(317.15, 0.41, aided=True, decimal_places=1),
    act.AskReader(None),
    act.StrikeReading(0, "misread: \u201c41\u201d \u2192 14 \u00bd, \U0001f3be"),
    act.NoteReading(317.15, 0.405),
    act.PickUp(),
    act.Wait(3.25),
    act.Hold(0.9999999999999999),
    act.SetUpCamera(240, 0.4),
    act.Release(),
    act.NoteReading(317.15, 0.39),
    act.PutCameraAway(),
    act.WriteCell(0, 0, "temperature / \u00b0C"),
    act.WriteAnswer("conclusion", "relationship", 'As it rises,\nthe height rises.\t"\\\u2028'),
    act.SetAxis("across", "temperature / \u00b0C", 20.0, 5.0),
    act.PlotPoint(-0.0, 5e-324),
    act.PlotPoint(44.0, 1.7976931348623157e308),
    act.RubOutPoint(0),
    act.LayLine(((20.0, 23.0), (60.0, 50.1))),
)


def timed(setup=SETUP, actions=ACTS):
    """Each action with the time of the state it is done in."""
    pairs = pairwise(states(setup, actions))
    return [(action, before.time_s) for action, (before, _) in zip(actions, pairs, strict=True)]


def write(path, actions=ACTS, setup=SETUP, label=None):
    """Keep a practical in a file."""
    with begin_record(path, setup, label) as file:
        for action, time_s in timed(setup, actions):
            file.append(action, time_s)
    return path


def content(entries, setup=SETUP, label=None):
    """The bytes of a record with these (action, time) pairs, possible or not."""
    line, digest = opening_line(setup, label)
    lines = [line]
    for action, time_s in entries:
        line, digest = linked(digest, KeptAct(time_s, action))
        lines.append(line)
    return b"".join(lines)


def write_beside(record, state):
    """Bring the readings file beside a record up to date, as the bench does."""
    path = readings_path(record)
    write_readings(state, path, force=True)
    return path
