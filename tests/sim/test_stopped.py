"""Ctrl+C while a command is still loading: one line and exit code 130, no traceback."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

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


@pytest.mark.skipif(os.name != "posix", reason="a process of Windows cannot press it for itself")
@pytest.mark.parametrize(("start", "words", "at"), MOMENTS)
def test_ctrl_c_while_a_command_loads_is_one_line(start, words, at, tmp_path):
    (tmp_path / "sitecustomize.py").write_text(PRESSES)
    done = subprocess.run(
        [sys.executable, *STARTS[start], *words.split()],
        cwd=tmp_path, capture_output=True, text=True, check=False,
        env={
            "PYTHONPATH": f"{tmp_path}{os.pathsep}{Path(__file__).parents[2]}",
            "SDL_VIDEODRIVER": "dummy", "PRESSED_AT": at,
        },
    )  # fmt: skip
    assert (done.returncode, done.stdout, done.stderr) == (130, "", "Stopped.\n")
    assert [path.name for path in tmp_path.iterdir() if path.name != "__pycache__"] == [
        "sitecustomize.py"
    ]
