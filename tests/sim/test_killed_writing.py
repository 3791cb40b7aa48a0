"""A command that is killed outright while it writes: what it left is gone at the next writing."""

import subprocess
import sys
from pathlib import Path

import pytest

from analysis.__main__ import main as analyse
from analysis.files import staged, write_whole
from sim.__main__ import main
from tests.sim.made_packages import laid_out, wheel

TABLE = "temperature / °C,repeat 1 / cm,repeat 2 / cm\n20,23,24\n30,28,29\n40,33,34\n"
PORTABLE = "portable --python python.zip --wheels wheels --pins pins.toml"
KILLED = """
import os, sys
from pathlib import Path
from {package}.__main__ import main
Path.rename = Path.replace = lambda *_: os.kill(os.getpid(), 9)
main(sys.argv[1:])
"""


def hidden(folder):
    return [path.name for path in folder.rglob(".*")]


@pytest.mark.parametrize(
    ("command", "words", "out", "there"),
    [
        (main, "perform --repeats 2", "readings out", False),
        (main, "perform --repeats 2", "readings out", True),
        (main, "classset names.csv --readings-only", "set", False),
        (main, PORTABLE, "folder", False),
        (analyse, "club.csv", "club-analysis", True),
        (analyse, "mark club.csv", "club.html", False),
    ],
    ids=["new folder", "folder that is there", "class set", "portable", "report", "feedback"],
)
def test_what_a_kill_left_is_gone_at_the_next_writing(
    command, words, out, there, tmp_path, monkeypatch
):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "names.csv").write_text("name\nAda\nBen\n")
    (tmp_path / "club.csv").write_text(TABLE, encoding="utf-8")
    laid_out(tmp_path, wheel())
    arguments = [*words.split(), "--out", out]
    if there:
        (tmp_path / out).mkdir()
    done = subprocess.run(
        [sys.executable, "-c", KILLED.format(package=command.__module__.split(".")[0]), *arguments],
        env={"PYTHONPATH": str(Path(__file__).parents[2])}, check=False,
    )  # fmt: skip
    assert done.returncode != 0
    assert hidden(tmp_path)
    assert command(arguments) == 0
    assert hidden(tmp_path) == []


def test_what_another_command_is_writing_is_left_to_it(tmp_path):
    out = tmp_path / "out"
    with staged(out, force=False) as stage:
        stage.put("a", b"1")
        being_written = hidden(tmp_path)
        write_whole(tmp_path / "b", b"2")
        with staged(out, force=False) as other:
            other.put("c", b"3")
        assert hidden(tmp_path) == being_written
    assert (out / "a").read_bytes() == b"1"
    assert hidden(tmp_path) == []
