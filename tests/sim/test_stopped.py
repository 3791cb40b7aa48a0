"""Ctrl+C while a command is loading or at work: one line and exit code 130, no traceback."""

import os
import re
import signal
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import pytest

from physics.ball import FAST
from sim.classroom.class_key import Handout, key_bytes, new_key
from sim.procedure import Procedure
from tests.children import AS_OUR_CHILD

PRESSES = """
# Presses Ctrl+C when a module is asked for, as the site's own start-up file.
import os, signal, sys

class Presser:
    def find_spec(name, path=None, target=None):
        if name == os.environ["PRESSED_AT"]:
            sys.meta_path.remove(Presser)
            os.kill(os.getpid(), signal.SIGINT)

sys.meta_path.insert(0, Presser)
"""
STARTS = {
    "python -m sim": ["-m", "sim"],
    "python -m analysis": ["-m", "analysis"],
    "rebound-practical": ["-c", "import sys; from sim.__main__ import main; sys.exit(main())"],
    "rebound-analysis": ["-c", "import sys; from analysis.__main__ import main; sys.exit(main())"],
}
"""The installed programs hold these lines."""
EARLY = ("argparse", "analysis.command_line", "analysis.refusal")
MOMENTS = [
    *((start, "mark none.csv", at) for start in STARTS for at in EARLY),
    ("python -m sim", "perform", "sim.commands.options"),
    ("python -m sim", "perform", "numpy"),
    ("python -m sim", "perform", "datetime"),  # asked for by compiled parts of numpy and pandas
    ("python -m sim", "perform", "matplotlib.ft2font"),
    ("rebound-practical", "--new", "pygame"),
    ("rebound-analysis", "none.csv", "pandas"),
    ("python -m analysis", "none.csv", "analysis.commands.analyse"),
]


@pytest.fixture
def in_the_background():
    """The tests do not hear Ctrl+C, as when a shell has started them with `&`."""
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.skipif(os.name != "posix", reason="a process of Windows cannot press it for itself")
@pytest.mark.parametrize(("start", "words", "at"), MOMENTS)
def test_ctrl_c_while_a_command_loads_is_one_line(start, words, at, tmp_path, in_the_background):
    (tmp_path / "sitecustomize.py").write_text(PRESSES)
    done = subprocess.run(
        [sys.executable, *STARTS[start], *words.split()],
        cwd=tmp_path, capture_output=True, text=True, check=False, timeout=120.0, **AS_OUR_CHILD,
        env={
            "PYTHONPATH": f"{tmp_path}{os.pathsep}{Path(__file__).parents[2]}",
            "SDL_VIDEODRIVER": "dummy", "PRESSED_AT": at,
        },
    )  # fmt: skip
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "Stopped.\n")
    assert [path.name for path in tmp_path.iterdir() if path.name != "__pycache__"] == [
        "sitecustomize.py"
    ]


@pytest.mark.slow
@pytest.mark.parametrize("all_hear", [True, False], ids=["from the keyboard", "from elsewhere"])
@pytest.mark.parametrize(
    ("command", "doing"),
    [("collect in --key key.json", "marking"), ("classset names.csv", "sheets")],
)
def test_ctrl_c_in_a_class_leaves_one_line_and_no_file(
    command, doing, all_hear, tmp_path, in_the_background
):
    """All processes of the terminal hear it, those that the command has started too."""
    here = tmp_path
    (here / "in").mkdir()
    (here / "key.json").write_bytes(
        key_bytes(new_key(Handout("records", FAST, Procedure()), ("Ada Larkmere",), 1))
    )
    for number in range(1, 5_000):  # each is soon refused
        (here / "in" / f"{number} table.csv").write_text("temperature / °C,repeat 1 / cm\n20,23\n")
    (here / "names.csv").write_text("name\n" + "".join(f"Pupil {n}\n" for n in range(300)))
    words = [sys.executable, "-m", "sim", *command.split(), "--out", "out"]
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    pty, termios = map(pytest.importorskip, ("pty", "termios"))
    ours, theirs = pty.openpty()  # a bar is drawn on a terminal only
    termios.tcsetwinsize(theirs, (24, 80))
    there = sorted(here.iterdir())
    with subprocess.Popen(
        words, cwd=here, env=environment, stderr=theirs, start_new_session=True, **AS_OUR_CHILD
    ) as running:
        os.close(theirs)
        said = b""
        while not re.search(rb"%s: +[1-9]" % doing.encode(), said):  # by now others are at work
            said += os.read(ours, 1000)
        (os.killpg if all_hear else os.kill)(running.pid, signal.SIGINT)
    with suppress(OSError):  # the terminal's way to say that it was left
        while more := os.read(ours, 1000):
            said += more
    assert running.returncode == 130
    assert b"Traceback" not in said
    assert said.endswith(b"Stopped.\r\n")
    assert sorted(here.iterdir()) == there
