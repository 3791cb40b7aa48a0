"""A bench that is killed outright: what was entered before is on its record."""

import os
import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sim.record.replay import read_record
from tests.children import AS_OUR_CHILD

STARTS_ONE = """
import subprocess, time
from tests.children import AS_OUR_CHILD
print(subprocess.Popen(["sleep", "600"], **AS_OUR_CHILD).pid, flush=True)
time.sleep(600)
"""
SCRIPT = Path(__file__).parent / "working_bench.py"
ROOT = Path(__file__).parents[2]


def killed_after(path, number, acts):
    """Run a bench and kill -9 it a moment after so many acknowledged acts.

    Returns the count of readings that was acknowledged last.
    """
    told = path.with_suffix(".told")
    with told.open("wb") as stdout:
        process = subprocess.Popen(
            [sys.executable, str(SCRIPT), str(path), str(number)],
            stdin=subprocess.DEVNULL,
            stdout=stdout,
            cwd=ROOT,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
            **AS_OUR_CHILD,
        )
        while told.read_bytes().count(b"\n") < acts and process.poll() is None:
            time.sleep(0.002)
        process.kill()
        process.wait()
    whole = told.read_bytes().split(b"\n")[:-1]
    assert len(whole) >= acts, "the bench ended by itself"
    return int(whole[-1])


def holds_what_was_acknowledged(path, readings):
    record = read_record(path)
    assert len(record.end.rough) >= readings
    torn = [notice for notice in record.notices if "last line" not in notice]
    assert not torn, torn
    return len(record.actions)


def test_a_bench_killed_at_random_moments_loses_nothing_entered(tmp_path):
    chance = random.Random(20)
    for number in range(2):
        path = tmp_path / f"{number}.rebound.jsonl"
        readings = killed_after(path, number, chance.randint(1, 60))
        holds_what_was_acknowledged(path, readings)


@pytest.mark.slow
def test_two_hundred_kills(tmp_path):
    chance = random.Random(21)
    acts = 0
    for number in range(200):
        path = tmp_path / f"{number}.rebound.jsonl"
        readings = killed_after(path, number, chance.randint(1, 150))
        acts += holds_what_was_acknowledged(path, readings)
    print(f"\n200 kills, {acts} acts on the records, nothing entered was lost")


@pytest.mark.skipif(sys.platform != "linux", reason="Linux alone ends a child with its parent")
def test_what_the_tests_start_does_not_outlive_them():
    tests = subprocess.Popen(
        [sys.executable, "-c", STARTS_ONE], cwd=ROOT, stdout=subprocess.PIPE, **AS_OUR_CHILD
    )
    with tests:
        child = int(tests.stdout.readline())
        tests.kill()
    deadline = time.monotonic() + 20.0
    while runs(child):
        assert time.monotonic() < deadline
        time.sleep(0.002)


def runs(process):
    try:
        state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
    except FileNotFoundError:
        return False
    return state != "Z"  # it has ended, and nobody has asked how
