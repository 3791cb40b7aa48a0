"""The bench: a window in which the practical is carried out by hand and eye.

Little is imported before the window stands; what the bench needs loads behind it.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pygame

SCALES = {"100": 1.0, "125": 1.25, "150": 1.5}


def add_options(parser: argparse.ArgumentParser) -> None:
    """What the bench takes on the command line."""
    where = parser.add_mutually_exclusive_group()
    where.add_argument(
        "--record", type=Path, metavar="FILE", help="go on with this practical record"
    )
    where.add_argument("--new", action="store_true", help="begin anew, without being asked")
    parser.add_argument(
        "--folder", type=Path, metavar="DIR", help="where practical records are kept"
    )
    parser.add_argument(
        "--ball", type=_ball, metavar="BALL", help="playing speed of the ball or a ball file (fast)"
    )
    parser.add_argument("--seed", type=_seed, help="number that the random errors grow from")
    parser.add_argument(
        "--text-percent", choices=SCALES, default="100", help="size of the text (100)"
    )


def run(options: argparse.Namespace) -> int:
    """Open the window on a new or an old practical."""
    from sim.bench.screen.window import show_bare_room, window

    with window() as surface:
        show_bare_room(surface)
        trouble = _worked(surface, options)
    if trouble:
        print(trouble, file=sys.stderr)
    return 1 if trouble else 0


def _worked(surface: pygame.Surface, options: argparse.Namespace) -> str:
    """The session; its imports take a moment, in which the bare room is seen."""
    from sim.bench.model.opening import Wanted
    from sim.bench.screen.app import work
    from sim.commands.options import ball_of
    from sim.record.file import practicals_folder

    return work(
        surface,
        Wanted(
            folder=options.folder or practicals_folder(),
            record=options.record,
            new=options.new,
            ball=None if options.ball is None else ball_of(options),
            seed=options.seed,
            text_scale=SCALES[options.text_percent],
        ),
    )


def _ball(text: str) -> str:
    from sim.commands.options import ball_choice

    return ball_choice(text)


def _seed(text: str) -> int:
    from sim.commands.options import seed

    return seed(text)
