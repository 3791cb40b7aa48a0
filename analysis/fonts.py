"""Where the fonts of printed pages come from: matplotlib's own, which hold every sign we use."""

from importlib.util import find_spec
from pathlib import Path


def font_folder() -> Path:
    """Find matplotlib's folder of fonts without loading it.

    Raises RuntimeError where matplotlib is not installed.
    """
    spec = find_spec("matplotlib")
    if spec is None or spec.origin is None:
        raise RuntimeError("matplotlib, whose fonts the PDF is printed in, is not installed")
    return Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf"
