"""Ctrl+C: one line and one exit code, also for who presses it while a command is still loading.

It imports next to nothing, since until it is there Python answers in its own way.
"""

import sys

STOPPED = 130
"""As a shell says it of a program that Ctrl+C ended."""


def stopped() -> int:
    """Tell that the command was stopped from the keyboard, and give the exit code."""
    sys.stderr.write("Stopped.\n")
    return STOPPED
