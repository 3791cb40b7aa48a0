"""The bench on the software renderer: frames, start, memory. Ratios and times are printed."""

import json
import os
import shutil
import statistics
import subprocess
import sys
from pathlib import Path

import pytest

from analysis.paper.typeface import typeface_file

pytestmark = pytest.mark.performance

ROOT = Path(__file__).parents[2]
HEADLESS = {"SDL_VIDEODRIVER": "dummy", "PYGAME_HIDE_SUPPORT_PROMPT": "1", "PYTHONPATH": str(ROOT)}
MEDIAN_MS, HIGH_MS, WORST_IN_A_FALL_MS = 6.0, 12.0, 33.0
START_TIMES, WHOLE_TIMES = 1.0, 2.0
FLAT_MB = 5.0

BARE = """
import time; begun = time.perf_counter()
import sys, numpy, pygame
pygame.display.init(); pygame.font.init()
screen = pygame.display.set_mode((1366, 768)); pygame.display.set_caption("bare")
screen.blit(pygame.image.load(sys.argv[1]), (0, 0))
letters = pygame.font.Font(sys.argv[2], 16).render("Rebound height / cm", True, (0, 0, 0))
screen.blit(letters, (40, 40)); pygame.display.flip()
print(time.perf_counter() - begun)
"""
OURS = """
import time; begun = time.perf_counter()
import os, sys
from sim.__main__ import main
import pygame
show, seen = pygame.display.flip, []
def flip():
    show(); seen.append(time.perf_counter() - begun)
    if len(seen) == 2: print(*seen, flush=True); os._exit(0)
pygame.display.flip = flip
main(["--folder", sys.argv[1]])
"""
ON_A_SERVER = """
import json, sys, time
import pygame
from sim.bench.screen.app import Bench
from sim.bench.screen.window import window
from sim.bench.model.after import desk_for
from sim.state import Setup, beginning
def press(*codes):
    for code in codes:
        pygame.event.post(pygame.Event(pygame.KEYDOWN, key=code, mod=0, unicode=""))
k, took = pygame, []
with window((int(sys.argv[1]), int(sys.argv[2]))) as surface:
    bench = Bench(surface, desk_for(beginning(Setup(seed=1))))
    press(k.K_h, k.K_h, k.K_c, k.K_b)
    for _ in range(30): bench.frame(1 / 60)
    press(k.K_t, k.K_r)
    for _ in range(30): bench.frame(1 / 60)
    for fall in range(3):
        press(k.K_r); bench.frame(1 / 60); press(k.K_SPACE); bench.frame(1 / 60)
        for _ in range(130):
            begun = time.perf_counter(); bench.frame(1 / 60)
            took.append(1e3 * (time.perf_counter() - begun))
    print(json.dumps([pygame.display.get_driver(), *surface.get_size(), took]))
"""
FRAMES = """
import json, time, resource, sys
import pygame
from sim.bench.screen.app import Bench
from sim.bench.screen.window import window
from sim.bench.model.after import desk_for
from sim.bench.model.keeping import Keeper
from sim.state import Setup, beginning
def press(*codes):
    for code in codes:
        pygame.event.post(pygame.Event(pygame.KEYDOWN, key=code, mod=0, unicode=""))
def frames(bench, count):
    took = []
    for _ in range(count):
        begun = time.perf_counter(); bench.frame(1 / 60)
        took.append(1e3 * (time.perf_counter() - begun))
    return took
k = pygame
with window() as surface:
    bench = Bench(surface, desk_for(beginning(Setup(seed=1))), Keeper(None))
    frames(bench, 30)
    idle = frames(bench, 600)
    press(k.K_h, k.K_h, k.K_c, k.K_b); soaking = frames(bench, 600)
    press(k.K_t, k.K_r); frames(bench, 60)
    falls = []
    for _ in range(5):
        press(k.K_SPACE); falls += frames(bench, 130); press(k.K_r); frames(bench, 5)
    def resident():
        return int(open("/proc/self/statm").read().split()[1]) * resource.getpagesize() / 2**20
    before = resident()
    for _ in range(int(sys.argv[1])):
        press(k.K_h, k.K_x, k.K_b, k.K_t, k.K_r, k.K_SPACE)
        for _ in range(60):
            bench.frame(0.25)
    after = resident()
    minutes = bench.desk.state.time_s / 60
print(json.dumps(dict(idle=idle, soaking=soaking, falls=falls, before=before, after=after,
                      minutes=minutes)))
"""


def python(script, *arguments):
    done = subprocess.run(
        [sys.executable, "-c", script, *arguments],
        cwd=ROOT,
        env={name: v for name, v in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        | HEADLESS,
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.strip().splitlines()[-1]


def test_frames_are_quick_and_memory_is_flat():
    found = json.loads(python(FRAMES, "120"))
    for name in ("idle", "soaking", "falls"):
        took = sorted(found[name])
        median, high = statistics.median(took), took[int(0.99 * len(took))]
        print(f"\n{name}: median {median:.2f} ms, 99th {high:.2f} ms, worst {took[-1]:.2f} ms")
    everything = sorted(found["idle"] + found["soaking"] + found["falls"])
    print(
        f"memory {found['before']:.1f} MB, after {found['minutes']:.0f} minutes at the bench "
        f"{found['after']:.1f} MB"
    )
    assert statistics.median(everything) <= MEDIAN_MS
    assert everything[int(0.99 * len(everything))] <= HIGH_MS
    assert max(found["falls"]) <= WORST_IN_A_FALL_MS
    assert found["minutes"] >= 30.0
    assert abs(found["after"] - found["before"]) <= FLAT_MB


def test_the_first_frame_comes_soon(tmp_path):
    """The window stands with the bare room at once; the apparatus follows as it is loaded.

    Held against a bare script that opens one window, one font and one picture of its size.
    """
    bare, room, whole = [], [], []
    for number in range(7):
        picture = ROOT / "sim" / "pictures" / "bench.png"
        bare.append(float(python(BARE, str(picture), str(typeface_file()))))
        first, full = python(OURS, str(tmp_path / str(number))).split()
        room.append(float(first))
        whole.append(float(full))
    base = statistics.median(bare)
    soon, seen = statistics.median(room) / base, statistics.median(whole) / base
    print(
        f"\nbare script {base:.3f} s; bare room {soon:.2f} x (limit {START_TIMES}); "
        f"the whole bench drawn {seen:.2f} x (limit {WHOLE_TIMES})"
    )
    assert soon <= START_TIMES
    assert seen <= WHOLE_TIMES


@pytest.fixture
def display():
    """An X server of its own with a 4K screen, without a graphics card."""
    if shutil.which("Xvfb") is None:
        pytest.skip("Xvfb is not installed here")
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", "1", "-screen", "0", "3840x2160x24", "-nolisten", "tcp"],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    yield f":{server.stdout.readline().strip()}"
    server.terminate()
    server.communicate()


@pytest.mark.parametrize("size", [(3840, 2160), (1366, 768)])
def test_frames_of_a_fall_on_an_x_server(display, size):
    """30 frames a second at 4K; 99 of 100 frames within 12 ms in the usual window."""
    environment = {name: word for name, word in os.environ.items() if name != "SDL_VIDEODRIVER"}
    environment |= {"DISPLAY": display, "PYTHONPATH": str(ROOT), "PYGAME_HIDE_SUPPORT_PROMPT": "1"}
    done = subprocess.run(
        [sys.executable, "-c", ON_A_SERVER, *map(str, size)],
        capture_output=True,
        text=True,
        check=True,
        env=environment,
    )
    driver, *shown, took = json.loads(done.stdout)
    took.sort()
    mean, high = statistics.mean(took), took[int(0.99 * len(took))]
    print(f"{size}: mean {mean:.1f} ms, 99th of 100 {high:.1f} ms, load {os.getloadavg()[0]:.1f}")
    assert (driver, *shown) == ("x11", *size)
    assert mean <= 1e3 / 30.0
    assert high <= HIGH_MS or size != (1366, 768)
