"""The demonstration as a moving picture: a frame a drop, through matplotlib's writers."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
from matplotlib.artist import Artist
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from sim.demonstration import Demonstration
from sim.demonstration_figure import blank, marks
from sim.refusal import NotPossible

if TYPE_CHECKING:
    from matplotlib.animation import AbstractMovieWriter
    from numpy.typing import NDArray

Kind = Literal["gif", "mp4"]
KINDS: tuple[Kind, ...] = ("gif", "mp4")

FRAMES_PER_S = 2
HELD_FRAMES = 12
"""How long the last frame stays: six seconds, to be read."""
MOST_DROPS = 200
DOTS_PER_INCH = 80


def frame_count(shown: Demonstration) -> int:
    """How many frames there are."""
    return shown.drops + 1 + HELD_FRAMES


def film(
    shown: Demonstration, kind: Kind, after_frame: Callable[[], object] = lambda: None
) -> bytes:
    """The demonstration drop by drop, as the content of a GIF or MP4 file.

    `after_frame` is called after each of the `frame_count` frames, for a progress bar.

    Raises:
        NotPossible: MP4 is asked for and ffmpeg is not found, or there are too many drops.

    """
    if shown.drops > MOST_DROPS:
        raise NotPossible(
            f"An animation shows {MOST_DROPS} drops at most, not {shown.drops}: ask for fewer "
            "temperatures or repeats."
        )
    writer = _writer(kind)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"demonstration.{kind}"
        screen = None
        for frame in frames(shown):
            if screen is None:
                height, width = frame.shape[:2]
                size = (width / DOTS_PER_INCH, height / DOTS_PER_INCH)
                screen = Figure(figsize=size, dpi=DOTS_PER_INCH)
                picture = screen.figimage(frame)
                writer.setup(screen, str(path), DOTS_PER_INCH)
            picture.set_data(frame)
            writer.grab_frame()
            after_frame()
        writer.finish()
        return path.read_bytes()


def frames(shown: Demonstration) -> Iterator[NDArray[np.uint8]]:
    """The frames as pictures, shape (height, width, 4); the last one again and again.

    The paper is printed once and the marks are drawn over it: some ten times as quick as
    drawing all of it for every frame.
    """
    paper = blank(shown)
    paper.figure.set_dpi(DOTS_PER_INCH)
    canvas: Any = FigureCanvasAgg(paper.figure)  # it carries no types
    canvas.draw()
    clean = canvas.copy_from_bbox(paper.figure.bbox)
    for drops in range(shown.drops + 1):
        canvas.restore_region(clean)
        for mark in sorted(marks(paper, shown, drops), key=Artist.get_zorder):
            paper.figure.draw_artist(mark)
            mark.remove()
        frame = np.asarray(canvas.buffer_rgba()).copy()
        yield frame
    for _ in range(HELD_FRAMES):
        yield frame


def _writer(kind: Kind) -> AbstractMovieWriter:
    from matplotlib.animation import FFMpegWriter, PillowWriter

    if kind == "gif":
        return PillowWriter(fps=FRAMES_PER_S)
    if not FFMpegWriter.isAvailable():
        raise NotPossible(
            "An MP4 needs the program ffmpeg, which is not found here: install it, or ask for "
            "--animation gif."
        )
    return FFMpegWriter(fps=FRAMES_PER_S)
