"""The demonstration as a moving picture: the page of the window, a frame a drop.

Nothing is drawn here: `draw_moment` paints the frames, matplotlib's writers put them into a
file. No window is opened.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Literal

import numpy as np
import pygame
from matplotlib.animation import AbstractMovieWriter, FFMpegWriter, PillowWriter
from matplotlib.figure import Figure
from numpy.typing import NDArray

from sim.actions import NotPossible
from sim.bench.screen.demonstration.draw import draw_moment
from sim.teaching.demonstration import Demonstration

Kind = Literal["gif", "mp4"]

FRAMES_PER_S = 2
HELD_FRAMES = 12
"""How long the last frame stays, and the question between the procedures: six seconds each."""
MOST_DROPS = 400
SIZE = (1040, 608)
"""Of a frame, in pixels."""
DOTS_PER_INCH = 80


def frame_count(shown: Demonstration) -> int:
    """How many frames there are."""
    return shown.length + 1 + 2 * HELD_FRAMES


def film(
    shown: Demonstration, kind: Kind, after_frame: Callable[[], object] = lambda: None
) -> bytes:
    """The demonstration drop by drop, as the content of a GIF or MP4 file.

    `after_frame` is called after each of the `frame_count` frames, for a progress bar.

    Raises:
        NotPossible: MP4 is asked for and ffmpeg is not found, or there are too many drops.

    """
    if shown.length > MOST_DROPS:
        raise NotPossible(
            f"An animation shows {MOST_DROPS} drops at most, not {shown.length}: ask for fewer "
            "temperatures or repeats."
        )
    writer = _writer(kind)
    width, height = (side / DOTS_PER_INCH for side in SIZE)
    screen = Figure(figsize=(width, height), dpi=DOTS_PER_INCH)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"demonstration.{kind}"
        writer.setup(screen, str(path), DOTS_PER_INCH)
        for frame in frames(shown):
            screen.clear()
            screen.figimage(frame)
            writer.grab_frame()
            after_frame()
        writer.finish()
        return path.read_bytes()


def frames(shown: Demonstration) -> Iterator[NDArray[np.uint8]]:
    """The frames as pictures, shape (height, width, 3); two of them again and again."""
    page = pygame.Surface(SIZE)
    for frame in range(frame_count(shown)):
        # The frame of the question is held, then the last one.
        held = min(max(frame - shown.drops, 0), HELD_FRAMES)
        draw_moment(page, shown, float(min(frame - held, shown.length)))
        yield pygame.surfarray.array3d(page).swapaxes(0, 1)


def _writer(kind: Kind) -> AbstractMovieWriter:
    if kind == "gif":
        return PillowWriter(fps=FRAMES_PER_S)
    if not FFMpegWriter.isAvailable():
        raise NotPossible(
            "An MP4 needs the program ffmpeg, which is not found here: install it, or ask for "
            "--animation gif."
        )
    return FFMpegWriter(fps=FRAMES_PER_S)
