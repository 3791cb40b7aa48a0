"""A light kind of work for several processes; it has a module of its own, which loads at once."""

import os
from pathlib import Path

DEADLY, ONCE = -1, -2
"""Items over which a process dies: each time; the first time, of which it leaves a sign."""


def halved(item, folder):
    """Half of an item, and a sign in the folder of the process that had it in its hands."""
    (Path(folder) / f"{os.getpid()}").touch()
    spent = Path(folder) / "spent"
    if item == DEADLY or (item == ONCE and not spent.exists()):
        spent.touch()
        os._exit(1)
    return item / 2


def lost(item):
    return f"lost {item}"
