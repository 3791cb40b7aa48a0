"""The demonstration as a moving picture: the page of the window, a frame a drop.

Nothing is drawn here: `draw_moment` paints the pictures, Pillow puts them into a GIF, and
matplotlib's writer into an MP4. No window is opened.
"""

from __future__ import annotations

import io
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Literal

import numpy as np
import pygame
from matplotlib.animation import FFMpegWriter
from matplotlib.figure import Figure
from PIL import Image

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
COLOURS = 256
"""Of a GIF, at most."""


def picture_count(shown: Demonstration) -> int:
    """How many pictures there are: one before the first drop, and one after each."""
    return shown.length + 1


def film(
    shown: Demonstration, kind: Kind, after_picture: Callable[[], object] = lambda: None
) -> bytes:
    """The demonstration drop by drop, as the content of a GIF or MP4 file.

    `after_picture` is called after each of the `picture_count` pictures, for a progress bar.

    Raises:
        NotPossible: MP4 is asked for and ffmpeg is not found, or there are too many drops.

    """
    if shown.length > MOST_DROPS:
        raise NotPossible(
            f"An animation shows {MOST_DROPS} drops at most, not {shown.length}: ask for fewer "
            "temperatures or repeats."
        )
    return (_gif if kind == "gif" else _mp4)(shown, after_picture)


def _pictures(shown: Demonstration) -> Iterator[tuple[Image.Image, int]]:
    """Each picture, and for how many frames it stays: that of the question longer, and the last."""
    page = pygame.Surface(SIZE)
    for moment in range(picture_count(shown)):
        draw_moment(page, shown, float(moment))
        held = moment in (shown.drops, shown.length)
        yield (
            Image.frombytes("RGB", SIZE, pygame.image.tobytes(page, "RGB")),
            1 + HELD_FRAMES * held,
        )


def _gif(shown: Demonstration, after_picture: Callable[[], object]) -> bytes:
    pictures, lasts_ms = [], []
    for picture, frames in _pictures(shown):
        pictures.append(picture.quantize(COLOURS, Image.Quantize.FASTOCTREE))
        lasts_ms.append(1000 * frames // FRAMES_PER_S)
        after_picture()
    content = io.BytesIO()
    pictures[0].save(
        content, "gif", save_all=True, append_images=pictures[1:], duration=lasts_ms, loop=0
    )
    return content.getvalue()


def _mp4(shown: Demonstration, after_picture: Callable[[], object]) -> bytes:
    if not FFMpegWriter.isAvailable():
        raise NotPossible(
            "An MP4 needs the program ffmpeg, which is not found here: install it, or ask for "
            "--animation gif."
        )
    writer = FFMpegWriter(fps=FRAMES_PER_S)
    width, height = (side / DOTS_PER_INCH for side in SIZE)
    screen = Figure(figsize=(width, height), dpi=DOTS_PER_INCH)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "demonstration.mp4"
        writer.setup(screen, str(path), DOTS_PER_INCH)
        for picture, frames in _pictures(shown):
            screen.clear()
            screen.figimage(np.asarray(picture))
            for _ in range(frames):
                writer.grab_frame()
            after_picture()
        writer.finish()
        return path.read_bytes()
