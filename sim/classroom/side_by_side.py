"""Many files examined at once by several processes; one that dies takes no other file with it."""

from __future__ import annotations

import os
from collections.abc import Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from multiprocessing import get_context
from typing import TYPE_CHECKING

from sim.classroom.examining import Context, Examined, examined

if TYPE_CHECKING:
    from collections.abc import Callable

    from sim.classroom.handed_in import Found

FEW = 40
"""So many files are marked sooner than further processes have started."""
A_PIECE = 8


def all_examined(
    context: Context, files: Sequence[Found], after: Callable[[int], object]
) -> list[Examined]:
    """Examine files, in their order. `after` is called with how many more are done."""
    if len(files) <= FEW:
        results = []
        for found in files:
            results.append(examined(context, found))
            after(1)
        return results
    pieces = [list(files[start : start + A_PIECE]) for start in range(0, len(files), A_PIECE)]
    done = _pooled(context, pieces, after)
    for place, piece in enumerate(pieces):
        if place not in done:  # a process died over one of these
            done[place] = [_alone(context, found) for found in piece]
            after(len(piece))
    return [one for place in sorted(done) for one in done[place]]


def examined_piece(context: Context, piece: Sequence[Found]) -> list[Examined]:
    """Examine a few files in one process."""
    return [examined(context, found) for found in piece]


def _pooled(
    context: Context, pieces: Sequence[Sequence[Found]], after: Callable[[int], object]
) -> dict[int, list[Examined]]:
    """What the pieces gave that were done before any process died; all of them as a rule."""
    done: dict[int, list[Examined]] = {}
    places: dict[Future[list[Examined]], int] = {}
    with _pool(os.cpu_count() or 1) as pool, suppress(BrokenProcessPool):
        for place, piece in enumerate(pieces):
            places[pool.submit(examined_piece, context, piece)] = place
        for future in as_completed(places):
            done[places[future]] = future.result()
            after(len(pieces[places[future]]))
    return done


def _alone(context: Context, found: Found) -> Examined:
    with _pool(1) as pool:
        try:
            return pool.submit(examined, context, found).result()
        except BrokenProcessPool:
            return Examined(
                found.name, f"{found.name} stopped the program that read it: look at it by hand."
            )


def _pool(workers: int) -> ProcessPoolExecutor:
    # Fresh processes: a fork of one that holds threads and a progress bar may hang.
    return ProcessPoolExecutor(workers, mp_context=get_context("spawn"))
