"""Where the typeface of pages and screen is found: DejaVu Sans, which has every sign that we use.

Matplotlib carries it; matplotlib itself is not loaded.
"""

from functools import cache
from importlib.util import find_spec
from pathlib import Path

from analysis.refusal import Refused

_FOLDER = Path("mpl-data", "fonts", "ttf")


@cache
def typeface_file(*, bold: bool = False) -> Path:
    """Find the file of the typeface. Raises Refused where it is not."""
    spec = find_spec("matplotlib")
    name = f"DejaVuSans{'-Bold' if bold else ''}.ttf"
    path = Path(spec.origin).parent / _FOLDER / name if spec and spec.origin else None
    if path is None or not path.is_file():
        raise Refused(
            "The typeface DejaVu Sans was not found; install matplotlib again, which carries it."
        )
    return path
