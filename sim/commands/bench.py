"""The bench: a window in which the practical is carried out by hand and eye."""

from __future__ import annotations

import argparse
import secrets
import sys
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sim.commands.options import add_ball_option, ball_of, seed
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
    add_ball_option(parser)
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

    folder = options.folder or practicals_folder()
    ball_of(options)  # a bad ball file is refused before a window opens
    with window() as surface:
        try:
            path = options.record
            if path is None and not options.new:
                path = chosen_record(surface, folder)
            opened = _continued(path) if path is not None else _Opened(_new(options), None)
        except Closed:
            return 0
        except RecordTrouble as trouble:
            raise NotPossible(str(trouble)) from trouble
        desk = desk_for(opened.state, SCALES[options.text_percent])
        bench = Bench(surface, desk.saying(opened.words) if opened.words else desk)
        bench.frame(0.0)  # the student sees the bench before the disk is asked for anything
        if path is None:
            opened = _begun(opened.state, folder)
        bench.keep_on(opened.record, opened.trouble)
        trouble_at_the_end = run_bench(bench)
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


def _new(options: argparse.Namespace) -> State:
    """The beginning of a new practical."""
    chosen = secrets.randbits(64) if options.seed is None else options.seed
    return beginning(Setup(seed=chosen, model=ball_of(options)))


def _begun(state: State, folder: Path) -> _Opened:
    """A record for a new practical; where none can be kept it goes on in memory, and says so."""
    try:
        return _Opened(state, begin_record(fresh_path(folder, datetime.now()), state.setup))
    except RecordTrouble as trouble:
        words = f"{trouble} The practical goes on, but only in memory."
        return _Opened(state, None, trouble=words)


def _continued(path: Path) -> _Opened:
    """A practical that was begun before, where it stopped."""
    record, read = continue_record(path)
    return _Opened(read.end, record, words=" ".join(read.notices))
