"""A progress bar for long work; it is seen in a terminal only."""

from __future__ import annotations

import sys
from typing import Never

from tqdm import tqdm


def bar(total: int, doing: str) -> tqdm[Never]:
    """A bar for so many pieces of work, to be used in a `with` block; `update()` after each."""
    tqdm.monitor_interval = 0  # every step is told, so that no thread need watch the bar
    return tqdm(total=total, desc=doing, file=sys.stderr, disable=None, leave=False, miniters=1)
