"""The practical record: everything comes back, one window writes, and writing goes on."""

import dataclasses
import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from physics.ball import Ball
from physics.reading import CAMERAS
from sim import actions as act
from sim.chance import LARGEST_SEED
from sim.practical import apply
from sim.procedure import Procedure
from sim.record.file import begin_record, continue_record
from sim.record.format import RecordInUse, RecordRefused, RecordTrouble
from sim.record.replay import read_record
from sim.state import Setup
from tests.children import AS_OUR_CHILD
from tests.sim.recorded import ACTS, SETUP, timed, write
from tests.sim.steps import replay


@pytest.fixture
def path(tmp_path):
    return tmp_path / "practical.rebound.jsonl"


def test_a_record_gives_the_practical_again_bit_for_bit(path):
    record = read_record(write(path, label="Ωmega, =1+1\u2028 ½"))
    assert record.actions == ACTS
    assert str(record.actions) == str(ACTS)  # -0.0 and the sign of it
    assert record.times_s == tuple(time_s for _, time_s in timed())
    assert record.setup == SETUP
    assert record.label == "Ωmega, =1+1\u2028 ½"
    assert record.notices == ()
    assert record.end == replay(SETUP, ACTS)
    assert len(record.end.rough) == 3


def test_every_field_of_the_setup_and_of_the_ball_is_kept(path):
    numbers = {
        field.name: 1.01 * field.default
        for field in dataclasses.fields(Ball)
        if field.name not in ("name", "loss_ratio_40", "emissivity")
    }
    model = Ball(name="ours, №1", loss_ratio_40=0.1 + 0.07, emissivity=0.9, **numbers)
    plan = Procedure(
        (291.4 + 1e-13, 330.0), 3, 0.8 + 1e-16, True, 1e-3, False, CAMERAS[60], 1 / 3, "beaker"
    )
    setup = Setup(LARGEST_SEED, 2**62, model, 291.15 + 1e-13, 0.004 / 3, plan)
    for field in dataclasses.fields(Procedure):
        assert getattr(plan, field.name) != field.default
    for field in dataclasses.fields(Setup):
        assert getattr(setup, field.name) != field.default
    kept = read_record(write(path, (), setup)).setup
    assert kept == setup
    assert kept.ball == setup.ball


def test_each_line_is_a_json_object_and_stands_in_the_file_at_once(path):
    with begin_record(path, SETUP) as file:
        for count, (action, time_s) in enumerate(timed(), start=1):
            file.append(action, time_s)
            lines = path.read_bytes().splitlines()
            assert len(lines) == count + 1
    assert json.loads(lines[0])["seed"] == str(SETUP.seed)
    entries = [json.loads(line) for line in lines[1:]]
    assert entries[5]["action"] == {"act": "wait", "time_s": 61.7}
    assert len({entry["hash"] for entry in entries}) == len(ACTS)


def test_a_record_is_gone_on_with(path):
    write(path, ACTS[:12])
    for action, time_s in timed()[12:]:
        file, record = continue_record(path)
        assert record.notices == ()
        with file:
            file.append(action, time_s)
    assert read_record(path).actions == ACTS
    assert path.read_bytes() == write(path.with_name("whole.rebound.jsonl")).read_bytes()


def test_the_disk_is_waited_for_after_a_reading_and_at_the_close(path, monkeypatch):
    waits = []
    synced = os.fsync
    with begin_record(path, SETUP) as file:
        monkeypatch.setattr(os, "fsync", lambda fd: (waits.append(fd), synced(fd)))
        file.append(act.Wait(1.0), 0.0)
        assert len(waits) == 0
        file.append(act.NoteReading(293.15, 0.3), 1.0)
        assert len(waits) == 1
        file.append(act.StrikeReading(0, "slip"), 1.0)
        assert len(waits) == 2
    assert len(waits) == 3


def test_numbers_of_numpy_are_kept_as_numbers(path):
    actions = (act.Wait(np.float64(0.1)), act.SetEyeLevel(np.float64(1 / 3)))
    assert read_record(write(path, actions)).actions == (act.Wait(0.1), act.SetEyeLevel(1 / 3))


@pytest.mark.parametrize(
    "action",
    [
        act.WriteAnswer("a", "b", "\ud800"),
        act.Wait(float("nan")),
        act.PlotPoint(float("inf"), 0.0),
        act.LayLine(tuple((0.1, 0.2) for _ in range(10_000))),
    ],
)
def test_what_no_file_takes_is_told_and_leaves_the_record_whole(path, action):
    with begin_record(path, SETUP) as file:
        file.append(act.Wait(1.0), 0.0)
        with pytest.raises(RecordTrouble, match=r"kept in the record: .*\.$"):
            file.append(action, 1.0)
        file.append(act.Wait(2.0), 1.0)
    record = read_record(path)
    assert record.actions == (act.Wait(1.0), act.Wait(2.0))
    assert record.notices == ()


def test_a_new_record_never_takes_the_place_of_a_file(path):
    before = write(path).read_bytes()
    with pytest.raises(RecordTrouble, match="exists already") as refusal:
        begin_record(path, SETUP)
    assert path.read_bytes() == before
    file, _ = continue_record(path)  # while the refusal is still held, its lock is not
    file.close()
    assert refusal.value is not None


def test_the_second_window_is_told_in_one_sentence(path, tmp_path):
    with begin_record(path, SETUP) as file:
        other_way = tmp_path / "there" / ".." / path.name
        (tmp_path / "there").mkdir()
        for way in (path, other_way):
            with pytest.raises(RecordInUse, match=r"is open in another window: .*\.$"):
                continue_record(way)
        with pytest.raises(RecordInUse):
            begin_record(path, SETUP)
        file.append(act.Wait(1.0), 0.0)
        assert read_record(path).actions == (act.Wait(1.0),)  # reading is always free
    continue_record(path)[0].close()


HOLDER = """
import sys, time
from pathlib import Path
from sim.record.file import continue_record
from tests.sim.steps import replay
file, _ = continue_record(Path(sys.argv[1]))
print("held", flush=True)
time.sleep(60)
"""


def test_another_process_keeps_out_and_a_killed_one_does_not(path):
    write(path)
    holder = subprocess.Popen(
        [sys.executable, "-c", HOLDER, path], stdout=subprocess.PIPE, cwd=Path.cwd(), **AS_OUR_CHILD
    )
    try:
        assert holder.stdout.readline() == b"held\n"
        with pytest.raises(RecordInUse):
            continue_record(path)
    finally:
        holder.kill()
        holder.wait()
        holder.stdout.close()
    file, record = continue_record(path)
    file.close()
    assert record.actions == ACTS


def test_a_record_deleted_or_changed_under_the_pen_is_told(path):
    file = begin_record(path, SETUP)
    path.unlink()
    with pytest.raises(RecordTrouble, match="deleted or replaced by another program"):
        file.append(act.Wait(1.0), 0.0)
    with pytest.raises(RecordTrouble, match="deleted"):  # the act is not given up
        file.close()
    changed = path.with_name("changed.rebound.jsonl")
    file = begin_record(changed, SETUP)
    with changed.open("ab") as other:
        other.write(b"scribble")
    with pytest.raises(RecordTrouble, match="changed by another program"):
        file.append(act.Wait(1.0), 0.0)
    with pytest.raises(RecordTrouble, match="changed"):
        file.close()
    assert changed.read_bytes().endswith(b"scribble")  # nothing of others is cut off


def test_a_damaged_record_is_set_aside_whole_and_gone_on_with(path):
    good = write(path).read_bytes().splitlines(keepends=True)
    damaged = b"".join(good[:10]) + good[10].replace(b"hurried", b"careful") + b"".join(good[11:])
    for number in (1, 2):
        path.write_bytes(damaged)
        file, record = continue_record(path)
        assert record.actions == ACTS[:9]
        assert record.notices[0].startswith(f"Line 11 of {path.name} is damaged")
        assert f"{path.name}.damaged-{number}" in record.notices[1]
        assert path.with_name(f"{path.name}.damaged-{number}").read_bytes() == damaged
        with file:
            for action, time_s in timed()[9:]:
                file.append(action, time_s)
        assert path.read_bytes() == b"".join(good)


def test_closing_twice_is_no_fault_and_a_missing_record_is_told(path):
    file = begin_record(path, SETUP)
    file.close()
    file.close()
    gone = path.with_name("gone.rebound.jsonl")
    for opened in (read_record, continue_record):
        with pytest.raises(RecordRefused, match=r"gone\.rebound\.jsonl cannot be read"):
            opened(gone)
    assert sorted(one.name for one in path.parent.iterdir()) == [f".{path.name}.lock", path.name]


def test_times_of_another_version_are_noticed(path):
    with begin_record(path, SETUP) as file:
        file.append(act.Wait(1.0), 0.0)
        file.append(act.Wait(1.0), 1.5)
    record = read_record(path)
    assert record.actions == (act.Wait(1.0), act.Wait(1.0))
    assert len(record.notices) == 1
    assert "another version" in record.notices[0]


def test_a_class_sets_record_is_a_beginning_without_acts(path):
    begin_record(path, Setup(seed=5, member=12), label="Student 12").close()
    file, record = continue_record(path)
    with file:
        file.append(ACTS[0], 0.0)
    assert record.end == replay(record.setup, ())
    assert read_record(path).end == apply(record.end, ACTS[0])


@pytest.mark.parametrize("setup", [Setup(seed=-1), Setup(seed=1, room_k=500.0)])
def test_a_setup_that_could_not_be_read_again_is_not_begun_with(path, setup):
    with pytest.raises(RecordTrouble, match="No practical can be kept with this setup"):
        begin_record(path, setup)
    assert list(path.parent.iterdir()) == []
