"""The readings file beside a record, and the command that writes it again."""

import subprocess
import sys

import pytest

from analysis.readings.readings import read_readings
from physics.reading import CAREFUL
from sim import actions as act
from sim.__main__ import main
from sim.procedure import Procedure
from sim.record.readings_file import (
    readings_path,
    write_readings,
)
from sim.state import Setup
from sim.student import perform
from tests.analysis.readings_out import write_readings as by_analysis
from tests.sim.recorded import ACTS, SETUP, write, write_beside
from tests.sim.steps import replay

TWICE_AND_BACK = (293.15, 313.15, 293.15, 306.15)


def run(*arguments):
    return main(["readings", *map(str, arguments)])


@pytest.fixture
def record(tmp_path):
    return write(tmp_path / "practical.rebound.jsonl")


def test_the_file_holds_the_readings_that_stand(record):
    path = write_beside(record, replay(SETUP, ACTS))
    assert path == record.with_name("practical.rebound.csv")
    kept = read_readings(path)
    assert list(kept.frame["rebound_height_m"]) == pytest.approx([0.405, 0.39], abs=1e-12)
    assert list(kept.frame["repeat"]) == [1, 2]
    assert list(kept.frame["reheated"]) == [False, False]
    assert "true_temperature_k" not in kept.frame


@pytest.mark.parametrize("ending", ["csv", "xlsx", "ods"])
def test_the_analysis_writes_the_same_bytes_again(tmp_path, ending):
    noted = [act.NoteReading(333.15, 0.41, decimal_places=1), act.Wait(1 / 3)]
    states = [
        replay(SETUP, (*ACTS[:12], *noted)),
        perform(Setup(seed=4), Procedure(repeats=3, observer=CAREFUL)).end,
        perform(Setup(seed=4), Procedure(TWICE_AND_BACK, reheat=True, drop_height_m=0.8)).end,
    ]
    for number, state in enumerate(states):
        ours, theirs = (tmp_path / f"{who}{number}.{ending}" for who in ("ours", "theirs"))
        write_readings(state, ours, force=False)
        by_analysis(read_readings(ours), theirs, layout="tidy")
        assert ours.read_bytes() == theirs.read_bytes() or ending == "ods"
        assert read_readings(ours).frame.equals(read_readings(theirs).frame)


def test_the_file_holds_each_standing_reading_with_its_drop(tmp_path):
    state = replay(SETUP, ACTS)
    write_readings(state, tmp_path / "x.csv", force=False)
    frame = read_readings(tmp_path / "x.csv").frame
    standing = [line for line in state.rough if line.struck_out is None]
    for name, values in (
        ("temperature_k", [line.temperature_k for line in standing]),
        ("rebound_height_m", [line.height_m for line in standing]),
        ("drop_height_m", [line.drop.mark_m for line in standing]),
    ):
        assert frame[name].tolist() == pytest.approx(values, rel=1e-12), name
    times_s = [line.drop.time_s for line in standing]
    assert frame["elapsed_time_s"].tolist() == pytest.approx(times_s, abs=0.05)


def test_a_time_is_written_to_a_tenth_of_a_second(tmp_path):
    write_readings(perform(SETUP, Procedure(repeats=2)).end, tmp_path / "x.csv", force=False)
    rows = [line.split(",") for line in (tmp_path / "x.csv").read_text("utf-8-sig").split()]
    times = [row[-1].partition(".") for row in rows if row[-1].replace(".", "").isdigit()]
    assert len(times) == 10
    assert {len(fraction) for _, _, fraction in times} <= {0, 1}


def test_the_bench_need_not_wait_for_pandas():
    code = (
        "import sys, tempfile, pathlib;"
        "from sim.record.readings_file import write_readings;"
        "from sim.state import Setup, beginning; folder = tempfile.TemporaryDirectory();"
        "write_readings(beginning(Setup(seed=1)), pathlib.Path(folder.name) / 'x.csv', force=True);"
        "import sim.record.file, sim.record.replay;"
        "sys.exit('pandas' in sys.modules or 'asyncio' in sys.modules)"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_the_command_writes_the_same_file_again_from_the_record_alone(tmp_path, capsys):
    setup = Setup(seed=3)
    performance = perform(setup, Procedure(repeats=2, reheat=True))
    record = write(tmp_path / "set.rebound.jsonl", performance.actions, setup)
    beside = write_beside(record, performance.end).read_bytes()
    assert len(beside.splitlines()) == 11
    readings_path(record).unlink()
    assert run(record) == 0
    assert readings_path(record).read_bytes() == beside
    assert capsys.readouterr().out == f"{readings_path(record)}\n"


def test_the_file_follows_the_page_until_the_last_reading_is_struck(record):
    state = replay(SETUP, ACTS)
    for number in (1, 2):
        write_beside(record, state)
        state = replay(SETUP, (*ACTS, *[act.StrikeReading(n, "slip") for n in (1, number)]))
    path = write_beside(record, state)
    assert "rebound height / cm" in path.read_text("utf-8-sig")
    assert len(path.read_text("utf-8-sig").splitlines()) == 1  # headings alone


def test_no_file_is_written_over_unasked(record, capsys):
    out = record.with_name("kept.csv")
    out.write_text("mine")
    assert run(record, "--out", out) == 1
    assert out.read_text() == "mine"
    assert "exists already" in capsys.readouterr().err
    assert run(record, "--out", out, "--force") == 0
    assert read_readings(out).frame.shape[0] == 2
    misnamed = write(record.with_name("misnamed.csv"))
    before = misnamed.read_bytes()
    capsys.readouterr()
    assert run(misnamed, "--force") == 1
    assert misnamed.read_bytes() == before
    assert "is the record itself" in capsys.readouterr().err


def test_damage_is_told_and_what_stands_before_it_is_written(record, capsys):
    content = record.read_bytes()
    record.write_bytes(content[: content.index(b"put camera away") + 40])
    assert run(record) == 0
    assert f"Line 24 of {record.name}" in capsys.readouterr().err
    assert read_readings(readings_path(record)).frame.shape[0] == 2


@pytest.mark.parametrize("ending", ["xlsx", "ods"])
def test_other_formats_by_the_ending(record, ending):
    out = record.with_name(f"readings.{ending}")
    assert run(record, "--out", out) == 0
    assert read_readings(out).frame.shape[0] == 2


def test_what_is_no_record_is_refused_in_one_sentence(tmp_path, capsys):
    junk = tmp_path / "junk.rebound.jsonl"
    junk.write_bytes(b"\0\1\2")
    for wrong in (junk, tmp_path, tmp_path / "gone.rebound.jsonl"):
        assert run(wrong) == 1
        said = capsys.readouterr()
        assert said.err.count("\n") == 1
        assert said.err.endswith(".\n")
        assert said.out == ""
    assert not readings_path(junk).exists()


def test_wrong_usage_is_2():
    for wrong in ([], ["a", "b"], ["a", "--out"]):
        with pytest.raises(SystemExit) as left:
            run(*wrong)
        assert left.value.code == 2
