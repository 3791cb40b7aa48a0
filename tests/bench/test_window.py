"""A real window on a virtual screen, worked by a robot's keys and pointer: one drop."""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sim.record.reading import read_record

ROOT = Path(__file__).parents[2]
NEEDED = ("Xvfb", "xdotool")

pytestmark = pytest.mark.skipif(
    any(shutil.which(tool) is None for tool in NEEDED),
    reason="Xvfb and xdotool are not installed here",
)


@pytest.fixture
def screen():
    """A virtual screen of its own; its number is the first that is free."""
    process = subprocess.Popen(
        ["Xvfb", "-displayfd", "1", "-screen", "0", "1366x768x24", "-nolisten", "tcp"],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
    )
    with process:
        number = process.stdout.readline().decode().strip()
        yield f":{number}"
        process.terminate()


def environment(screen):
    plain = {name: value for name, value in os.environ.items() if name != "SDL_VIDEODRIVER"}
    return plain | {"DISPLAY": screen, "PYTHONPATH": str(ROOT)}


def robot(screen, *words):
    done = subprocess.run(
        ["xdotool", *words], env=environment(screen), capture_output=True, text=True, check=False
    )
    return done.stdout.strip()


def acts(path):
    return [type(action).__name__ for action in read_record(path).actions]


def until(condition, seconds=30.0):
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline:
        found = condition()
        if found:
            return found
        time.sleep(0.1)
    raise AssertionError("it did not happen in time")


def test_one_drop_in_a_real_window(screen, tmp_path):
    bench = subprocess.Popen(
        [sys.executable, "-m", "sim", "--new", "--seed", "5", "--folder", str(tmp_path)],
        cwd=ROOT,
        env=environment(screen),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
    )
    try:
        window = until(lambda: robot(screen, "search", "--class", "__main__").split())[0]
        robot(screen, "windowfocus", window)
        (path,) = until(lambda: list(tmp_path.glob("*.rebound.jsonl")))
        until(lambda: robot(screen, "key", "h") or "AddHotWater" in acts(path))
        # The jug by the pointer, swung slowly enough not to spill.
        robot(screen, "mousemove", "333", "420", "mousedown", "1")
        time.sleep(0.8)
        robot(screen, "mousemove", "300", "360", "mousemove", "215", "320")
        time.sleep(0.2)
        robot(screen, "mouseup", "1")
        until(lambda: "AddColdWater" in acts(path))
        for key in ("b", "t", "r", "space"):
            robot(screen, "key", key)
            time.sleep(0.3)
        until(lambda: "Release" in acts(path))
        for key in ("Tab", "4", "0", "space", "C", "Tab", "3", "3", "space", "c", "m", "Return"):
            robot(screen, "key", key)
        until(lambda: read_record(path).end.rough)
    finally:
        bench.kill()
        error = bench.communicate()[1].decode()
    assert "Traceback" not in error
    (line,) = read_record(path).end.rough
    assert line.height_m == pytest.approx(0.33)
    assert not read_record(path).end.floor_wet


def test_without_a_screen_the_command_says_so(tmp_path):
    nowhere = environment(":none") | {"SDL_VIDEODRIVER": "x11"}
    done = subprocess.run(
        [sys.executable, "-m", "sim", "--new", "--folder", str(tmp_path)],
        cwd=ROOT,
        env=nowhere,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode == 1
    assert "python -m sim perform" in done.stderr
    assert "Traceback" not in done.stderr
