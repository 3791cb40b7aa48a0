"""Whatever is wrong within a file that comes in, it is one sentence, in bounded time and memory."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.sim.ways_in_fuzz import read_all

MANY = 20_000


def test_files_with_something_wrong_within_are_read_or_refused(tmp_path):
    read, _ = read_all(tmp_path, 150, 1)
    assert sum(read.values()) == 150


@pytest.mark.slow
@pytest.mark.skipif(sys.platform != "linux", reason="the limits are asked of Linux")
def test_very_many_are_within_the_limits_of_time_and_memory(tmp_path, capsys):
    words = [sys.executable, "-m", "tests.sim.ways_in_fuzz", str(tmp_path), str(MANY), "7"]
    home = Path(__file__).parents[2]
    done = subprocess.run(words, cwd=home, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-3000:]
    with capsys.disabled():
        print(f"\n{done.stdout}")
