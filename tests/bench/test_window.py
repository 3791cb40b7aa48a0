"""A real window on a virtual screen, worked by a robot's keys and pointer: one drop.

Nothing here sleeps for a fixed time and hopes: each step waits until what must follow from
the one before is seen, on the screen or in the record, however slow the machine is.
"""

import os
import shutil
import struct
import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest

from sim.bench.screen.layout import Layout
from sim.bench.screen.window import TITLE
from sim.record.replay import read_record
from tests.children import AS_OUR_CHILD

ROOT = Path(__file__).parents[2]
NEEDED = ("Xvfb", "xdotool")
DEADLINE_S = 120.0
PEEP_S = 0.05
AGAIN_S = 10.0
SWING_FRAMES = 40
"""A jug carried for so many frames, at sixty a second at most, was not swung in a hurry."""

pytestmark = pytest.mark.skipif(
    any(shutil.which(tool) is None for tool in NEEDED),
    reason="Xvfb and xdotool are not installed here",
)


class Screen:
    """A virtual screen: its display's name, and the file in which its pixels stand."""

    def __init__(self, display, file):
        self.display, self.file = display, file

    def pixels(self, box):
        """The pixels of a box of the screen, from the X window dump that the server keeps."""
        content = self.file.read_bytes()
        header = struct.unpack(">25I", content[:100])
        size, height, row_bytes, colours = header[0], header[5], header[12], header[19]
        rows = np.frombuffer(content, np.uint8, height * row_bytes, size + 12 * colours)
        shown = rows.reshape(height, row_bytes // 4, 4)
        return shown[box.y : box.bottom, box.x : box.right].copy()

    def robot(self, *words):
        done = subprocess.run(
            ["xdotool", *words],
            env=environment(self.display),
            capture_output=True,
            text=True,
            check=False,
        )
        return done.stdout.strip()

    @contextmanager
    def changing(self, box):
        """Do something, and wait until a box of the screen looks different for it."""
        before = self.pixels(box)
        yield
        until(lambda: not np.array_equal(self.pixels(box), before))

    def frames_passed(self, box, count):
        """Wait until a box in which something always moves has looked different so often."""
        last, seen = self.pixels(box), 0

        def another():
            nonlocal last, seen
            now = self.pixels(box)
            seen += bool((now != last).any())
            last = now
            return seen >= count

        until(another)


@pytest.fixture
def screen(tmp_path):
    """A virtual screen of its own; its number is the first that is free."""
    folder = tmp_path / "screen"
    folder.mkdir()
    process = subprocess.Popen(
        [
            *("Xvfb", "-displayfd", "1", "-screen", "0", "1366x768x24", "-nolisten", "tcp"),
            *("-fbdir", str(folder)),
        ],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        **AS_OUR_CHILD,
    )
    with process:
        number = process.stdout.readline().decode().strip()
        yield Screen(f":{number}", folder / "Xvfb_screen0")
        process.terminate()


def environment(display):
    plain = {name: value for name, value in os.environ.items() if name != "SDL_VIDEODRIVER"}
    return plain | {"DISPLAY": display, "PYTHONPATH": str(ROOT)}


def until(condition):
    deadline = time.monotonic() + DEADLINE_S
    while time.monotonic() < deadline:
        found = condition()
        if found:
            return found
        time.sleep(PEEP_S)
    raise AssertionError("it did not happen in time")


def bench_window(screen):
    """The number of the window that bears the bench's title, once it has the keyboard."""

    def titled():
        windows = screen.robot("search", "--class", "__main__").split()
        return next((one for one in windows if screen.robot("getwindowname", one) == TITLE), None)

    window = until(titled)
    until(lambda: screen.robot("windowfocus", window) or screen.robot("getwindowfocus") == window)


def acts(path):
    return [type(action).__name__ for action in read_record(path).actions]


def press(screen, key, path, act):
    """Press a key until its act is on the record: a window may miss a key as it gets the focus."""
    pressed_s = -AGAIN_S

    def kept():
        nonlocal pressed_s
        if time.monotonic() - pressed_s > AGAIN_S:
            screen.robot("key", key)
            pressed_s = time.monotonic()
        return act in acts(path)

    until(kept)


def pour_from_the_jug(screen, layout):
    """Carry the jug to the beaker by the pointer, slowly enough not to spill."""
    place = [str(pixel) for pixel in layout.jug.centre]
    over = [str(layout.beaker.centre[0]), str(layout.beaker.y - 30)]
    screen.robot("mousemove", *place)
    with screen.changing(layout.jug):
        screen.robot("mousedown", "1", "mousemove_relative", "--", "-33", "-60")
    screen.frames_passed(layout.kettle, SWING_FRAMES)
    with screen.changing(layout.beaker):
        screen.robot("mousemove", *over)
    screen.robot("mouseup", "1")


def one_drop(screen, folder):
    """Pour, soak, drop and note; gives the record's path."""
    layout = Layout()
    (path,) = until(lambda: list(folder.glob("*.rebound.jsonl")))
    bench_window(screen)
    press(screen, "Return", path, "ChooseExtent")
    press(screen, "h", path, "AddHotWater")
    pour_from_the_jug(screen, layout)
    until(lambda: "AddColdWater" in acts(path))
    for key, act in {"b": "PutBallIn", "t": "Towel", "r": "Hold", "space": "Release"}.items():
        press(screen, key, path, act)
    with screen.changing(layout.page):
        screen.robot("key", "n")
    for key in ("4", "0", "space", "C", "Tab", "3", "3", "space", "c", "m", "Return"):
        screen.robot("key", key)
    until(lambda: read_record(path).end.rough)
    return path


def test_one_drop_in_a_real_window(screen, tmp_path):
    bench = subprocess.Popen(
        [sys.executable, "-m", "sim", "--new", "--seed", "5", "--folder", str(tmp_path)],
        cwd=ROOT,
        env=environment(screen.display),
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        **AS_OUR_CHILD,
    )
    try:
        path = one_drop(screen, tmp_path)
    finally:
        bench.kill()
        error = bench.communicate()[1].decode()
    assert "Traceback" not in error
    (line,) = read_record(path).end.rough
    assert line.height_m == pytest.approx(0.33)
    assert not read_record(path).end.floor_wet


NOWHERE = {"asked for": {"SDL_VIDEODRIVER": "x11", "DISPLAY": ":none"}, "none at all": {}}


@pytest.mark.parametrize("where", NOWHERE)
def test_without_a_screen_the_command_says_so(tmp_path, where):
    seen = ("DISPLAY", "WAYLAND_DISPLAY")
    nowhere = {name: text for name, text in environment("").items() if name not in seen}
    nowhere |= NOWHERE[where]
    done = subprocess.run(
        [sys.executable, "-m", "sim", "--new", "--folder", str(tmp_path)],
        cwd=ROOT,
        env=nowhere,
        capture_output=True,
        text=True,
        timeout=DEADLINE_S,
        check=False,
    )
    assert done.returncode == 1
    assert "python -m sim perform" in done.stderr
    assert "Traceback" not in done.stderr
