"""The bench: a window in which the practical is carried out by hand and eye.

Little is imported before the window stands; what the bench needs loads behind it.
"""

from __future__ import annotations

import argparse
import gc
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from sim.bench.screen.window import show_bare_room, window

if TYPE_CHECKING:
    from sim.bench.model.after import Wanted


def run(options: argparse.Namespace) -> int:
    """Open the window on a new or an old practical; each step loads behind what is shown.

    Nothing is thrown away while the bench loads, so looking for what could be would cost an
    eighth of the time.
    """
    gc.disable()
    try:
        with window() as surface:
            show_bare_room(surface)
            wanted = _wanted(options)
            from sim.bench.screen.app import first_seen, work  # behind the bare room

            bench = first_seen(surface, wanted) if wanted.begins_anew else None
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

    ball = None
    if options.ball is not None:
        from sim.commands.options import ball_of  # 20 ms that few starts need

        ball = ball_of(options)
    return Wanted(
        folder=options.folder or practicals_folder(),
        record=options.record,
        new=options.new,
        ball=ball,
        seed=options.seed,
        text_scale=int(options.text_percent) / 100,
        speaks=options.speak,
    )


def practicals_folder() -> Path:
    """Where records are kept when nobody says otherwise: in the user's own data folder."""
    from platformdirs import user_data_path  # 10 ms, behind the bare room

    return user_data_path("rebound-practical", appauthor=False) / "practicals"
