"""A session at the bench: a practical new or old, its record, and the window around it."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import pygame

from physics.ball import Ball
from sim.bench.app import Bench, run
from sim.bench.beginning import desk_for
from sim.bench.choose_record import Closed, chosen_record
from sim.record import begin_record, continue_record
from sim.record_file import RecordFile
from sim.record_folder import fresh_path
from sim.record_trouble import RecordTrouble
from sim.refusal import NotPossible
from sim.state import Setup, State, beginning


@dataclass(frozen=True)
class Wanted:
    """What the student asked for on the command line."""

    folder: Path
    record: Path | None = None
    new: bool = False
    ball: Ball | None = None
    seed: int | None = None
    text_scale: float = 1.0


def work(surface: pygame.Surface, wanted: Wanted) -> str:
    """Work at the bench until the window is closed.

    Returns what went wrong with the record at the end, or nothing.

    Raises:
        NotPossible: the record cannot be gone on with, in one sentence.

    """
    try:
        path = wanted.record
        if path is None and not wanted.new:
            path = chosen_record(surface, wanted.folder, wanted.text_scale)
        opened = _continued(path) if path is not None else _Opened(_new(wanted), None)
    except Closed:
        return ""
    except RecordTrouble as trouble:
        raise NotPossible(str(trouble)) from trouble
    desk = desk_for(opened.state, wanted.text_scale)
    bench = Bench(surface, desk.saying(opened.words) if opened.words else desk)
    # The student sees the bench before the disk is asked for a new record. Nothing is taken
    # from the keyboard yet: every act has to find its record.
    bench.draw()
    pygame.display.flip()
    if path is None:
        opened = _begun(opened.state, wanted.folder)
    bench.keep_on(opened.record, opened.trouble)
    return run(bench)


@dataclass(frozen=True)
class _Opened:
    """A practical ready for the bench: where it stands, its record, and what to say of it."""

    state: State
    record: RecordFile | None
    words: str = ""
    trouble: str = ""


def _new(wanted: Wanted) -> State:
    """The beginning of a new practical."""
    seed = secrets.randbits(64) if wanted.seed is None else wanted.seed
    return beginning(Setup(seed=seed) if wanted.ball is None else Setup(seed, model=wanted.ball))


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
