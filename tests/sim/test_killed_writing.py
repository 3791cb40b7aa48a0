"""A command that is killed outright while it writes: what it left is gone at the next writing."""

import json
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
# Forks for each command, and kills it (SIGKILL) as it puts what it wrote in its place. The heavy
# imports happen once.
import json, os, sys
from pathlib import Path

from analysis.__main__ import main as analyse
from sim.__main__ import main
import analysis.commands.analyse, analysis.commands.mark
import sim.commands.classset, sim.commands.perform, sim.commands.portable

for folder, command, words in json.loads(sys.argv[1]):
    child = os.fork()
    if child == 0:
        try:
            os.chdir(folder)
            Path.rename = Path.replace = lambda *_: os.kill(os.getpid(), 9)
            {"sim": main, "analysis": analyse}[command](words)
        finally:
            os._exit(1)
    _, status = os.waitpid(child, 0)
    assert os.WIFSIGNALED(status), (command, words, "ended by itself")
"""
COMMANDS = {
    "new folder": (main, "perform --repeats 2", "readings out"),
    "folder that is there": (main, "perform --repeats 2", "there"),
    "class set": (main, "classset names.csv --readings-only", "set"),
    "portable": (main, PORTABLE, "folder"),
    "report": (analyse, "club.csv", "there"),
    "feedback": (analyse, "mark club.csv", "club.html"),
}


def hidden(folder):
    return [path.name for path in folder.rglob(".*")]


@pytest.fixture(scope="module")
def killed(tmp_path_factory):
    """What each command has left: a folder, and its words."""
    left, runs = {}, []
    for name, (command, words, out) in COMMANDS.items():
        folder = tmp_path_factory.mktemp("killed")
        (folder / "names.csv").write_text("name\nAda\nBen\n")
        (folder / "club.csv").write_text(TABLE, encoding="utf-8")
        laid_out(folder, wheel())
        (folder / "there").mkdir()
        left[name] = folder, [*words.split(), "--out", out]
        runs.append((str(folder), command.__module__.split(".")[0], left[name][1]))
    subprocess.run(
        [sys.executable, "-c", KILLED, json.dumps(runs)],
        env={"PYTHONPATH": str(Path(__file__).parents[2])}, check=True,
    )  # fmt: skip
    return left


@pytest.mark.skipif(sys.platform == "win32", reason="forks")
@pytest.mark.parametrize("name", COMMANDS)
def test_what_a_kill_left_is_gone_at_the_next_writing(name, killed, monkeypatch):
    folder, words = killed[name]
    monkeypatch.chdir(folder)
    assert hidden(folder)
    assert COMMANDS[name][0](words) == 0
    assert hidden(folder) == []


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
