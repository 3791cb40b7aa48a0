"""One kind of work for many items, shared out to several processes.

A process that dies over an item takes no other item with it: what may have been in its hands is
done again, one by one. Ctrl+C, and whatever else ends the work early, ends the processes at once.
"""

from __future__ import annotations

import os
import signal
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from multiprocessing import active_children, get_context
from typing import TYPE_CHECKING, Any, Generic, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

FEW = 40
"""So many items are done sooner than further processes have started."""
MOST_PROCESSES = 4
"""Each takes about 100 MB."""
A_PIECE = 8
"""Items handed over at once."""

Item = TypeVar("Item")
Result = TypeVar("Result")


@dataclass(frozen=True)
class SharedWork(Generic[Item, Result]):
    """What is done with each item, and where it goes.

    Attributes:
        work: gives the result of an item. It goes to the processes once, by pickle.
        lost: gives what stands for an item over which two processes died.
        take: gets each result with its item's place, in this process and in no order.

    """

    work: Callable[[Item], Result]
    lost: Callable[[Item], Result]
    take: Callable[[int, Result], object]

    def do(self, items: Sequence[Item]) -> None:
        """Do the work for all items. Raises what `take` raises."""
        if len(items) <= FEW:
            for place, item in enumerate(items):
                self.take(place, self.work(item))
            return
        processes = min(os.cpu_count() or 1, MOST_PROCESSES)
        # A pool has a piece in each process, and one more than that waiting at their door.
        in_their_hands = A_PIECE * (2 * processes + 1)
        left = list(range(len(items)))
        while left:
            left = self._until_one_dies(items, left, processes, A_PIECE)
            self._one_by_one(items, left[:in_their_hands])
            left = left[in_their_hands:]

    def _one_by_one(self, items: Sequence[Item], places: list[int]) -> None:
        """By one process, which takes them in order: where it dies, it died over the first left."""
        while places:
            places = self._until_one_dies(items, places, 1, 1)
            if places:
                self.take(places[0], self.lost(items[places[0]]))
                places = places[1:]

    def _until_one_dies(
        self, items: Sequence[Item], places: list[int], processes: int, a_piece: int
    ) -> list[int]:
        """Do the work until a process dies; give the places of the items left, in order."""
        left = dict.fromkeys(places)
        begun: dict[Future[list[Result]], list[int]] = {}
        with _pool(self.work, processes) as pool, suppress(BrokenProcessPool):
            with _deaf_children():
                for start in range(0, len(places), a_piece):
                    piece = places[start : start + a_piece]
                    begun[pool.submit(_done_here, [items[place] for place in piece])] = piece
            for future in as_completed(list(begun)):
                for place, result in zip(begun.pop(future), future.result(), strict=True):
                    del left[place]
                    self.take(place, result)
        return list(left)


@contextmanager
def _pool(work: Callable[[Any], object], processes: int) -> Iterator[ProcessPoolExecutor]:
    """Some processes; where the block does not come to its end, they are ended as they stand."""
    others = active_children()
    # Fresh processes: a fork of one that holds threads and a progress bar may hang.
    pool = ProcessPoolExecutor(
        processes, get_context("spawn"), initializer=_begin, initargs=(work,)
    )
    try:
        yield pool
    except BaseException:
        for child in active_children():
            if child not in others:
                child.terminate()
        raise
    finally:
        pool.shutdown(cancel_futures=True)


@contextmanager
def _deaf_children() -> Iterator[None]:
    """Processes that begin in the block do not hear Ctrl+C, not even while they load."""
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


_OURS: list[Callable[[Any], Any]] = []
"""In a process of the pool, its work: handed over once and not with every piece."""


def _begin(work: Callable[[Any], Any]) -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C is the parent's to hear
    _OURS.append(work)


def _done_here(items: Sequence[Any]) -> list[Any]:
    return [_OURS[0](item) for item in items]
