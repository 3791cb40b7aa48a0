"""Ctrl+C: one line and one exit code, also for who presses it while a command is still loading.

It imports next to nothing, since until it is there Python answers in its own way.
"""

import os
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager

STOPPED = 130
"""As a shell says it of a program that Ctrl+C ended."""
_LINE = "Stopped.\n"


def stopped() -> int:
    """Tell that the command was stopped from the keyboard, and give the exit code."""
    sys.stderr.write(_LINE)
    return STOPPED


@contextmanager
def ending_at_once() -> Iterator[None]:
    """Let Ctrl+C end the program where it stands: for loading, when there is nothing to put away.

    As an exception it would go through libraries that make another of it, or abort. Where it is
    not to be heard (a worker process), or heard in another way, it stays so.
    """
    try:
        ours = signal.getsignal(signal.SIGINT) is signal.default_int_handler
        if ours:
            signal.signal(signal.SIGINT, _end)
    except ValueError:  # in a thread, which hears no keyboard
        ours = False
    try:
        yield
    finally:
        if ours:
            signal.signal(signal.SIGINT, signal.default_int_handler)


def _end(*_: object) -> None:
    os.write(2, _LINE.encode())
    os._exit(STOPPED)
