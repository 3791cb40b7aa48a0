"""The bench's tests need no screen: the driver is named before pygame is imported."""

import os

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")

import pytest

from sim.bench.screen.layout import Layout


@pytest.fixture
def layout():
    return Layout()
