"""The bench: a window in which the practical is carried out by hand and eye."""

from __future__ import annotations

import argparse
import secrets
import sys
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from physics.ball import PLAYING_SPEEDS
from sim.commands.options import ball_of, seed
from sim.record import begin_record, continue_record
from sim.record_file import RecordFile
from sim.record_folder import fresh_path, practicals_folder
from sim.record_trouble import RecordTrouble
from sim.refusal import NotPossible
from sim.state import Setup, State, beginning

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
        "--ball", choices=PLAYING_SPEEDS, default="fast", help="playing speed of the ball (fast)"
    )
    parser.add_argument("--seed", type=seed, help="number that the random errors grow from")
    parser.add_argument(
        "--text-percent", choices=SCALES, default="100", help="size of the text (100)"
    )


def run(options: argparse.Namespace) -> int:
    """Open the window on a new or an old practical."""
    from sim.bench.app import Bench, window
    from sim.bench.app import run as run_bench
    from sim.bench.beginning import desk_for
    from sim.bench.choose_record import Closed, chosen_record
    from sim.bench.keeping import Keeper

    folder = options.folder or practicals_folder()
    with window() as surface:
        try:
            path = options.record
            if path is None and not options.new:
                path = chosen_record(surface, folder)
            opened = _continued(path) if path is not None else _begun(folder, options)
        except Closed:
            return 0
        except RecordTrouble as trouble:
            raise NotPossible(str(trouble)) from trouble
        desk = desk_for(opened.state, SCALES[options.text_percent])
        desk = replace(desk, trouble=opened.trouble)
        if opened.words:
            desk = desk.saying(opened.words)
        trouble_at_the_end = run_bench(Bench(surface, desk, Keeper(opened.record)))
    if trouble_at_the_end:
        print(trouble_at_the_end, file=sys.stderr)
    return 1 if trouble_at_the_end else 0


@dataclass(frozen=True)
class _Opened:
    """A practical ready for the bench: where it stands, its record, and what to say of it."""

    state: State
    record: RecordFile | None
    words: str = ""
    trouble: str = ""


def _begun(folder: Path, options: argparse.Namespace) -> _Opened:
    """A new practical; where no record can be kept it goes on in memory, and says so."""
    chosen = secrets.randbits(64) if options.seed is None else options.seed
    setup = Setup(seed=chosen, model=ball_of(options))
    try:
        record = begin_record(fresh_path(folder, datetime.now()), setup)
    except RecordTrouble as trouble:
        words = f"{trouble} The practical goes on, but only in memory."
        return _Opened(beginning(setup), None, trouble=words)
    return _Opened(beginning(setup), record)


def _continued(path: Path) -> _Opened:
    """A practical that was begun before, where it stopped."""
    record, read = continue_record(path)
    return _Opened(read.end, record, words=" ".join(read.notices))
