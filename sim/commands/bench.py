"""The bench: a window in which the practical is carried out by hand and eye.

Little is imported before the window stands; what the bench needs loads behind it.
"""

from __future__ import annotations

import argparse
import gc
import sys
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sim.bench.model.after import Wanted

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
        "--ball",
        type=lambda text: _options().ball_choice(text),
        metavar="BALL",
        help="playing speed of the ball or a ball file (fast)",
    )
    parser.add_argument(
        "--seed",
        type=lambda text: _options().seed(text),
        help="number that the random errors grow from",
    )
    parser.add_argument(
        "--text-percent", choices=SCALES, default="100", help="size of the text (100)"
    )


def run(options: argparse.Namespace) -> int:
    """Open the window on a new or an old practical; each step loads behind what is shown.

    Nothing is thrown away while the bench loads, so looking for what could be would cost an
    eighth of the time.
    """
    from sim.bench.screen.window import show_bare_room, window  # other commands need no pygame

    gc.disable()
    try:
        with window() as surface:
            show_bare_room(surface)
            wanted = _wanted(options)
            from sim.bench.screen.app import first_seen  # behind the bare room

            bench = first_seen(surface, wanted) if wanted.begins_anew else None
            from sim.bench.screen.session import work  # records, locks, threads: behind the bench

            gc.enable()
            gc.freeze()
            trouble = work(surface, wanted, bench)
    finally:
        gc.enable()
    if trouble:
        print(trouble, file=sys.stderr)
    return 1 if trouble else 0


def _wanted(options: argparse.Namespace) -> Wanted:
    from sim.bench.model.after import Wanted  # behind the bare room

    return Wanted(
        folder=options.folder or practicals_folder(),
        record=options.record,
        new=options.new,
        ball=None if options.ball is None else _options().ball_of(options),
        seed=options.seed,
        text_scale=SCALES[options.text_percent],
    )


def practicals_folder() -> Path:
    """Where records are kept when nobody says otherwise: in the user's own data folder."""
    from platformdirs import user_data_path  # 10 ms that no other command needs

    return user_data_path("rebound-practical", appauthor=False) / "practicals"


def _options() -> ModuleType:
    """The readers of options that few starts name: ball files, seeds."""
    from sim.commands import options  # 10 ms that a start without them does not wait for

    return options
