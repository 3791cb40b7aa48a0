"""A program that is killed outright: nothing that was told as kept is lost."""

import subprocess
import sys
from pathlib import Path

import pytest

ROUNDS = """
# Each round forks a writer, kills it (SIGKILL) at a random moment and reads what it left. The
# heavy imports happen once. Prints how many acts the writers were told as kept, and were found.
import os, random, signal, sys, time
from pathlib import Path

from sim.record.file import begin_record, continue_record
from sim.record.replay import read_record
from tests.sim.recorded import ACTS, SETUP, timed
from tests.sim.steps import replay

folder, rounds = Path(sys.argv[1]), int(sys.argv[2])
moments = random.Random(int(sys.argv[3]))
entries = timed()


def written_until_killed(path, told):
    kept = 0
    for _ in range(100_000):
        file, record = continue_record(path) if path.exists() else (begin_record(path, SETUP), None)
        for action, time_s in entries[len(record.actions) if record else 0:]:
            file.append(action, time_s)
            kept += 1
            os.write(told, b"+")
        file.close()
        path = path.with_name(f"{kept}.rebound.jsonl")
        os.write(told, b"\\n")


total = torn = 0
for round_ in range(rounds):
    home = folder / str(round_)
    home.mkdir()
    reading, telling = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            os.close(reading)
            written_until_killed(home / "0.rebound.jsonl", telling)
        finally:
            os._exit(1)
    os.close(telling)
    os.read(reading, 1)  # it is writing
    time.sleep(moments.random() * 0.02)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), "the writer ended by itself"
    told = 1
    while part := os.read(reading, 65536):
        told += part.count(b"+")
    os.close(reading)
    found = 0
    for path in home.glob("*.rebound.jsonl"):
        if path.stat().st_size == 0:
            continue  # killed while the record was begun, before any act
        record = read_record(path)
        assert record.actions == ACTS[: len(record.actions)]
        assert record.end == replay(SETUP, record.actions)
        assert all("was not written to its end" in notice for notice in record.notices)
        found += len(record.actions)
        torn += len(record.notices)
        file, again = continue_record(path)  # the lock went with the writer
        with file:
            for action, time_s in entries[len(again.actions):]:
                file.append(action, time_s)
        assert read_record(path).actions == ACTS
    assert told <= found <= told + 1, (told, found)
    total += told
print(rounds, total, torn)
"""


def killed(tmp_path, rounds, seed):
    result = subprocess.run(
        [sys.executable, "-c", ROUNDS, tmp_path, str(rounds), str(seed)],
        capture_output=True,
        text=True,
        cwd=Path(__file__).parents[2],
        check=False,
    )
    assert result.returncode == 0, result.stderr
    done, total, _ = map(int, result.stdout.split())
    assert done == rounds
    return total


@pytest.mark.skipif(sys.platform == "win32", reason="forks")
def test_ten_kills_lose_nothing_that_was_kept(tmp_path):
    assert killed(tmp_path, 10, seed=1) > 100


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="forks")
def test_two_hundred_kills_lose_nothing_that_was_kept(tmp_path):
    assert killed(tmp_path, 200, seed=2) > 2000
